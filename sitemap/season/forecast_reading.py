"""Reads the hours of a forecast or a record: plain CSV, or JSON as open weather services hand it out.

Nothing is taken silently: what was guessed of columns, units and clock is handed back to be shown and confirmed.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from sitemap.errors import BadValue
from sitemap.reasons import Term, reason
from sitemap.season.columns import joined
from sitemap.units import from_display, written_out

Form = Literal[
    "rows of text",
    "JSON with arrays of hours",
    "JSON with arrays of days",
    "JSON with steps of time",
    "JSON with one object an hour",
]
QUANTITIES = ("time", "wind", "gust", "humidity", "temperature", "rain", "wind_from", "cloud")
LABELS: Mapping[str, Term] = {  # as a page calls them
    "time": Term("Time"),
    "wind": Term("Wind"),
    "gust": Term("Gust"),
    "humidity": Term("Humidity"),
    "temperature": Term("Temperature"),
    "rain": Term("Rain"),
    "wind_from": Term("Wind from"),
    "cloud": Term("Cloud"),
}
# Words a column is known by, the first that fits; a gust names a wind too, a dew point a temperature.
_WORDS: Mapping[str, tuple[str, ...]] = {
    "time": ("time", "date", "hour", "valid", "hora", "fecha", "uhrzeit", "zeit", "datum", "heure"),
    "gust": ("gust", "racha", "rafaga", "ráfaga", "rafale", "böen", "rajada"),
    "wind_from": (
        *("direction", "from_dir", "wind_from", "wind_dir", "bearing", "wdir", "winddir", "dir", "dirección"),
        *("richtung", "direção"),
    ),
    "humidity": ("humid", "rh", "rhum", "hum", "relh", "humedad", "feuchte", "umidade", "humidité"),
    "rain": ("rain", "precip", "lluvia", "prcp", "niederschlag", "regen", "pluie", "précip", "chuva"),
    "temperature": ("temp", "tmp", "temperatura", "tavg", "tmean", "tmax", "t2m", "tair", "température"),
    "wind": ("wind", "wspd", "viento", "vent_", "vitesse", "vento"),
    "cloud": ("cloud", "sky_cover", "skycover", "nubosidad", "nubes", "bewölkung"),
}
_NOT = (
    *("wahrschein", "chance"),
    *("apparent", "dew", "feels", "chill", "probab", "max", "min", "soil", "low", "medium", "high", "symbol"),
)
_KM_H, _MPH = (from_display(1.0, "m_s", system) for system in ("metric", "us"))  # [m/s]
_KNOT = 1852 / 3600  # [m/s] by definition
_ZERO_F = from_display(0.0, "c", "us")  # [°C]
_DEGREE_F = from_display(1.0, "c", "us") - _ZERO_F  # [°C]
_UNITS: Mapping[str, tuple[str, float, float]] = {  # → (stored unit, factor, offset)
    "m/s": ("m_s", 1.0, 0.0),
    "ms": ("m_s", 1.0, 0.0),
    "km/h": ("m_s", _KM_H, 0.0),
    "kmh": ("m_s", _KM_H, 0.0),
    "km_h-1": ("m_s", _KM_H, 0.0),
    "m_s-1": ("m_s", 1.0, 0.0),
    "degc": ("c", 1.0, 0.0),
    "degf": ("c", _DEGREE_F, _ZERO_F),
    "kph": ("m_s", _KM_H, 0.0),
    "mph": ("m_s", _MPH, 0.0),
    "mp/h": ("m_s", _MPH, 0.0),
    "kn": ("m_s", _KNOT, 0.0),
    "kt": ("m_s", _KNOT, 0.0),
    "kts": ("m_s", _KNOT, 0.0),
    "knots": ("m_s", _KNOT, 0.0),
    "°c": ("c", 1.0, 0.0),
    "c": ("c", 1.0, 0.0),
    "celsius": ("c", 1.0, 0.0),
    "°f": ("c", _DEGREE_F, _ZERO_F),
    "f": ("c", _DEGREE_F, _ZERO_F),
    "fahrenheit": ("c", _DEGREE_F, _ZERO_F),
    "%": ("pct", 1.0, 0.0),
    "percent": ("pct", 1.0, 0.0),
    "mm": ("mm", 1.0, 0.0),
    "inch": ("mm", 25.4, 0.0),
    "in": ("mm", 25.4, 0.0),
    "°": ("deg", 1.0, 0.0),
    "deg": ("deg", 1.0, 0.0),
    "degrees": ("deg", 1.0, 0.0),
}
STORED: Mapping[str, str] = {
    "wind": "m_s",
    "gust": "m_s",
    "humidity": "pct",
    "temperature": "c",
    "rain": "mm",
    "wind_from": "deg",
    "cloud": "pct",
}
_CAN_BE: Mapping[str, tuple[float, float]] = {  # in the stored unit; weather on Earth, with room (from memory)
    "m_s": (0.0, 120.0),
    "pct": (0.0, 110.0),
    "c": (-90.0, 60.0),
    "mm": (0.0, 500.0),
    "deg": (0.0, 360.0),
}
_NINES = re.compile(r"-?9{2,}(?:[.,][09]+)?")  # what records write where nothing was measured
_POINTS = ("n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw")
_UTC = re.compile(r"(?<![a-z])(utc|gmt|zulu)(?![a-z+\-\d])", re.IGNORECASE)
_ONE_UNIT = {"humidity": "%", "wind_from": "°", "cloud": "%"}  # nobody writes these in another


@dataclass(frozen=True)
class Raw:
    """A forecast as it came.

    form : what it was taken for
    columns : names; rows : texts, a cell for each column, "" where there is none
    units : of columns, as written beside them
    zone : name of the time zone it says its times are in; offset_s : or how far ahead of universal time [s]
    issued : when it was made, as written
    """

    form: Form
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    units: Mapping[str, str]
    zone: str | None = None
    offset_s: int | None = None
    issued: str | None = None


@dataclass(frozen=True)
class Column:
    """What one column is taken for.

    quantity : of QUANTITIES; name : of the column; unit : as written, "" where it is not
    """

    quantity: str
    name: str
    unit: str

    @property
    def unit_known(self) -> bool:
        """Whether the unit is one that can be converted to that of the quantity."""
        return self.quantity == "time" or unit_fits(self.quantity, self.unit)


def unit_fits(quantity: str, unit: str) -> bool:
    """Whether a unit as written is one of the quantity."""
    return _UNITS.get(unit.strip().casefold(), ("", 0, 0))[0] == STORED.get(quantity)


def stored(quantity: str, value: str, unit: str) -> float | None:
    """A cell in the stored unit of its quantity; None where it holds no number. A unit of the quantity that stands in
    the cell itself goes before that of the column, and a wind may come from a point of the compass.

    Raises
    ------
    BadValue : a unit that is not of the quantity, a number with points and commas that may mean a thousand, a value
        no weather has; nines alone that stand for none are none

    >>> round(stored("wind", "18", "km/h"), 3), round(stored("temperature", "50", "°F"), 3), stored("gust", "-", "mph")
    (5.0, 10.0, None)
    >>> stored("wind_from", "NW", "°"), stored("wind", "10 to 15 m/s", "mph")
    (315.0, 15.0)
    """
    ends = re.search(r"[^\d\s.,−-]+$", value)
    if ends is not None and unit_fits(quantity, ends[0]):
        unit = ends[0]
    if not unit_fits(quantity, unit):
        raise BadValue(reason("season.unit_not_said", quantity=LABELS[quantity], unit=unit or "–"))
    if quantity == "wind_from" and value.casefold() in _POINTS:
        return _POINTS.index(value.casefold()) * 22.5
    value, _ = written_out(value.replace("−", "-"))
    if re.search(r"\d[.,]\d+[.,]\d|\d[eE]\d", value):
        raise BadValue(reason("season.number_unclear", quantity=LABELS[quantity], value=value))
    signed = "" if quantity in ("wind", "gust") and not re.match(r"-\d", value) else "-?"
    numbers = [float(each.replace(",", ".")) for each in re.findall(rf"{signed}\d+(?:[.,]\d+)?", value)]
    if not numbers:
        return None
    _, factor, offset = _UNITS[unit.strip().casefold()]
    number = max(numbers) if not signed else numbers[0]  # of "10 to 15 mph" the higher
    found = number * factor + offset
    least, most = _CAN_BE[STORED[quantity]]
    if least <= found <= most:
        return found
    if _NINES.fullmatch(value):
        return None
    raise BadValue(reason("season.value_cannot_be", quantity=LABELS[quantity], value=value, unit=unit))


def read_text(text: str) -> Raw:
    """A forecast as typed, pasted or in a file.

    Raises
    ------
    BadValue : no rows, or JSON in a form that is not known
    """
    text = text.strip().lstrip("\ufeff")
    if not text:
        raise BadValue(reason("season.forecast_empty"))
    if text[0] in "{[":
        try:
            loaded = json.loads(text)
        except ValueError:
            raise BadValue(reason("season.forecast_not_json")) from None
        return _json(loaded)
    return _rows_of_text(text)


def guess(raw: Raw) -> tuple[Column, ...]:
    """What each quantity's column is taken to be, in the order of QUANTITIES; one that is not found is left out."""
    free = list(raw.columns)
    found: dict[str, Column] = {}
    for quantity, words in _WORDS.items():
        fitting = [name for name in free if _fits(name, words) and not _told_from(quantity, name)]
        if fitting:
            name = min(fitting, key=lambda each: (_beside(quantity, each), len(each)))
            free.remove(name)
            found[quantity] = Column(quantity, name, unit_of(raw, quantity, name))
    return tuple(found[quantity] for quantity in QUANTITIES if quantity in found)


