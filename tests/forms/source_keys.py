"""Numbers of the code and where they come from: what a module says beside each number, and what SOURCES.md lists.

A number of a clinical module stands in a module-level constant or table, or inside a function. Either way a mark of its
source (S, S2, C, M, P, or words like "no source") stands beside it: in a comment on its line or above its block, in the
words that belong to the table, or in the docstring of its function. A rule carries its mark as a field, and so speaks
for the functions that see its sign.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

__all__ = ["PLAIN", "Number", "listed_numbers", "numbers", "unlisted", "unmarked"]

MARKS = frozenset({"S", "S2", "C", "M", "P"})
MARKED = re.compile(r"[(,;/ ](?:S2?|C|M|P)(?=[),;/:])|\bno source\b|\bhouse (?:rule|choice|bound)")
NUMERAL = re.compile(r"-?\d*\.?\d+")
RULE = "Rule"

PLAIN = frozenset(map(Fraction, (0, 1, 2, 24, 60, 100, 1000, 3600, 86_400)))
"""Signs, pairs, sides, percent and the clock: they say nothing about a baby and need no source."""

CALENDAR = frozenset(map(Fraction, (3, 7, 10, 11, 12, 1440, 1_000_000)))
"""Plain inside a function as well: weeks, months, minutes of a day, places of a decimal, millionths of a second."""


@dataclass(frozen=True, slots=True)
class Number:
    """One number of a module: its line, its value without sign, the constant or function it stands in, and if marked.

    `constant`: it stands in a module-level constant or table.
    """

    line: int
    value: Fraction
    within: str
    marked: bool
    constant: bool


def _value(node: ast.AST) -> Fraction | None:
    """The number a literal stands for, a numeral in quotes included; its sign is not looked at."""
    if not isinstance(node, ast.Constant) or isinstance(node.value, bool):
        return None
    if isinstance(node.value, int | float):
        return abs(Fraction(str(node.value)))
    if isinstance(node.value, str) and NUMERAL.fullmatch(node.value):
        return abs(Fraction(node.value))
    return None


def _named(node: ast.AST) -> set[str]:
    return {each.id for each in ast.walk(node) if isinstance(each, ast.Name)}


def _rules(tree: ast.Module) -> list[ast.Call]:
    """Every rule declared with a source and a mark of its own."""
    calls = [each for each in ast.walk(tree) if isinstance(each, ast.Call)]
    named = [each for each in calls if isinstance(each.func, ast.Name) and each.func.id == RULE]
    return [call for call in named if MARKS & {
        part.value for part in (*call.args, *(k.value for k in call.keywords))
        if isinstance(part, ast.Constant) and isinstance(part.value, str)
    }]  # fmt: skip


def _spoken_for(tree: ast.Module) -> set[str]:
    """The functions of a module that rules see by, and those that these call."""
    functions = {each.name: each for each in tree.body if isinstance(each, ast.FunctionDef)}
    found = {name for call in _rules(tree) for name in _named(call) if name in functions}
    while more := {name for one in found for name in _named(functions[one]) if name in functions} - found:
        found |= more
    return found


class _Module:
    def __init__(self, text: str) -> None:
        self.lines = text.splitlines()
        self.tree = ast.parse(text)
        self.spoken_for = _spoken_for(self.tree)
        self.in_rules = {id(each) for call in _rules(self.tree) for each in ast.walk(call)}

    def says(self, first: int, last: int) -> bool:
        """Whether a comment on these lines (from 1) carries a mark."""
        return any(MARKED.search(line.partition("#")[2]) for line in self.lines[first - 1 : last])

    def above(self, line: int) -> bool:
        """Whether a comment of its own line in the same block (no empty line between) carries a mark.

        Such a comment speaks for all of the block; one behind a statement only for that statement.
        """
        while line > 1 and (before := self.lines[line - 2].strip()):
            if before.startswith("#") and MARKED.search(before):
                return True
            line -= 1
        return False

    def statement_marked(self, at: int, statement: ast.stmt) -> bool:
        """Whether comments round a module-level statement, the words inside it, or those under it carry a mark."""
        last = statement.end_lineno or statement.lineno
        words = [each.value for each in ast.walk(statement) if isinstance(each, ast.Constant)]
        after = self.tree.body[at + 1] if at + 1 < len(self.tree.body) else None
        if isinstance(after, ast.Expr) and isinstance(after.value, ast.Constant):
            words.append(after.value.value)
        said = any(isinstance(each, str) and MARKED.search(each) for each in words)
        return said or self.says(statement.lineno, last) or self.above(statement.lineno)

    def function_marked(self, function: ast.FunctionDef, line: int) -> bool:
        """Whether a function's docstring, or a comment on the line or just above it, carries a mark."""
        above = line
        while self.lines[above - 2].lstrip().startswith("#"):
            above -= 1
        return bool(MARKED.search(ast.get_docstring(function) or "")) or self.says(above, line)


