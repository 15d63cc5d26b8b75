"""Install trimkit from this stick: no internet connection, no administrator's rights. Needs Python alone.

    python install.py [FOLDER]

FOLDER is where it goes (default: trimkit-class in your home folder). It must be new, or empty.
"""

# A stick carries this file as install.py. Any Python from 3.6 on must be able to read it, if only to say that it is
# too old.
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

STICK = Path(__file__).resolve().parent


def refused(given: str, step: str) -> int:
    """Say what went wrong and what to do next; return the exit code."""
    print(f"install: {given}. Do next: {step}.", file=sys.stderr)
    return 1


def main() -> int:
    """Make a virtual environment, install the wheels into it, and return the exit code."""
    told = json.loads((STICK / "stick.json").read_text(encoding="utf-8"))
    have = "{}.{}".format(*sys.version_info[:2])
    if have not in told["python"]:
        versions = " or ".join(told["python"])
        step = f"run this with Python {versions}, or open pages/index.html, which needs no Python"
        return refused(f"this stick is for Python {versions}, and this is Python {have}", step)
    if sys.platform not in told["systems"].values():
        step = "ask for a stick for this system, or open pages/index.html, which needs no Python"
        return refused("this stick is for " + " and ".join(told["systems"]), step)
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else Path.home() / "trimkit-class")
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        return refused(str(folder) + " is there already", "name a new folder: install.py FOLDER")
    print(f"Installing into {folder}; this takes some minutes.", flush=True)
    failed = installed_into(folder)
    if failed:
        shutil.rmtree(str(folder), ignore_errors=True)
        return refused(failed, "ask the instructor, or open pages/index.html, which needs no Python")
    command = folder.resolve() / ("Scripts" if os.name == "nt" else "bin") / "trimkit"
    print("Done. Open the lessons with:\n  " + ("& " if os.name == "nt" else "") + f'"{command}" lessons')
    return 0


def installed_into(folder: Path) -> str:
    """Make the environment and install from the stick alone; return why that failed, or nothing."""
    made = subprocess.run([sys.executable, "-m", "venv", str(folder)], check=False)
    if made.returncode:
        return f"Python could not make a virtual environment in {folder} (its words are above)"
    python = folder / ("Scripts" if os.name == "nt" else "bin") / "python"
    command = [str(python), "-m", "pip", "--isolated", "install", "--quiet", "--disable-pip-version-check"]
    command += ["--no-index", "--no-cache-dir", "--find-links", str(STICK / "wheels"), "trimkit"]
    # No setting of this computer may lead pip to the net or to other wheels.
    done = subprocess.run(command, env=dict(os.environ, PIP_CONFIG_FILE=os.devnull), check=False)
    return "pip could not install from the stick (its words are above)" if done.returncode else ""


if __name__ == "__main__":
    sys.exit(main())