def unit_of(raw: Raw, quantity: str, name: str) -> str:
    """The unit of a column taken for a quantity, as written beside it, in its head or its cells; "" where it is not."""
    if quantity == "time":
        return ""
    return raw.units.get(name) or _unit_in(name) or _unit_in_cells(raw, name) or _ONE_UNIT.get(quantity, "")


def height_guess_m(columns: Sequence[Column]) -> float | None:
    """The height the winds are for, where their columns say so ("wind_speed_10m") and agree [m]."""
    heights = {_height_m(column.name) for column in columns if column.quantity in ("wind", "gust")} - {None}
    return heights.pop() if len(heights) == 1 else None


def clock_said(raw: Raw, columns: Sequence[Column]) -> str | None:
    """The time zone a forecast says its times are in: its own word, or one in the head of the column of times."""
    head = next((column.name for column in columns if column.quantity == "time"), "")
    named = re.search(r"[A-Z]\w+(?:/[A-Z][\w+-]+)+", head)
    return raw.zone or (named[0] if named else "UTC" if _UTC.search(head.replace("_", " ")) else None)


def _beside(quantity: str, name: str) -> bool:
    """Whether a column tells of something else of the same sort: the end of an hour, a zone, a wind at another height
    than the 10 m of most forecasts."""
    if quantity == "time":
        return re.search(r"end|until|zone|issue|update|made|generat", name.casefold()) is not None
    return _height_m(name) not in (None, 10.0) and quantity in ("wind", "gust", "wind_from")