def _functions(body: Iterable[ast.stmt]) -> Iterator[ast.FunctionDef]:
    for each in body:
        if isinstance(each, ast.FunctionDef):
            yield each
        elif isinstance(each, ast.ClassDef):
            yield from _functions(each.body)


def numbers(text: str) -> Iterator[Number]:
    """Every number of a module that needs a source, in the order of its lines; PLAIN ones are passed over."""
    module = _Module(text)
    for at, statement in enumerate(module.tree.body):
        if not isinstance(statement, ast.Assign | ast.AnnAssign) or statement.value is None:
            continue
        target = statement.targets[0] if isinstance(statement, ast.Assign) else statement.target
        marked = module.statement_marked(at, statement)
        for node in ast.walk(statement.value):
            value = _value(node)
            if value is not None and value not in PLAIN:
                assert isinstance(node, ast.Constant)
                yield Number(node.lineno, value, ast.unparse(target), marked or id(node) in module.in_rules,
                             id(node) not in module.in_rules)  # fmt: skip
    for function in _functions(module.tree.body):
        for node in ast.walk(function):
            value = _value(node) if not isinstance(getattr(node, "value", None), str) else None
            if value is not None and value not in PLAIN | CALENDAR:
                assert isinstance(node, ast.Constant)
                marked = function.name in module.spoken_for or module.function_marked(function, node.lineno)
                yield Number(node.lineno, value, function.name, marked, constant=False)


def unmarked(modules: Mapping[str, str]) -> list[str]:
    """Each number beside which no mark stands: "forms/clinical/weight.py:24 NEAR 0.1"."""
    return [
        f"{path}:{each.line} {each.within} {float(each.value):g}"
        for path, text in modules.items() for each in numbers(text) if not each.marked
    ]  # fmt: skip


def listed_numbers(sources: str) -> dict[str, set[Fraction]]:
    """For each module that SOURCES.md names, every number in the sections that name it."""
    found: dict[str, set[Fraction]] = {}
    for section in re.split(r"^## ", sources, flags=re.MULTILINE):
        named = {Fraction(each.replace(",", "")) for each in re.findall(r"\d+(?:,\d{3})+|\d*\.?\d+", section)}
        for path in re.findall(r"forms/[\w/]+\.py", section):
            found.setdefault(path, set()).update(named)
    return found


def _as_listed(value: Fraction) -> set[Fraction]:
    """How a number may be listed: tenths of a degree Celsius in degrees as well."""
    return {value, value / 10} if 300 <= value <= 430 else {value}


def unlisted(modules: Mapping[str, str], sources: str) -> list[str]:
    """Each number of a constant or table that no section of SOURCES.md naming its module holds.

    Tenths of a degree may be listed in degrees.
    """
    listed = listed_numbers(sources)
    return [
        f"{path}:{each.line} {each.within} {float(each.value):g}"
        for path, text in modules.items() for each in numbers(text)
        if each.constant and not _as_listed(each.value) & listed.get(path, set())
    ]  # fmt: skip
