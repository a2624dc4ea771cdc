"""One cell of a table: text as people write it, and the value the file keeps.

What cannot be read is refused with a reason, never guessed: a comma that may be a decimal mark or part thousands, a
choice that may be two. Who calls keeps the text then, so that nothing typed is lost.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from typing import Any

from sitemap.errors import BadValue
from sitemap.reasons import Term, reason
from sitemap.site.attributes import Attribute
from sitemap.units import SYSTEMS, UNITS, as_said, from_display, to_display, written_out

STORED = "stored"  # a column named as in the file is in the unit of its name
LONGEST_CELL = 2000  # characters

# [m] a unit of length; international foot, inch and yard (NIST SP 811, S)
_LENGTHS: Mapping[str, float] = {
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters", "metro", "metros"), 1.0),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), 0.01),
    **dict.fromkeys(("mm",), 0.001),
    **dict.fromkeys(("ft", "foot", "feet", "'", "pie", "pies"), 0.3048),
    **dict.fromkeys(("in", "inch", "inches", '"', "pulgada", "pulgadas"), 0.0254),
    **dict.fromkeys(("yd", "yard", "yards"), 0.9144),
}
_INCHES_OF_A_FOOT = 12
_OF_METRE = {"m": 1.0, "cm": 0.01, "mm": 0.001}
_SAME_UNIT = {
    "lbs": "lb",
    "litres": "l",
    "liters": "l",
    "litros": "l",
    "gal": "us gal",
    "gallons": "us gal",
    "us gallons": "us gal",
    "gpm": "us gal/min",
    "ac": "acres",
    "acre": "acres",
    "percent": "%",
    "pct": "%",
    "hours": "h",
    "minutes": "min",
    "f": "°f",
    "deg": "°",
    "degrees": "°",
    "tonnes": "t",
    "short tons": "us short tons",
    "kg/m3": "kg/m³",
    "lb/ft3": "lb/ft³",
}
# Stored unit → units of gauges, meters and forecasts in it, all exact by definition (NIST SP 811, S).
_ALSO: Mapping[str, Mapping[str, float]] = {
    "kpa": {"bar": 100.0},
    "m_s": {"m/s": 1.0, **dict.fromkeys(("kn", "kt", "knots"), 1852 / 3600)},
    "l": {"m³": 1000.0, "m3": 1000.0},
    "l_min": {"l/s": 60.0, "m³/h": 1000 / 60, "m3/h": 1000 / 60},
    "h": {"min": 1 / 60},
    "min": {"h": 60.0},
    "kv": {"v": 0.001},
}
_MARKS = str.maketrans(
    {"′": "'", "’": "'", "″": '"', "”": '"', "−": "-", "–": "-", "\u00a0": " ", "\u202f": " ", "⁄": "/"}
    | {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8"}
)
# "1 1/2", "1-1/2" and "3/8", as an inch rule is divided and a hose or a nozzle is called.
_FRACTION = re.compile(r"([-+]?)\s*(?:(\d+)[\s-]+)?(\d+)/(2|4|8|16|32|64)(?!\d)\s*(.*)")
_NUMBER = re.compile(r"([-+]?)\s*(\d[\d., ]*|[.,]\d+)\s*(.*)")
_FEET_INCHES = re.compile(r"(\d+)\s*(?:'|ft|feet|foot)\s*(\d+(?:\.\d+)?)\s*(?:\"|''|in|inch|inches)?", re.IGNORECASE)
_APOSTROPHES = re.compile(
    r"([-+]?\d{1,3}(?:'\d{3})+(?![\d'\"])(?:[.,]\d+)?)\s*(?!in|\")(.*)"
)  # 1'234.5, as the Swiss write
_SPACED = re.compile(
    r"\d+(\.\d+)?( \d+(\.\d+)?)+"
)  # a list with nothing but spaces between: a phone has no other key near
_KEY = re.compile(r"[a-z]+(_[a-z]+)+")
_MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
_WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_YES, _NO = ("yes", "y", "true", "x", "1", "sí", "si"), ("no", "n", "false", "0")


def read_cell(attribute: Attribute, text: str, unit: str, names: Mapping[str, str] | None = None) -> Any:
    """The value of a cell, as the file keeps it; None for a blank one.

    Parameters
    ----------
    attribute : what the column holds
    text : as typed or pasted
    unit : of a number that says none: "metric", "us", `STORED`, or a word such as "ft"
    names : id → name, for a column that refers to something

    Raises
    ------
    BadValue : text that cannot be read, or a value outside the limits of the attribute; one sentence

    Examples
    --------
    >>> height = Attribute("height_m", "Height", unit="m", above=0)
    >>> read_cell(height, "6'6\\"", "metric"), read_cell(height, "2,5", "metric"), read_cell(height, "10", "us")
    (1.9812, 2.5, 3.048)
    """
    value = _value(attribute, text, unit, names or {})
    fault = None if value is None else attribute.fault(value)
    if fault:
        raise BadValue(reason("site.cell_fault", what=Term(attribute.label), why=fault))
    return value


def kept_cell(attribute: Attribute, text: str, unit: str, names: Mapping[str, str] | None = None) -> Any:
    """As `read_cell`, but nothing is refused: a value outside its limits is kept, and text that cannot be read as text.

    >>> kept_cell(Attribute("height_m", "Height", unit="m", high=30), "about 3", "metric")
    'about 3'
    """
    try:
        return _value(attribute, text, unit, names or {})
    except BadValue:
        said = text.strip()  # with the unit of its column, if that was its own: it is read again where none stands
        return f"{said} {unit}" if attribute.type == "number" and unit not in (*SYSTEMS, STORED) else said


def cell_text(attribute: Attribute, raw: Any, system: str, names: Mapping[str, str] | None = None) -> str:
    """What a cell shows of a stored value, usable or not; empty where there is none.

    >>> cell_text(Attribute("height_m", "Height", unit="m"), 3.048, "us")
    '10'
    """
    if raw is None:
        return ""
    if attribute.type in ("number", "integer") and isinstance(raw, int | float) and not isinstance(raw, bool):
        return as_said(to_display(float(raw), attribute.unit, system))
    if attribute.type == "choice":
        return attribute.choice_label(str(raw))
    if isinstance(raw, bool):
        return "yes" if raw else "no"
    if attribute.type == "text" and _KEY.fullmatch(str(raw)):
        return str(raw).replace("_", " ")  # a key of a table of ours, such as ponderosa_pine: read as words
    known = names or {}
    if attribute.type == "records" and isinstance(raw, tuple | list):
        return _records_text(attribute, raw, system)
    if attribute.type == "references" and isinstance(raw, tuple | list):
        return ", ".join(known.get(str(one), str(one)) for one in raw)
    return known.get(str(raw), str(raw))


def number_of(text: str, unit: str = "", column_unit: str = STORED) -> float:
    """A number as typed, in the stored unit: decimal point or comma, with or without a unit of its own.

    Raises BadValue for what is no number, for a unit that does not fit, and for a comma that may be read two ways.

    >>> number_of("12 ft", "m", "metric"), number_of("70 %", "fraction", "metric"), number_of("1,234.5")
    (3.6576, 0.7, 1234.5)
    >>> number_of("1 1/2 in", "mm"), number_of("⅜", "mm", "us")
    (38.1, 9.525)
    >>> number_of("1.23E+02"), number_of("1'234.5", "m"), number_of("6'6", "m")
    (123.0, 1234.5, 1.9812)
    """
    tidy, _ = written_out(_decimal(text.translate(_MARKS).strip()))
    if parted := _APOSTROPHES.fullmatch(tidy):
        tidy = parted[1].replace("'", "") + " " + parted[2]
    both = _FEET_INCHES.fullmatch(tidy)
    if both and unit in _OF_METRE:
        if float(both[2]) >= _INCHES_OF_A_FOOT:
            raise BadValue(reason("site.more_numbers", text=text))
        return _exactly((float(both[1]) * _INCHES_OF_A_FOOT + float(both[2])) * _LENGTHS["in"] / _OF_METRE[unit])
    found = _NUMBER.fullmatch(tidy)
    if found is None:
        raise BadValue(reason("site.no_number", text=text))
    value = _plain(found[2].strip(), text) * (-1 if found[1] == "-" else 1)
    return _exactly(_in_stored(value, found[3].strip() or column_unit, unit, text))


def _decimal(text: str) -> str:
    """A number with a fraction of the inch rule as a decimal one; any other text as it is."""
    part = _FRACTION.fullmatch(text)
    if part is None:
        return text
    return f"{part[1]}{int(part[2] or 0) + int(part[3]) / int(part[4])} {part[5]}"


def date_of(text: str) -> dt.date:
    """A date as people write it; the month as a word, or the order plain to see. Raises BadValue.

    >>> [date_of(text).isoformat() for text in ("2026-12-05", "Sat 5 Dec 2026", "December 5, 2026", "5.12.2026")]
    ['2026-12-05', '2026-12-05', '2026-12-05', '2026-12-05']
    """
    parts = [part for part in re.split(r"[\s.,/-]+", text.strip().casefold()) if part]
    parts = [part for part in parts if part[:3] not in _WEEKDAYS]
    words = [part for part in parts if part[:3] in _MONTHS and part.isalpha()]
    numbers = [int(part) for part in parts if part.isdecimal() and len(part) <= 4]
    year = next((number for number in numbers if number > 31), None)
    if year is None or len(parts) != 3 or len(words) + len(numbers) != 3:
        raise BadValue(reason("site.no_date", text=text))
    rest = [number for number in numbers if number != year]
    if words:
        month, day = _MONTHS.index(words[0][:3]) + 1, rest[0]
    elif numbers[0] == year:
        month, day = rest[0], rest[-1]
    elif "/" in text and max(rest) <= 12 and rest[0] != rest[-1]:
        raise BadValue(reason("site.two_dates", text=text))
    else:
        day, month = (rest[0], rest[-1]) if rest[-1] <= 12 else (rest[-1], rest[0])
    try:
        return dt.date(year, month, day)
    except ValueError:
        raise BadValue(reason("site.no_such_day", text=text)) from None


def is_unit(word: str, unit: str) -> bool:
    """Whether a word may stand for a unit in which numbers stored in `unit` are written."""
    try:
        _in_stored(1.0, word, unit, word)
    except BadValue:
        return False
    return True


def _value(attribute: Attribute, typed: str, unit: str, names: Mapping[str, str]) -> Any:
    text = " ".join(typed.translate(_MARKS).split())
    if not text:
        return None
    if attribute.type in ("number", "integer", "records", "numbers"):
        return _figures(attribute, text, unit)
    if attribute.type == "choice":
        return _one_of(text, dict(attribute.choices), attribute.label)
    if attribute.type == "flag":
        if text.casefold() in (*_YES, *_NO):
            return text.casefold() in _YES
        raise BadValue(reason("site.yes_or_no", what=Term(attribute.label), text=text))
    if attribute.type == "reference":
        return _one_of(text, names, attribute.label)
    if attribute.type == "references":
        return [_one_of(part.strip(), names, attribute.label) for part in re.split("[,;]", text) if part.strip()]
    if attribute.type == "date":
        return date_of(text).isoformat()
    if len(text) > LONGEST_CELL:
        raise BadValue(reason("site.too_long", what=Term(attribute.label), most=LONGEST_CELL, count=len(text)))
    return typed.strip()


def _figures(attribute: Attribute, text: str, unit: str) -> Any:
    """One number, several, or records of one number each."""
    if attribute.type == "numbers":
        parts = text.split() if _SPACED.fullmatch(text) else text.split(";" if ";" in text else ",")
        return [number_of(part, attribute.unit, unit) for part in parts]
    if attribute.type == "records":
        first = attribute.item[0]
        parts = [part for part in re.split("[;\n ]+", text.replace(", ", "; ")) if part]
        return [{first.name: number_of(part, first.unit, unit)} for part in parts]
    try:
        value = number_of(text, attribute.unit, unit)
    except BadValue as bad:
        if attribute.type == "integer" and bad.reason.code in ("site.no_number", "site.more_numbers"):
            raise BadValue(reason("site.no_whole_number", text=text)) from None
        raise
    return round(value) if attribute.type == "integer" and value.is_integer() else value


def _records_text(attribute: Attribute, raw: Any, system: str) -> str:
    """Records by their first number, where it is all they say: the pieces of a tally as 3; 4.5; 12."""
    first = attribute.item[0]
    if all(isinstance(record, Mapping) and set(record) == {first.name} for record in raw):
        return "; ".join(cell_text(first, record[first.name], system) for record in raw)
    return f"{len(raw)} entered"


def _one_of(text: str, choices: Mapping[str, str], label: str) -> str:
    """The key whose key or label is the text, else the only one that begins with it."""
    said = text.casefold()
    exact = [key for key, shown in choices.items() if said in (key.casefold(), shown.casefold())]
    begun = exact or [key for key, shown in choices.items() if shown.casefold().startswith(said)]
    if len(begun) == 1:
        return begun[0]
    words = [choices[key] for key in begun] or list(choices.values())
    if not words:
        raise BadValue(reason("site.none_yet", what=Term(label), text=text))
    shown = tuple(words[:12])
    raise BadValue(reason("site.any_of" if begun else "site.none_of", what=Term(label), text=text, choices=shown))


def _plain(digits: str, text: str) -> float:
    """Digits with marks between them; the mark that parts decimals must be plain to see."""
    if " " in digits and not re.fullmatch(r"\d{1,3}( \d{3})+([.,]\d*)?", digits):
        raise BadValue(reason("site.more_numbers", text=text))
    bare = digits.replace(" ", "")
    if "," in bare and "." in bare:
        thousands = "," if bare.rindex(".") > bare.rindex(",") else "."
        groups = bare.split("," if thousands == "." else ".")[0].split(thousands)
        if all(len(group) == 3 for group in groups[1:]):
            bare = bare.replace(thousands, "")
    elif re.fullmatch(r"[1-9]\d{0,2}(,\d{3})+", bare):
        raise BadValue(reason("site.comma", text=text))
    try:
        return float(bare.replace(",", "."))
    except ValueError:
        raise BadValue(reason("site.no_number", text=text)) from None


def _in_stored(value: float, word: str, unit: str, text: str) -> float:
    if word == STORED:
        return value
    if word in SYSTEMS:
        return from_display(value, unit, word)
    said = word.casefold().rstrip(".") if len(word) > 1 else word.casefold()
    if unit in _OF_METRE:
        if said in _LENGTHS:
            return value * _LENGTHS[said] / _OF_METRE[unit]
    elif unit in UNITS:
        said = _SAME_UNIT.get(said, said)
        for system in SYSTEMS:
            if said and said == UNITS[unit].label(system).casefold():
                return from_display(value, unit, system)
        if said in (also := _ALSO.get(unit, {})):
            return value * also[said]
    wanted = tuple(dict.fromkeys(UNITS[unit].label(system) for system in SYSTEMS)) if unit in UNITS else ()
    if not any(wanted):
        raise BadValue(reason("site.number_alone", text=text))
    raise BadValue(reason("site.other_unit", text=text, wanted=wanted))


def _exactly(value: float) -> float:
    """Without the dust of binary conversion: 10 ft are 3.048 m."""
    return float(f"{value:.12g}")