def _told_from(quantity: str, name: str) -> bool:
    """Whether a column that names a wind says from where it comes: degrees must never be taken for a speed."""
    return quantity in ("wind", "gust") and _fits(name, _WORDS["wind_from"])


def _height_m(name: str) -> float | None:
    found = re.search(r"(\d+)\s*m(?![a-z/])", name.casefold())
    return None if found is None else float(found[1])


def _fits(name: str, words: tuple[str, ...]) -> bool:
    plain = name.casefold()
    parts = re.split(r"[^a-záéíóúñ]+", plain)
    if any(each in plain for each in _NOT) and not plain.startswith("mean of "):
        return False
    joint = re.sub(r"[\s_-]+", "_", plain)  # "Wind from" and "wind_from" are one head
    return any(word in parts if len(word) <= 3 else word in joint for word in words)


def _unit_in(name: str) -> str:
    """A unit written in the head of a column: "Wind (mph)", "temp_c"."""
    inside = re.search(r"[(\[]([^)\]]+)[)\]]", name)
    if inside is not None:
        return inside[1].strip()
    for part in reversed(re.split(r"[\s_,]+", name.casefold())):
        if part in _UNITS and part not in ("in",):
            return part
    return "m/s" if re.search(r"m_s$", name.casefold()) else "km/h" if re.search(r"km_h$", name.casefold()) else ""


def _unit_in_cells(raw: Raw, name: str) -> str:
    """A unit written in the cells: "10 mph"."""
    place = raw.columns.index(name)
    ends = (re.search(r"[^\d\s.,−-]+$", row[place]) for row in raw.rows if row[place])
    units = {"" if end is None else end[0] for end in ends}
    unit = units.pop() if len(units) == 1 else ""
    return unit if unit.casefold() in _UNITS else ""


