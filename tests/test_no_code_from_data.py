"""Data is never run: the package has no call that could make code of a text or a file.

One place loads modules by name: the face of the package (PEP 562), and only from its own written-out tables.
"""

import ast
from pathlib import Path

import pytest

import trimkit

PACKAGE = Path(trimkit.__file__).parent
MODULES = sorted(PACKAGE.rglob("*.py"))
FACE = PACKAGE / "__init__.py"
TEMPLATES = sorted(PACKAGE.rglob("*.j2"))

# Names whose use alone makes code of data, or loads what can.
NAMES = {"eval", "exec", "compile", "__import__", "execfile", "breakpoint", "globals", "locals", "vars"}
MODULES_THAT_RUN = {
    *("pickle", "_pickle", "cPickle", "cloudpickle", "dill", "marshal", "shelve", "joblib", "code", "codeop", "imp"),
    *("importlib", "runpy", "yaml", "xml", "ctypes", "pty", "jsonpickle"),
}
# Attributes that do so on whatever they are called.
ATTRIBUTES = {
    *("eval", "query", "read_pickle", "to_pickle", "read_hdf", "read_html", "read_xml", "read_sql", "fromstring"),
    *("sympify", "from_string", "unsafe_load", "full_load", "literal_eval_unsafe", "system", "popen", "startfile"),
    *("execv", "execve", "execvp", "spawnl", "spawnv", "run_cell", "run_line_magic", "run_code", "Javascript"),
}
SETTINGS = {"shell": False, "allow_pickle": False, "autoescape": True}
"""Arguments that may only be given this value, in so many words."""


def offences(tree):
    """Yield the line and the words of everything in a module's tree that could run data."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            named = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            named = [node.module or "", *(f"{node.module}.{alias.name}" for alias in node.names)]
        else:
            named = []
        named = [name for name in named if not name.startswith("importlib.metadata")]  # it reads, and loads nothing
        yield from ((node.lineno, f"import {name}") for name in named if name.split(".")[0] in MODULES_THAT_RUN)
        if isinstance(node, ast.Name) and node.id in NAMES:
            yield node.lineno, node.id
        if isinstance(node, ast.Attribute) and node.attr in ATTRIBUTES | NAMES and not is_re_compile(node):
            yield node.lineno, f".{node.attr}"
        if isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            for argument in node.keywords:
                if argument.arg in SETTINGS and not is_constant(argument.value, SETTINGS[argument.arg]):
                    yield node.lineno, f"{argument.arg}={ast.unparse(argument.value)}"
            if name == "Environment" and not any(argument.arg == "autoescape" for argument in node.keywords):
                yield node.lineno, "a template environment that escapes nothing"
            if name == "Template":
                yield node.lineno, "a template of its own, which escapes nothing"
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value in MODULES_THAT_RUN - {"code"}:
            yield node.lineno, f"the name {node.value!r} as text"


def is_constant(node, value):
    return isinstance(node, ast.Constant) and node.value is value


def is_re_compile(node):
    """``re.compile`` makes a pattern, not code."""
    return node.attr == "compile" and isinstance(node.value, ast.Name) and node.value.id == "re"


@pytest.mark.parametrize("module", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_no_module_makes_code_of_data(module):
    found = [words for _line, words in offences(ast.parse(module.read_text(encoding="utf-8")))]
    assert found == (["import importlib", "import importlib.import_module"] if module == FACE else [])


def test_the_face_loads_by_name_only_what_its_tables_spell_out():
    tree = ast.parse(FACE.read_text(encoding="utf-8"))
    calls = [
        node for node in ast.walk(tree) if isinstance(node, ast.Call) and "import_module" in ast.unparse(node.func)
    ]
    assert [ast.unparse(call) for call in calls] == ["import_module(f'{package}.{home[name]}')"]
    for module in (FACE, PACKAGE / "study" / "__init__.py"):
        tree = ast.parse(module.read_text(encoding="utf-8"))
        (table,) = [n.value for n in tree.body if isinstance(n, ast.Assign) and ast.unparse(n.targets[0]) == "_HOME"]
        assert all(isinstance(home, ast.Constant) for home in table.values)
        uses = [ast.unparse(n) for n in ast.walk(tree) if isinstance(n, ast.Call) and ast.unparse(n.func) == "lazily"]
        assert uses == ["lazily(__name__, _HOME)"]


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: path.name)
def test_no_template_leaves_anything_unescaped_or_runs_anything(template):
    text = template.read_text(encoding="utf-8")
    for words in ("|safe", "| safe", "autoescape false", "<script", "javascript:", "__"):
        assert words not in text


@pytest.mark.parametrize(
    "text",
    [
        "eval(text)",
        "exec(text)",
        "builtins.exec(text)",
        "import pickle",
        "from pickle import loads",
        "import yaml",
        "import importlib.util",
        "from importlib import import_module",
        "subprocess.run(words, shell=True)",
        "subprocess.run(words, shell=anything)",
        "np.load(path, allow_pickle=True)",
        "Environment(loader=loader)",
        "Environment(autoescape=False)",
        "Environment(autoescape=select_autoescape())",
        "Template(text)",
        "environment.from_string(text)",
        "frame.query(text)",
        "pd.read_pickle(path)",
        "os.system(text)",
        "__import__(name)",
        "getattr(sys.modules, 'pickle')",
        "compile(text, 'x', 'exec')",
    ],
)
def test_the_scan_finds(text):
    assert list(offences(ast.parse(text)))


def test_the_scan_lets_a_pattern_and_a_json_document_pass():
    assert not list(offences(ast.parse("import json, re, tomllib\njson.loads(text)\nre.compile('x')\n")))
