"""Every public function says what it does, its units and what it raises; physics and figures say what they rest on.

The source is read, not imported, so that nothing is missed that an import would hide.
"""

import ast
import itertools
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
    r"|\b(no|without) unit\b|\b0 to 1\b|\bfraction 0\b|\b(its|their|whatever|the) unit\b|\bunit of\b|units unchanged"
    r"|\b(flex|flexes|rungs?|steps)\b|how many clubs|``unit``",
    re.MULTILINE,
)
# A standing in the words of trimkit.parts.sources, a standard, or a reference with its year; "source" says nothing.
RESTS_ON = re.compile(
    r"common practice|from memory|derived|chosen here|by definition|any (text|hand)book|\bEN \d+|\b(1[89]|20)\d\d\b"
    r"|Equipment Rules Part \d|tables of constructional steel",
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


def test_physics_says_what_it_rests_on():
    """Of every function in mechanics that gives a number; ``batch`` only checks shapes."""
    computing = [f for f in FUNCTIONS if f.room == "mechanics" and f.returns_number and ".batch." not in f.where]
    assert len(computing) > 20
    assert [f.where for f in computing if not RESTS_ON.search(f"{f.own}\n{f.around}")] == []


def _figures():
    """Every number with a public name at the head of a module of the two wings, and the words under or above it."""
    for room in ("trim", "mechanics"):
        for path in sorted((PACKAGE / room).glob("*.py")):
            text = path.read_text(encoding="utf-8")
            body = ast.parse(text).body
            for node, after in itertools.zip_longest(body, body[1:]):
                if not isinstance(node, ast.Assign) or not isinstance(node.targets[0], ast.Name):
                    continue
                name, leaves = node.targets[0].id, [n for n in ast.walk(node.value) if isinstance(n, ast.expr)]
                numbers = [n for n in leaves if isinstance(n, ast.Constant) and type(n.value) in (int, float)]
                plain = all(isinstance(n, ast.BinOp | ast.UnaryOp) or n in numbers for n in leaves)
                if name.startswith("_") or not numbers or not plain:
                    continue
                under = (
                    after.value.value if isinstance(after, ast.Expr) and isinstance(after.value, ast.Constant) else ""
                )
                above = itertools.takewhile(
                    lambda line: line.startswith("#"), reversed(text.splitlines()[: node.lineno - 1])
                )
                yield f"{room}.{path.stem}.{name}", "\n".join([under, *above])


def test_a_figure_says_what_it_rests_on():
    figures = dict(_figures())
    assert {"trim.length.LONGEST_IN", "trim.stepping.FLEX_PER_STEP", "mechanics.balance.FULCRUM_IN"} <= set(figures)
    assert [name for name, words in figures.items() if not RESTS_ON.search(words)] == []


def test_some_words_about_a_source_are_no_source():
    assert not RESTS_ON.search("Some steps, from a source.")
    assert not RESTS_ON.search("Standing: each number has its own source.")
