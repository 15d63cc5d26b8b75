"""The house stands: floors import downwards only, the two wings never meet, heavy libraries stay in their rooms."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import trimkit

PACKAGE = Path(trimkit.__file__).parent
FLOOR = {"parts": 0, "trim": 1, "mechanics": 1, "build": 2, "study": 3, "cli": 4, "__main__": 5}
MODULES = sorted(PACKAGE.rglob("*.py"))


def room(module):
    """The first name below the package: 'parts', 'trim', ..., or 'cli'."""
    return module.relative_to(PACKAGE).with_suffix("").parts[0]


def imported(module):
    """Every module name that a file imports, at its top or inside a function."""
    for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module}: relative import"
            yield node.module
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def test_every_room_has_a_floor():
    rooms = {room(module) for module in MODULES} - {"__init__"}
    assert rooms <= set(FLOOR)
    assert {"parts", "trim", "mechanics", "build", "study"} <= rooms


@pytest.mark.parametrize("module", MODULES, ids=lambda m: str(m.relative_to(PACKAGE)))
def test_imports_go_down_and_the_wings_never_meet(module):
    here = room(module)
    names = list(imported(module))
    for name in names:
        if not name.startswith("trimkit."):
            continue
        there = name.split(".")[1]
        if there not in FLOOR:
            assert name == "trimkit.__version__"
            continue
        assert there == here or FLOOR[there] < FLOOR[here], f"{here} imports {name}"
    if here not in ("study", "cli"):
        assert not {n.split(".")[0] for n in names} & {"matplotlib", "ipywidgets", "IPython"}


@pytest.mark.parametrize("name", ["utils", "helpers", "common", "manager", "misc"])
def test_no_module_is_a_drawer_for_everything(name):
    assert not [m for m in MODULES if m.stem == name]


@pytest.mark.parametrize("package", ["trimkit", "trimkit.parts.catalogue", "trimkit.build.set"])
def test_what_is_imported_for_computing_leaves_the_heavy_libraries_alone(package):
    code = (
        f"import sys, {package}; print(*sorted({{'matplotlib', 'pandas', 'ipywidgets', 'IPython'}} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""


def test_the_root_holds_what_the_plan_names_and_nothing_else():
    root = PACKAGE.parent
    listed = subprocess.run(["git", "ls-files", "-co", "--exclude-standard"], cwd=root, capture_output=True, text=True)
    if listed.returncode:
        pytest.skip("not a git checkout (the plan of the root is a matter of the repository)")
    found = {Path(line).parts[0] for line in listed.stdout.splitlines()}
    plan = {"README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "pyproject.toml"}
    plan |= {"trimkit", "notebooks", "tests", "data", "figures"}
    assert {name for name in found if not name.startswith(".")} == plan
