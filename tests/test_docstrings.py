"""Every public function says what it does, its units, what it raises, and (where it computes) what it rests on.

The source is read, not imported, so that nothing is missed that an import would hide.
"""

import ast
import re
from dataclasses import dataclass
from pathlib import Path

import pytest

import trimkit

PACKAGE = Path(trimkit.__file__).parent
NUMBER = re.compile(r"\b(float|Floats|ArrayLike)\b")
UNIT_IN_NAME = re.compile(
    r"_(in|g|cpm|cpm2|points|factor|part|probability|rad|kg_cm2|g_cm2|oz_in|n_m2|kg_m|g_m|n_m_per_rad|per_in|cm|mm)$"
)
UNIT_IN_WORDS = re.compile(
    r"\(in[,)]|, in\b[.:;,)]|, in$|\bin (in|g|cpm|mm)\b|\(g[,)]|, g\b"
    r"|\b(inch|inches|mm|cm|metres|grams?|cpm|cycles per minute|rad|rad/s|Hz|Pa|SI|pixels|points?)\b"
    r"|\b(oz in|g cm\^2|kg cm\^2|N m|g/m)\b"
    r"|\b(no|without) unit\b|\b0 to 1\b|\bpart 0\b|\b(its|their|whatever|the) unit\b|\bunit of\b|units unchanged"
    r"|\b(flex|flexes|rungs?|steps)\b|how many clubs|``unit``",
    re.MULTILINE,
)
SOURCE = re.compile(
    r"common practice|from memory|derived|standing|source|invented|chosen here|by definition|scipy|numpy"
    r"|\b(1[89]|20)\d\d\b",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Function:
    """One public function or method, the words about it, and the words around it."""

    where: str
    room: str
    node: ast.FunctionDef
    own: str
    around: str

    @property
    def returns_number(self):
        return self.node.returns is not None and bool(NUMBER.search(ast.unparse(self.node.returns)))


def _functions(body, where, around):
    for node in body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield from _functions(node.body, f"{where}.{node.name}", f"{around}\n{ast.get_docstring(node) or ''}")
        elif isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            yield where, node, ast.get_docstring(node) or "", around


def _all():
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        parts = path.relative_to(PACKAGE).with_suffix("").parts
        module = ast.get_docstring(tree) or ""
        for where, node, own, around in _functions(tree.body, ".".join(parts), module):
            found.append(Function(f"{where}.{node.name}", parts[0], node, own, around))
    return found


FUNCTIONS = _all()


def _raised(function):
    """The names of the exceptions that the function's own body raises."""
    for node in ast.walk(function.node):
        if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call) and isinstance(node.exc.func, ast.Name):
            name = node.exc.func.id
            if name[0].isupper() and name != "AssertionError":  # an assertion is for whoever works on the package
                yield name


def test_the_tree_was_read():
    assert len(FUNCTIONS) > 300
    assert {"parts", "trim", "mechanics", "club", "check", "shop", "papers", "study"} <= {
        function.room for function in FUNCTIONS
    }


@pytest.mark.parametrize("room", ["parts", "trim", "mechanics", "club", "check", "shop", "papers", "study", "cli"])
def test_every_public_function_has_words(room):
    assert [f.where for f in FUNCTIONS if f.room == room and len(f.own) < 12] == []


def test_what_a_function_raises_stands_in_its_words():
    missing = [(f.where, name) for f in FUNCTIONS for name in _raised(f) if name not in f.own + f.around]
    assert missing == []


def test_a_function_that_gives_a_number_names_its_unit():
    missing = [
        f.where
        for f in FUNCTIONS
        if f.returns_number and not UNIT_IN_NAME.search(f.node.name) and not UNIT_IN_WORDS.search(f.own)
    ]
    assert missing == []


def test_a_number_that_a_function_takes_has_its_unit_in_its_name_or_in_words():
    missing = []
    for f in FUNCTIONS:
        for argument in (*f.node.args.args, *f.node.args.kwonlyargs):
            number = argument.annotation is not None and NUMBER.search(ast.unparse(argument.annotation))
            said = UNIT_IN_NAME.search(argument.arg) or UNIT_IN_WORDS.search(f.own + f.around)
            if number and not said:
                missing.append((f.where, argument.arg))
    assert missing == []


@pytest.mark.parametrize("room", ["parts", "trim", "mechanics", "club", "check", "shop"])
def test_a_function_that_computes_says_what_it_rests_on(room):
    missing = [
        f.where for f in FUNCTIONS if f.room == room and f.returns_number and not SOURCE.search(f.own + "\n" + f.around)
    ]
    assert missing == []
