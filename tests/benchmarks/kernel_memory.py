"""How much memory a student's kernel takes, and how many a machine holds.

``python tests/benchmarks/kernel_memory.py [--kernels 8] [--notebook 02_bore_depth.ipynb] [--machine-gib 24]``
starts that many real kernels, runs the lesson from the top in each, leaves all of them alive, and reads the
proportional set size (PSS, shared pages divided among those who share them) of each from ``/proc``. Linux only.
"""

from __future__ import annotations

import argparse
import statistics
import time
from pathlib import Path

import nbformat
from jupyter_client.manager import start_new_kernel

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
SYSTEM_GIB = 2.0
"""Left for the system, the hub and a browser or two; chosen here."""


def pss_mib(pid: int) -> float:
    """Return the proportional set size of a process, MiB."""
    for line in Path(f"/proc/{pid}/smaps_rollup").read_text(encoding="ascii").splitlines():
        if line.startswith("Pss:"):
            return int(line.split()[1]) / 1024
    raise OSError(f"no Pss for process {pid}")


def main() -> None:
    """Start, run, measure, report."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kernels", type=int, default=8)
    parser.add_argument("--notebook", default="02_bore_depth.ipynb")
    parser.add_argument("--machine-gib", type=float, default=24.0)
    given = parser.parse_args()
    path = NOTEBOOKS / given.notebook
    cells = [cell.source for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == "code"]
    kernels, started = [], time.perf_counter()
    try:
        for _ in range(given.kernels):
            kernels.append(start_new_kernel(kernel_name="python3", cwd=str(path.parent)))
            for cell in cells:
                reply = kernels[-1][1].execute_interactive(cell, timeout=120, output_hook=lambda message: None)
                if reply["content"]["status"] != "ok":
                    raise SystemExit(f"a cell failed: {reply['content'].get('evalue')}")
        each = [pss_mib(manager.provisioner.pid) for manager, _ in kernels]
    finally:
        for manager, client in kernels:
            client.stop_channels()
            manager.shutdown_kernel(now=True)
    median = statistics.median(each)
    room = (given.machine_gib - SYSTEM_GIB) * 1024
    print(f"{given.kernels} kernels that ran {given.notebook} in {time.perf_counter() - started:.0f} s")
    print(f"PSS of a kernel: median {median:.0f} MiB, {min(each):.0f} to {max(each):.0f} MiB")
    print(f"{given.machine_gib:g} GiB less {SYSTEM_GIB:g} GiB for the system hold {room / median:.0f} kernels at rest")


if __name__ == "__main__":
    main()
