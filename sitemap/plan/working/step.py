"""A formula as it is printed, a step that uses it, and both in the units of a site.

A formula is written once, in `formulas.toml`, and that text is what is printed and what is reckoned with here. Where
units of the site do not cancel (pounds of char and gallons of water), the step prints the one factor `k` that its
result is multiplied by.
"""

from __future__ import annotations

import ast
import math
import operator
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from types import MappingProxyType

import numpy as np

from sitemap.plan.phrases import Words
from sitemap.ranges import Drawn
from sitemap.reasons import Fact
from sitemap.units import UNITS, rounded, to_display, unit_label

_SAME = 1e-4  # of a factor that is only what rounding leaves
DIGITS = 5  # significant digits of what goes in, so that what comes out can be told to three
_OPERATORS: Mapping[type, Callable[[float, float], float]] = MappingProxyType(
    {ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv, ast.Pow: pow}
)
_FUNCTIONS: Mapping[str, Callable[..., float]] = MappingProxyType(
    {"max": max, "min": min, "sqrt": math.sqrt, "ln": math.log, "ceil": lambda x: math.ceil(round(x, 6))}
)


@dataclass(frozen=True)
class Formula:
    """gives : what it is for; form : as it is printed; source, evidence : as of any figure"""

    key: str
    number: int
    gives: str
    form: str
    source: str
    evidence: str


@dataclass(frozen=True)
class Value:
    """A number of a step.

    symbol : as in the formula; number : in `unit`, a key of units.UNITS, or two of them as "l/m3", or ""
    fixed : shown in its metric unit whatever the site's, for a formula that is written for it
    basis : where it comes from; ends : between which its draws lie, eight of ten, where it was drawn
    """

    symbol: str
    number: float
    unit: str = ""
    fixed: bool = False
    basis: str = ""
    ends: tuple[float, float] | None = None

    @classmethod
    def of(cls, symbol: str, drawn: Drawn, unit: str = "", times: float = 1.0, basis: str = "") -> Value:
        """A drawn figure, with its ends, as it goes into a step; times : of the figure's own unit in one of `unit`"""
        low, likely, high = (times * each for each in drawn.triple())
        return cls(symbol, likely, unit, basis=basis, ends=(low, high))

    def shown(self, system: str) -> tuple[float, str]:
        """The number and its unit as a person of a system reads them."""
        system = "metric" if self.fixed else system
        if self.unit in UNITS or not self.unit:
            return to_display(self.number, self.unit, system), unit_label(self.unit, system)
        above, below = self.unit.split("/")
        many = to_display(self.number, above, system) / to_display(1.0, below, system)
        return many, f"{unit_label(above, system)}/{unit_label(below, system)}"

    def told(self, words: Words) -> str:
        """As it is printed: "V = 12.3 m³"."""
        number, label = self.shown(words.units)
        label = words.figure(label)
        told = [words.own(self.basis)] if self.basis else []
        if self.ends is not None:
            ends = dict.fromkeys(rounded(replace(self, number=end).shown(words.units)[0], 3) for end in self.ends)
            told += ["–".join(ends)] if len(ends) > 1 else []
        rests = f" ({', '.join(told)})" if told else ""
        return f"{self.symbol} = {plain(number)}{' ' if label else ''}{label}{rests}"


def share_of(part: Drawn, whole: Drawn) -> Drawn:
    """A part as a share of the whole, drawn together; nothing where the whole is nothing."""
    return Drawn(np.divide(part.values, whole.values, out=np.zeros_like(whole.values), where=whole.values > 0))


@dataclass(frozen=True)
class Step:
    """One figure: formula, what goes in, what comes out.

    spread : with its range, where it has one; of : the name in the words of the figure
    """

    figure: str
    formula: str
    inputs: tuple[Value, ...]
    result: Value
    spread: Drawn | None = None
    of: Fact = None

    def factor(self, system: str) -> float:
        """What the printed formula must be multiplied by to give the printed result in a system of units."""
        values = {value.symbol: value.shown(system)[0] for value in self.inputs}
        found, wanted = evaluate(formulas()[self.formula].form, values), self.result.shown(system)[0]
        return 1.0 if found == wanted or found == 0 else wanted / found


def told(step: Step, words: Words) -> tuple[str, str, str, str]:
    """Figure, number of its formula, what goes in, what comes out with its range."""
    system = words.units
    result, label = step.result.shown(system)
    label = words.figure(label)
    gives = f"{plain(result)} {label}".strip()
    if step.spread is not None:
        low, _, high = step.spread.triple()
        ends = [replace(step.result, number=end).shown(system)[0] for end in (low, high)]
        if ends[0] != ends[1]:
            gives += f" ({rounded(ends[0], 3)}–{rounded(ends[1], 3)})"
    inputs = [value.told(words) for value in step.inputs]
    factor = step.factor(system)
    if abs(factor - 1) > _SAME and step.formula != "balance":
        inputs.append(f"k = {plain(factor)}")
    return words.own(step.figure, of=step.of), f"F{formulas()[step.formula].number}", "; ".join(inputs), gives


def plain(number: float) -> str:
    """A number with enough digits to go on with; very small ones by powers of ten.

    >>> plain(1234.56), plain(0.0000123456), plain(-2.0)
    ('1,234.6', '1.2346e−05', '−2')
    """
    small = number != 0 and abs(number) < 0.001
    return (f"{number:.{DIGITS - 1}e}" if small else rounded(number, DIGITS)).replace("-", "−")


@cache
def formulas() -> Mapping[str, Formula]:
    """Every formula by its key, numbered as they stand in the file."""
    rows = tomllib.loads(files(__package__).joinpath("formulas.toml").read_text(encoding="utf-8"))["formula"]
    return MappingProxyType({row["key"]: Formula(number=number, **row) for number, row in enumerate(rows, start=1)})


def evaluate(form: str, values: Mapping[str, float]) -> float:
    """What a printed formula gives.

    >>> evaluate("max(a, 2) × π ÷ b^2", {"a": 1.0, "b": 2.0})
    1.5707963267948966
    """
    written = form.replace("×", "*").replace("÷", "/").replace("^", "**").replace("−", "-")
    return _value(ast.parse(written, mode="eval").body, {**values, "π": math.pi})


def _value(node: ast.expr, values: Mapping[str, float]) -> float:
    match node:
        case ast.Constant(value=float() | int() as number):
            return float(number)
        case ast.Name(id=name):
            return values[name]
        case ast.BinOp(left=left, op=op, right=right):
            return _OPERATORS[type(op)](_value(left, values), _value(right, values))
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return -_value(operand, values)
        case ast.Call(func=ast.Name(id=name), args=arguments):
            return float(_FUNCTIONS[name](*(_value(each, values) for each in arguments)))
    raise ValueError(f"A formula cannot hold {ast.dump(node)}. This is a fault of the program.")