def _rows_of_text(text: str) -> Raw:
    lines = [line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")]
    delimiter = next((mark for line in lines if line.count(mark := max("\t;,", key=line.count))), "")
    if not delimiter:
        raise BadValue(reason("season.forecast_one_column"))
    while delimiter not in lines[0]:  # a title
        del lines[0]
    heads, *rows = list(csv.reader(lines, delimiter=delimiter))
    width = len(heads)
    cells = tuple(tuple(cell.strip() for cell in (*row, *("",) * width)[:width]) for row in rows)
    if not cells:
        raise BadValue(reason("season.forecast_empty"))
    named = tuple(head.strip() for head in heads)
    unlike = tuple(f"{name} ({at + 1})" if name in named[:at] else name for at, name in enumerate(named))
    return Raw("rows of text", *joined(unlike, cells), {})


def _json(loaded: Any) -> Raw:
    if isinstance(loaded, dict):
        for steps in ("hourly", "daily"):
            if isinstance(loaded.get(steps), dict):
                return _arrays(loaded, steps)
        properties = loaded.get("properties")
        if isinstance(properties, dict) and isinstance(properties.get("timeseries"), list):
            return _steps(properties)
        if isinstance(properties, dict) and isinstance(properties.get("periods"), list):
            made = properties.get("updateTime") or properties.get("generatedAt")
            return _objects(properties["periods"], made)
        lists = [value for value in loaded.values() if isinstance(value, list) and value and isinstance(value[0], dict)]
        loaded = lists[0] if len(lists) == 1 else loaded
    if isinstance(loaded, list) and loaded and all(isinstance(each, dict) for each in loaded):
        return _objects(loaded, None)
    raise BadValue(reason("season.forecast_form"))


def _arrays(loaded: Mapping[str, Any], steps: str) -> Raw:
    """Arrays side by side, one for each quantity, the times among them. steps : "hourly" or "daily" """
    hourly = {name: values for name, values in loaded[steps].items() if isinstance(values, list)}
    lengths = {len(values) for values in hourly.values()}
    if len(lengths) != 1 or lengths == {0}:
        raise BadValue(reason("season.forecast_form"))
    units = loaded.get(f"{steps}_units")
    rows = tuple(tuple(_text(cell) for cell in row) for row in zip(*hourly.values(), strict=True))
    zone, offset = loaded.get("timezone"), loaded.get("utc_offset_seconds")
    return Raw(
        "JSON with arrays of hours" if steps == "hourly" else "JSON with arrays of days",
        *joined(tuple(hourly), rows),
        {name: str(unit) for name, unit in units.items()} if isinstance(units, dict) else {},
        zone if isinstance(zone, str) else None,
        offset if isinstance(offset, int) else None,
    )


def _steps(properties: Mapping[str, Any]) -> Raw:
    """Steps of time, each with what holds at that moment and what falls in the hour after it."""
    meta = properties.get("meta")
    meta = meta if isinstance(meta, dict) else {}
    rows = []
    for step in properties["timeseries"]:
        data = step.get("data", {}) if isinstance(step, dict) else {}
        now = dict(data.get("instant", {}).get("details", {}))
        now |= data.get("next_1_hours", {}).get("details", {})
        rows.append({"time": step.get("time", "") if isinstance(step, dict) else ""} | now)
    units = meta.get("units")
    found = _table(rows)
    return Raw(
        "JSON with steps of time",
        found[0],
        found[1],
        {name: str(unit) for name, unit in units.items()} if isinstance(units, dict) else {},
        issued=_text(meta.get("updated_at")) or None,
    )


def _objects(entries: Sequence[Mapping[str, Any]], issued: Any) -> Raw:
    """One object for each hour; a unit beside a value ("temperatureUnit", {"unitCode", "value"}) is its unit."""
    units: dict[str, str] = {}
    rows = []
    for entry in entries:
        row = {}
        for name, value in entry.items():
            if isinstance(value, dict) and "value" in value:
                row[name] = value["value"]
                units.setdefault(name, str(value.get("unitCode", "")).rpartition(":")[2])
            elif name.endswith("Unit") and isinstance(value, str):
                units.setdefault(name.removesuffix("Unit"), value)
            elif not isinstance(value, dict | list):
                row[name] = value
        rows.append(row)
    columns, cells = _table(rows)
    return Raw("JSON with one object an hour", columns, cells, units, issued=_text(issued) or None)


def _table(rows: Sequence[Mapping[str, Any]]) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    columns = tuple(dict.fromkeys(name for row in rows for name in row))
    return columns, tuple(tuple(_text(row.get(name)) for name in columns) for row in rows)


def _text(value: Any) -> str:
    return "" if value is None else str(value)
