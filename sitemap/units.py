"""SI inside, metric or US customary at the edges only.

A quantity is stored in the unit its name carries (`lift_m`, `flow_l_min`). Here each such unit says how a person reads
it: its metric label, its US customary label and the exact factor between them.

Factors: international foot 0.3048 m, US gallon 3.785411784 L, avoirdupois pound 0.45359237 kg, international acre
4046.8564224 m² (NIST Special Publication 811, Appendix B; evidence S); psi from pound-force and inch.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Literal

Toward = Literal["nearest", "up", "down"]
SYSTEMS = ("metric", "us")
_ALSO_US = ("us customary", "us_customary", "us-customary")
LARGE = 1000.0  # from here on no decimals are typed
_APART = 4  # significant digits of two figures that are hard to tell apart
REPORT_DIGITS = 6  # significant digits of a figure in JSON

_FOOT = 0.3048  # [m], exact
_INCH = _FOOT / 12  # [m], exact
_MILE = 5280 * _FOOT  # [m], exact
_ACRE = 4046.8564224  # [m²], exact
_GALLON = 3.785411784  # [L], exact
_POUND = 0.45359237  # [kg], exact
_SHORT_TON = 2000 * _POUND  # [kg], exact
_PSI = _POUND * 9.80665 / _INCH**2 / 1000  # [kPa]
_POWER = re.compile(r"(?<![\d.,])\d+(?:[.,]\d+)?[eE][+-]\d{1,2}(?!\d)")  # "1.23E+02", as spreadsheets shorten numbers


@dataclass(frozen=True)
class Unit:
    """How one stored unit is shown: shown = stored × factor + offset.

    whole : from how much on, as shown, nobody says tenths of it; there they stand only where four digits tell two
        figures apart
    """

    metric: str
    us: str
    us_factor: float
    us_offset: float = 0.0
    metric_factor: float = 1.0
    whole: float = math.inf

    def label(self, system: str) -> str:
        """The label in one system."""
        return self.us if system == "us" else self.metric

    def scale(self, system: str) -> tuple[float, float]:
        """(factor, offset) from the stored unit to the shown one."""
        return (self.us_factor, self.us_offset) if system == "us" else (self.metric_factor, 0.0)


UNITS: Mapping[str, Unit] = MappingProxyType(
    {
        "m": Unit("m", "ft", 1 / _FOOT, whole=10.0),
        "cm": Unit("cm", "in", 0.01 / _INCH),
        "mm": Unit("mm", "in", 0.001 / _INCH),
        "km": Unit("km", "mi", 1000 / _MILE),
        "m2": Unit("m²", "ft²", 1 / _FOOT**2),
        "ha": Unit("ha", "acres", 10_000 / _ACRE),
        "m3": Unit("m³", "yd³", 1 / (3 * _FOOT) ** 3),
        "l": Unit("L", "US gal", 1 / _GALLON),
        "l_min": Unit("L/min", "US gal/min", 1 / _GALLON),
        "l_h": Unit("L/h", "US gal/h", 1 / _GALLON),
        "kg": Unit("kg", "lb", 1 / _POUND),
        "t": Unit("t", "US short tons", 1000 / _SHORT_TON),
        "t_ha": Unit("t/ha", "US short tons/acre", (1000 / _SHORT_TON) * (_ACRE / 10_000)),
        "t_h": Unit("t/h", "US short tons/h", 1000 / _SHORT_TON),
        "kg_h": Unit("kg/h", "lb/h", 1 / _POUND),
        "kg_m3": Unit("kg/m³", "lb/ft³", _FOOT**3 / _POUND),
        "kpa": Unit("kPa", "psi", 1 / _PSI, whole=1.0),
        "km_h": Unit("km/h", "mph", 1000 / _MILE),
        "m_s": Unit("km/h", "mph", 3600 / _MILE, metric_factor=3.6),  # as forecasts say it
        "kw": Unit("kW", "kW", 1.0),
        "kw_m2": Unit("kW/m²", "kW/m²", 1.0),
        "c": Unit("°C", "°F", 1.8, 32.0),
        "k_rise": Unit("K", "°F", 1.8),  # a difference of temperatures
        "h": Unit("h", "h", 1.0),
        "min": Unit("min", "min", 1.0),
        "s": Unit("s", "s", 1.0),
        "deg": Unit("°", "°", 1.0),
        "pct": Unit("%", "%", 1.0),
        "fraction": Unit("%", "%", 100.0, 0.0, 100.0),
        "kv": Unit("kV", "kV", 1.0),
        "count": Unit("", "", 1.0),
    }
)


def unit_system(said: object) -> str | None:
    """The system of units somebody means, "metric" or "us", in any case; None for anything else.

    >>> unit_system("US customary"), unit_system("furlongs")
    ('us', None)
    """
    word = said.strip().casefold() if isinstance(said, str) else ""
    return "us" if word in _ALSO_US else word if word in SYSTEMS else None


def unit_label(unit: str, system: str) -> str:
    """Label of a stored unit as shown in a system ("metric" or "us"); empty for a plain number."""
    return UNITS[unit].label(system) if unit else ""


def to_display(value: float, unit: str, system: str) -> float:
    """A stored number as a person of that system reads it.

    >>> round(to_display(3.0, "m", "us"), 4)
    9.8425
    >>> to_display(0.15, "fraction", "metric")
    15.0
    """
    if not unit:
        return value
    factor, offset = UNITS[unit].scale(system)
    return value * factor + offset


def from_display(value: float, unit: str, system: str) -> float:
    """A number as typed in that system, in the stored unit."""
    if not unit:
        return value
    factor, offset = UNITS[unit].scale(system)
    return (value - offset) / factor


def rounded(value: float, digits: int = 3) -> str:
    """A number to so many significant digits, thousands set apart, without exponent.

    >>> rounded(12345.6), rounded(0.004567), rounded(7.0)
    ('12,300', '0.00457', '7')
    """
    if not math.isfinite(value):
        raise ValueError(f"A figure to show must be a finite number; it is {value}. This is a fault of the program.")
    if value == 0:
        return "0"
    decimals = digits - 1 - math.floor(math.log10(abs(value)))
    text = f"{round(value, decimals):,.{max(decimals, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def reported(value: float) -> float:
    """A figure as JSON gives it, to REPORT_DIGITS significant digits: more would only pretend.

    >>> reported(0.123456789)
    0.123457
    """
    return float(f"{value:.{REPORT_DIGITS}g}")


def as_said(value: float) -> str:
    """A number as a person would type it: whole as it was typed, else the fewest decimals within a thousandth.

    >>> as_said(18.0118), as_said(0.98425), as_said(12.25), as_said(1234.5678), as_said(20000)
    ('18', '0.984', '12.25', '1235', '20000')
    """
    if float(f"{value:.4g}") == value:
        return f"{value:.12g}"  # of fewer digits it would be written as a power of ten
    decimals = range(12) if abs(value) < LARGE else (0,)
    shown = next((each for n in decimals if abs((each := round(value, n)) - value) <= abs(value) / 1000), value)
    return f"{shown:.12g}"


def written_out(text: str) -> tuple[str, float]:
    """A text with its powers of ten as plain digits, and the step of the last digit the coarsest of them says.

    text : with numbers as a spreadsheet shortens them, or none; without any the step is 0

    >>> written_out("4,51234E+01 m"), written_out("5.0E+05 4.98295E+06"), written_out("12 ft")
    (('45.1234 m', 0.0001), ('500000 4982950', 10000.0), ('12 ft', 0.0))
    """
    said = [Decimal(each.replace(",", ".")) for each in _POWER.findall(text)]
    plain = iter(said)
    step = max((10.0 ** int(each.as_tuple().exponent) for each in said), default=0.0)
    return _POWER.sub(lambda _: f"{next(plain):f}", text), step


def text(value: float | None, unit: str, system: str, digits: int = 3, toward: Toward = "nearest") -> str:
    """A stored number with its unit, for a person; "not known" for None.

    toward : what is to be fetched or kept rounds up, what is there or to spare rounds down

    >>> text(30.0, "m", "us"), text(None, "m", "us"), text(30.0, "m", "us", toward="up")
    ('98 ft', 'not known', '99 ft')
    >>> text(447.0, "kpa", "us"), text(447.0, "kpa", "us", 4)
    ('65 psi', '64.83 psi')
    """
    if value is None:
        return "not known"
    label, shown = unit_label(unit, system), to_display(value, unit, system)
    gap = "" if label in ("%", "°") else " "
    if unit and digits < _APART and UNITS[unit].whole <= abs(shown) < math.inf:
        digits = min(digits, math.floor(math.log10(abs(shown))) + 1)
    return (_figure(shown, digits, toward) + gap + label).strip()


def _figure(shown: float, digits: int, toward: Toward) -> str:
    """A number as shown; what lies within a thousandth of the last digit is that digit whichever way it is rounded."""
    if toward == "nearest" or shown == 0:
        return rounded(shown, digits)
    step = 10.0 ** (math.floor(math.log10(abs(shown))) - digits + 1)
    whole = math.ceil(shown / step - 1e-3) if toward == "up" else math.floor(shown / step + 1e-3)
    return rounded(whole * step, digits + 1)


def range_text(low: float, likely: float, high: float, unit: str, system: str, digits: int = 2) -> str:
    """A likely value with its range: "12 t (8.4–17)"; the range is left out where it cannot be seen.

    Litres that have a range are water to be fetched: they round up.

    >>> range_text(811.0, 811.0, 811.0, "l", "metric"), range_text(8.11, 8.11, 8.11, "t", "metric")
    ('820 L', '8.1 t')
    """
    toward: Toward = "up" if unit == "l" else "nearest"
    least, most = (_figure(to_display(end, unit, system), digits, toward) for end in (low, high))
    likely_text = text(likely, unit, system, digits, toward)
    return likely_text if least == most else f"{likely_text} ({least}–{most})"


def compared(one: float, other: float, unit: str, system: str, digits: int = 2) -> tuple[str, str]:
    """Two figures side by side, with as many digits as it takes to tell them apart, four at most.

    one, other : numbers [in `unit`, a key of units.UNITS]; system : "metric" or "us"; digits : to begin with

    >>> compared(9.4, 126.0, "l_min", "metric"), compared(14.8, 15.2, "l_min", "metric")
    (('9.4 L/min', '130 L/min'), ('14.8 L/min', '15.2 L/min'))
    """
    for many in range(digits, 5):
        found = text(one, unit, system, many), text(other, unit, system, many)
        if found[0] != found[1]:
            break
    return found
