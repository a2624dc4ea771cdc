"""The small faults a module offers: a constant another one, an edge of a comparison moved, a comparison turned round, a
term dropped, min for max, a `not` or a sign left out."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass

EDGES: dict[type[ast.cmpop], str] = {ast.Lt: "<=", ast.LtE: "<", ast.Gt: ">=", ast.GtE: ">"}
TURNED: dict[type[ast.cmpop], str] = {
    ast.Eq: "!=",
    ast.NotEq: "==",
    ast.Is: "is not",
    ast.IsNot: "is",
    ast.In: "not in",
    ast.NotIn: "in",
}
OTHER_END = {"min": "max", "max": "min", "any": "all", "all": "any", "minimum": "maximum", "maximum": "minimum"}


@dataclass(frozen=True)
class Mutant:
    """One fault: what is written instead, from a place in the text to another [characters]."""

    kind: str
    start: int
    end: int
    new: str

    def put(self, text: str) -> str:
        """The text with the fault in it."""
        return text[: self.start] + self.new + text[self.end :]


def mutants_of(text: str) -> list[Mutant]:
    """Every fault a module offers, in the order of the text.

    >>> [m.put("y = max(x, 2) if x < 3 else -x") for m in mutants_of("y = max(x, 2) if x < 3 else -x")][:2]
    ['y = min(x, 2) if x < 3 else -x', 'y = max(x, 3) if x < 3 else -x']
    """
    starts = [0]
    for line in text.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    lines = text.splitlines(keepends=True)

    def place(line: int, column: int) -> int:
        return starts[line - 1] + len(lines[line - 1].encode()[:column].decode())

    def span(node: ast.expr) -> tuple[int, int]:
        return place(node.lineno, node.col_offset), place(node.end_lineno or 0, node.end_col_offset or 0)

    def said(node: ast.expr) -> str:
        """As it is written; what is made of parts in brackets, which stand outside of its own place."""
        written = text[slice(*span(node))]
        return f"({written})" if isinstance(node, ast.NamedExpr | ast.BoolOp | ast.IfExp | ast.Compare) else written

    found = []
    for node in _computed(ast.parse(text)):
        for kind, part, new in _faults(node, said):
            found.append(Mutant(kind, *span(part), new))
    return sorted(found, key=lambda mutant: (mutant.start, mutant.end, mutant.new))


def _computed(tree: ast.AST) -> Iterator[ast.expr]:
    """Expressions that compute: no annotations, no f-strings."""
    for name, value in ast.iter_fields(tree):
        for each in value if isinstance(value, list) else [value]:
            if not isinstance(each, ast.AST) or name in ("annotation", "returns") or isinstance(each, ast.JoinedStr):
                continue
            if isinstance(each, ast.expr):
                yield each
            yield from _computed(each)


def _faults(node: ast.expr, said: object) -> Iterator[tuple[str, ast.expr, str]]:
    text = said if callable(said) else str
    if isinstance(node, ast.Constant) and type(node.value) in (int, float):
        yield "constant", node, repr(node.value + 1 if type(node.value) is int else node.value * 1.1 or 1.0)
    elif isinstance(node, ast.Compare) and len(node.ops) == 1:
        for kind, table in (("edge", EDGES), ("negate", TURNED)):
            sign = table.get(type(node.ops[0]))
            if sign:
                yield kind, node, f"{text(node.left)} {sign} {text(node.comparators[0])}"
    elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub | ast.Mult | ast.Div):
        yield "drop", node, f"({text(node.left)})"
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not | ast.USub):
        yield "unary", node, f"({text(node.operand)})"
    elif isinstance(node, ast.Call):
        name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
        if name in OTHER_END:
            whole = text(node.func)
            yield "minmax", node.func, whole[: len(whole) - len(name)] + OTHER_END[name]
