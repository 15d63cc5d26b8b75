"""How long the shell's verbs take, as ratios to processes that only import what they cannot do without.

``python tests/benchmarks/shell_speed.py [RUNS]`` on a machine at rest. The runs are interleaved, so that all four kinds
of process meet the same machine; each ratio is that of the medians.
"""

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from trimkit.parts.catalogue import data_folder

VERB = str(Path(sys.executable).with_name("trimkit"))  # the command as it is installed
FIGURE = ["-c", "import numpy; from matplotlib.figure import Figure"]
MODELS = ["-c", "import pydantic, numpy"]
SHEET = [VERB, "sheet", str(data_folder() / "orders" / "evening_class.toml"), "--to", "sheet.html"]
CHECK = [VERB, "check", str(data_folder())]


def seconds(words: list[str]) -> float:
    """Return how long one Python process takes, in a folder of its own, s."""
    with tempfile.TemporaryDirectory() as folder:
        begin = time.perf_counter()
        subprocess.run([sys.executable, *words], cwd=folder, check=True, stdout=subprocess.DEVNULL)
        return time.perf_counter() - begin


def main(runs: int) -> None:
    """Print both ratios, with the medians (s) that they come from."""
    pairs = {"sheet": (SHEET, FIGURE, 2.0), "check data": (CHECK, MODELS, 1.5)}
    for words in (SHEET, CHECK):  # the first run of each reads from the disk
        seconds(words)
    taken = {name: ([], []) for name in pairs}
    for _ in range(runs):
        for name, (verb, imports, _) in pairs.items():
            taken[name][0].append(seconds(verb))
            taken[name][1].append(seconds(imports))
    for name, (_, _, most) in pairs.items():
        verb, imports = (statistics.median(each) for each in taken[name])
        print(f"{name}: {verb:.3f} s / {imports:.3f} s = {verb / imports:.2f} (at most {most})")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 9)
