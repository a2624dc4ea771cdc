"""Places of a table whose latitude and longitude stand in more than two columns, or say more than degrees.

Degrees, minutes and seconds apart; a column for north or south, east or west; a half of the Earth or a datum in the
heading, a datum in each row. Read by their first column alone such places lie minutes, or half the Earth, off.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from types import MappingProxyType

import shapely

from sitemap.geodesy.coordinates import decimal, parse
from sitemap.geodesy.systems import carried
from sitemap.site.imports.gridded import Placed
from sitemap.site.imports.headings import LAT, LON, column_of
from sitemap.site.placing_text import DECIMALS

_DEG, _MIN, _SEC, _HALF = "degrees", "minutes", "seconds", "half"
#  Words after latitude or longitude in a heading → what the column holds (C).
_PARTS: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("deg", "degree", "degrees", "d", "°", "grad", "grados"), _DEG),
        **dict.fromkeys(("min", "minute", "minutes", "m", "'", "minuten", "minutos"), _MIN),
        **dict.fromkeys(("sec", "second", "seconds", '"', "sekunden", "segundos"), _SEC),
        **dict.fromkeys(("dir", "direction", "hem", "hemi", "hemisphere", "ref", "ns", "ew", "n s", "e w"), _HALF),
    }
)
_HALVES = {"n": "N", "north": "N", "s": "S", "south": "S", "e": "E", "east": "E", "w": "W", "west": "W"}
_ALONE = {"ns": LAT, "n s": LAT, "n or s": LAT, "ew": LON, "e w": LON, "e or w": LON}
#  Geographic systems by the words people write for them; numbers of the EPSG registry.
_DATUMS: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("wgs84", "wgs 84", "wgs 1984"), "EPSG:4326"),
        **dict.fromkeys(("nad27", "nad 27"), "EPSG:4267"),
        **dict.fromkeys(("nad83", "nad 83"), "EPSG:4269"),
        "etrs89": "EPSG:4258",
        "ed50": "EPSG:4230",
        "osgb36": "EPSG:4277",
        "gda94": "EPSG:4283",
        "gda2020": "EPSG:7844",
        "nzgd49": "EPSG:4272",
        "nzgd2000": "EPSG:4167",
    }
)
_MARKS = re.compile(r"[()\[\]_,;/.\-]+")


@dataclass(frozen=True)
class Degrees:
    """The columns of a table that say a place in degrees.

    parts : (LAT or LON, what of it) → number of the column
    halves : LAT or LON → N, S, E or W, where the heading says it
    datum : EPSG number that the headings say, or ""; datums : number of the column that says it in each row
    """

    parts: Mapping[tuple[str, str], int]
    halves: Mapping[str, str]
    datum: str
    datums: int | None

    @property
    def columns(self) -> tuple[int, ...]:
        """All columns that belong to the place."""
        return (*self.parts.values(), *(() if self.datums is None else (self.datums,)))

    def word(self, column: int) -> str:
        """What a column was taken for."""
        return next((f"{axis} {part}" for (axis, part), at in self.parts.items() if at == column), "datum")

    def placed(self, cells: Sequence[str], _: str | None) -> Placed | None:
        """The place a row says, or None where it says none. Raises BadValue for what is no place."""
        lat, lon = self._half(cells, LAT), self._half(cells, LON)
        if not lat or not lon:
            return None
        place = parse(f"{lat}, {lon}")
        said = _DATUMS.get(_tidy(_cell(cells, self.datums)), self.datum) or _DATUMS["wgs84"]
        found = carried([shapely.Point(place)], said)
        shape = found.shapes[0]
        lon_deg, lat_deg = (shape.x, shape.y) if isinstance(shape, shapely.Point) else place
        return Placed(decimal(lon_deg, lat_deg, DECIMALS), found.off_m, found.system)

    def _half(self, cells: Sequence[str], axis: str) -> str:
        deg, minutes, seconds, half = (_cell(cells, self.parts.get((axis, part))) for part in (_DEG, _MIN, _SEC, _HALF))
        half = _HALVES.get(half.casefold(), half) or self.halves.get(axis, "")
        if not deg or not minutes:
            return f"{deg} {half}".strip()
        return " ".join(filter(None, (f"{deg}°", f"{minutes}'", seconds and f'{seconds}"', half)))


def degrees_of(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> Degrees | None:
    """The columns of a place in degrees, where they say more than a latitude and a longitude; else None.

    >>> degrees_of(["No", "Lat", "N/S", "Lon", "E/W"], []).word(4)
    'lon half'
    """
    parts: dict[tuple[str, str], int] = {}
    halves: dict[str, str] = {}
    datums = set()
    fine = {found[0] for head in heads if (found := _meant(head)) is not None and found[1] == _MIN}
    for at, head in enumerate(heads):
        found = _meant(head, fine)
        if found is None:
            continue
        axis, part, half, datum = found
        if (axis, part) in parts:
            return None
        parts[axis, part] = at
        halves |= {axis: half} if half else {}
        datums |= {datum} if datum else set()
    if not {(LAT, _DEG), (LON, _DEG)} <= parts.keys() or len(datums) > 1:
        return None
    column = next((at for at, head in enumerate(heads) if _tidy(head) == "datum" and _all_datums(at, rows)), None)
    if len(parts) == len((LAT, LON)) and not halves and not datums and column is None:
        return None
    return Degrees(parts, halves, next(iter(datums), ""), column)


def _meant(head: str, fine: Set[str] = frozenset()) -> tuple[str, str, str, str] | None:
    """LAT or LON, what of it, the half of the Earth and the datum that a heading says.

    fine : what of the two has minutes: there an S stands for seconds
    """
    tidy = _tidy(head)
    if tidy in _ALONE:
        return _ALONE[tidy], _HALF, "", ""
    first, _, rest = tidy.partition(" ")
    column = column_of(first, "pile")
    if column is None or column.key not in (LAT, LON) or column.unit:
        return None
    if not rest or rest in _PARTS:
        return column.key, _PARTS.get(rest, _DEG), "", ""
    if rest == "s" and column.key in fine:
        return column.key, _SEC, "", ""
    if rest in _HALVES and _HALVES[rest] in {LAT: "NS", LON: "EW"}[column.key]:
        return column.key, _DEG, _HALVES[rest], ""
    return (column.key, _DEG, "", _DATUMS[rest]) if rest in _DATUMS else None


def _all_datums(at: int, rows: Sequence[Sequence[str]]) -> bool:
    """Whether every cell of a column names a datum: in some languages the word means a date."""
    cells = [_tidy(_cell(row, at)) for row in rows]
    return any(cells) and all(cell in _DATUMS for cell in cells if cell)


def _tidy(text: str) -> str:
    return " ".join(_MARKS.sub(" ", text.casefold()).split())


def _cell(cells: Sequence[str], at: int | None) -> str:
    return cells[at].strip() if at is not None and at < len(cells) else ""
