"""The mutants of a module: mutmut's operators, and a few more, on every line that computes something.

Left out are mutants of words: string literals as such, and a string literal replaced by None. A wording is looked at by
eye. Left out as well are annotations, decorators and docstrings, what runs only for a type checker or as a script, and
``strict`` of ``zip``, which tells of a mistake and changes nothing else.

Beyond mutmut's own operators: a float is tripled; None is returned (or True and False, where it is one of them); a
condition is always or never met; a call made for its effect is not made; min and max, any and all are swapped. And
mutmut passes over decorated functions (properties, validators, context managers), class bodies and the constants of a
module; here they are mutated like the rest.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import libcst as cst
from libcst import matchers as m
from libcst.metadata import MetadataWrapper, PositionProvider
from mutmut.mutation import mutators
from mutmut.mutation.file_mutation import MutationVisitor
from mutmut.mutation.pragma_handling import IgnoredCode

Lines = tuple[int, int]

WORDS = m.SimpleString() | m.FormattedString() | m.ConcatenatedString()
TRUTHS = (
    m.Comparison()
    | m.BooleanOperation()
    | m.UnaryOperation(operator=m.Not())
    | m.Call(func=m.Name("any") | m.Name("all") | m.Name("bool"))
)
STRICT = m.Arg(keyword=m.Name("strict"))
NEVER_RUN = m.Name("TYPE_CHECKING") | m.Comparison(left=m.Name("__name__"))
SWAPPED = {"min": "max", "max": "min", "any": "all", "all": "any", "floor": "ceil", "ceil": "floor"}


def number(node: cst.BaseNumber) -> Iterable[cst.BaseNumber]:
    if isinstance(node, cst.Float) and node.evaluated_value:
        return [cst.Float(repr(3 * node.evaluated_value))]
    return mutators.operator_number(node)


def without_words(node: cst.Call) -> Iterator[cst.Call]:
    for mutant in mutators.operator_arg_removal(node):
        replaced = [old for old, new in zip(node.args, mutant.args, strict=False) if old is not new]
        dropped = [each for each in node.args if each not in mutant.args]
        if any(m.matches(each, STRICT) for each in dropped):
            continue
        if len(mutant.args) < len(node.args) or not m.matches(replaced[0].value, WORDS):
            yield mutant


def returned(node: cst.Return) -> Iterator[cst.Return]:
    if node.value is None or m.matches(node.value, m.Name("None") | m.Name("True") | m.Name("False")):
        return
    values = ("True", "False") if m.matches(node.value, TRUTHS) else ("None",)
    for value in values:
        yield node.with_changes(value=cst.Name(value), whitespace_after_return=cst.SimpleWhitespace(" "))


def condition(node: cst.If | cst.While | cst.CompIf) -> Iterator[cst.CSTNode]:
    space = "whitespace_after_while" if isinstance(node, cst.While) else "whitespace_before_test"
    for value in ("False",) if isinstance(node, cst.While) else ("True", "False"):
        if not m.matches(node.test, m.Name(value)):
            yield node.with_changes(**{"test": cst.Name(value), space: cst.SimpleWhitespace(" ")})


def not_called(node: cst.Expr) -> Iterator[cst.Pass]:
    if isinstance(node.value, cst.Call):
        yield cst.Pass()


def swapped(node: cst.Name) -> Iterator[cst.Name]:
    if node.value in SWAPPED:
        yield node.with_changes(value=SWAPPED[node.value])


OPERATORS = [
    (cst.BaseNumber, number),
    (cst.Call, without_words),
    (cst.Return, returned),
    (cst.If, condition),
    (cst.While, condition),
    (cst.CompIf, condition),
    (cst.Expr, not_called),
    (cst.Name, swapped),
    *(
        pair
        for pair in mutators.mutation_operators
        if pair[1] not in (mutators.operator_string, mutators.operator_number, mutators.operator_arg_removal)
    ),
]


class Visitor(MutationVisitor):
    """mutmut's visitor, which goes into decorated functions as well and remembers where it is."""

    def __init__(self) -> None:
        super().__init__(OPERATORS, IgnoredCode(set(), set(), set()))
        self.found: list[tuple[cst.CSTNode, cst.CSTNode, Lines, Lines, tuple[str, ...], bool]] = []
        self._names: list[str] = []
        self._functions: list[cst.FunctionDef] = []
        self._statements: list[cst.CSTNode] = []
        self._in_body = False

    def _skip_node_and_children(self, node: cst.CSTNode) -> bool:
        if isinstance(node, cst.FunctionDef):
            return False
        if m.matches(node, STRICT | m.If(test=NEVER_RUN)):
            return True
        return super()._skip_node_and_children(node)

    def on_visit(self, node: cst.CSTNode) -> bool:
        if isinstance(node, cst.FunctionDef | cst.ClassDef):
            self._names.append(node.name.value)
        if isinstance(node, cst.FunctionDef):
            self._functions.append(node)
        if isinstance(node, cst.BaseCompoundStatement | cst.SimpleStatementLine):
            self._statements.append(node)
        if self._functions and node is self._functions[0].body:
            self._in_body = True
        return super().on_visit(node)

    def on_leave(self, original_node: cst.CSTNode) -> None:
        super().on_leave(original_node)
        if self._functions and original_node is self._functions[0].body:
            self._in_body = False
        if isinstance(original_node, cst.FunctionDef | cst.ClassDef):
            self._names.pop()
        if isinstance(original_node, cst.FunctionDef):
            self._functions.pop()
        if isinstance(original_node, cst.BaseCompoundStatement | cst.SimpleStatementLine):
            self._statements.pop()

    def _create_mutations(self, node: cst.CSTNode) -> None:
        before = len(self.mutations)
        super()._create_mutations(node)
        if len(self.mutations) == before:
            return
        header = node.test if isinstance(node, cst.If | cst.While) else node
        first = self.get_metadata(PositionProvider, self._statements[-1]).start.line
        last = max(first, self.get_metadata(PositionProvider, header).end.line)
        scope = self.get_metadata(PositionProvider, (self._functions or self._statements)[0])
        function = (scope.start.line, scope.end.line)
        for new in self.mutations[before:]:
            change = (new.original_node, new.mutated_node)
            self.found.append((*change, (first, last), function, tuple(self._names), self._in_body))


@dataclass(frozen=True, eq=False)
class Mutant:
    """One change in a module. lines, function: first and last of each. in_body: inside the body of a function."""

    module: Module
    original: cst.CSTNode
    mutated: cst.CSTNode
    lines: Lines
    function: Lines
    names: tuple[str, ...]
    in_body: bool

    def text(self) -> str:
        return self.module.tree.deep_replace(self.original, self.mutated).code

    @property
    def where(self) -> str:
        return ".".join(self.names) or "module"

    def change(self) -> tuple[str, str]:
        """The changed lines before and after, each as one line."""
        old, new = self.module.tree.code.splitlines(), self.text().splitlines()
        lines = [line for line in difflib.ndiff(old, new) if line[:2] in ("- ", "+ ")]
        return tuple(" ".join(line[2:].strip() for line in lines if line[0] == sign) for sign in "-+")


@dataclass
class Module:
    """A module and its mutants."""

    path: Path
    tree: cst.Module = field(init=False)
    mutants: list[Mutant] = field(init=False)

    def __post_init__(self) -> None:
        wrapper = MetadataWrapper(cst.parse_module(self.path.read_text("utf-8")))
        self.tree = wrapper.module
        visitor = Visitor()
        wrapper.visit(visitor)
        self.mutants = [Mutant(self, *found) for found in visitor.found]
