"""The house stands: floors import downwards only, the two wings never meet, heavy libraries stay in their rooms."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

import trimkit
import trimkit.study

PACKAGE = Path(trimkit.__file__).parent
FLOOR = {"parts": 0, "trim": 1, "mechanics": 1, "club": 2, "check": 3, "shop": 4, "papers": 5, "study": 6, "cli": 7}
STUDY_FLOOR = {"frame": 0, "figures": 1, "labs": 2, "form": 2, "exercises": 3, "page": 4, "course": 5}
FACE = {"trimkit.__version__", "trimkit.lazily"}
MOST_FILES = 16
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
    assert {room(module) for module in MODULES} - {"__init__", "__main__"} == set(FLOOR)
    study = {module.relative_to(PACKAGE / "study").parts[0] for module in (PACKAGE / "study").glob("*/*.py")}
    assert study == set(STUDY_FLOOR)


@pytest.mark.parametrize("module", MODULES, ids=lambda m: str(m.relative_to(PACKAGE)))
def test_imports_go_down_and_the_wings_never_meet(module):
    here = room(module)
    names = list(imported(module))
    if here in FLOOR:
        inside = [name.split(".")[1] for name in names if name.startswith("trimkit.") and name not in FACE]
        assert not [there for there in inside if there != here and FLOOR[there] >= FLOOR[here]], f"{here} looks up"
    if here == "study" and module.parent.name != "study":
        mine = module.relative_to(PACKAGE / "study").parts[0]
        inside = [name.split(".")[2] for name in names if name.startswith("trimkit.study.")]
        assert not [there for there in inside if there != mine and STUDY_FLOOR[there] >= STUDY_FLOOR[mine]]
    if here not in ("study", "cli"):
        assert not {n.split(".")[0] for n in names} & {"matplotlib", "ipywidgets", "IPython"}


def test_no_room_is_too_full_to_draw_from_memory():
    rooms = {module.parent for module in MODULES}
    full = {str(room): n for room in rooms if (n := len(list(room.glob("[!_]*.py")))) > MOST_FILES}
    assert full == {}


def test_tests_mirror_the_rooms():
    tests = PACKAGE.parent / "tests"
    rooms = {module.parent.relative_to(PACKAGE) for module in MODULES} - {Path("study/exercises/questions")}
    missing = [room for room in rooms if not (tests / room).is_dir()]
    assert missing == []


@pytest.mark.parametrize("name", ["utils", "helpers", "common", "manager", "misc"])
def test_no_module_is_a_drawer_for_everything(name):
    assert not [m for m in MODULES if m.stem == name]


@pytest.mark.parametrize("package", ["trimkit", "trimkit.parts.catalogue", "trimkit.club.set"])
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


@pytest.mark.parametrize("face", [trimkit, trimkit.study], ids=["trimkit", "trimkit.study"])
def test_every_name_of_the_face_is_there_and_lives_where_it_says(face):
    for name, home in face._HOME.items():
        assert getattr(face, name).__module__ == f"{face.__name__}.{home}"
    assert face.__all__ == list(face._HOME)
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        _ = face.nothing


def test_readme_and_notebooks_import_from_the_face_alone():
    root = PACKAGE.parent
    readers = [root / "README.md", *(root / "notebooks").glob("*.ipynb")]
    for reader in readers:
        found = set(re.findall(r"(?:from|import) (trimkit[\w.]*)", reader.read_text(encoding="utf-8")))
        assert found <= {"trimkit", "trimkit.study"}, reader.name
    assert len(readers) > 10


def test_the_face_loads_nothing_until_it_is_asked():
    code = "import sys, trimkit; print(*sorted(m for m in sys.modules if m.startswith('trimkit')))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["trimkit"]
