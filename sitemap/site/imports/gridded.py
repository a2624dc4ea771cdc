"""Places of a table by easting and northing: the columns, the coordinate system they say, and the place on Earth.

Which system the numbers are in is never guessed: it stands in a heading or a cell, or somebody is asked. A place beyond
the ground its system is made for is refused, as the wrong zone and swapped columns come out there.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import shapely

from sitemap.errors import BadFile, BadValue
from sitemap.geodesy.coordinates import COARSEST_M, decimal
from sitemap.geodesy.systems import Carried, carried, system_of
from sitemap.reasons import reason
from sitemap.site.cells import is_unit, number_of
from sitemap.site.placing_text import DECIMALS
from sitemap.units import written_out

#  What people and programs write over such columns, lower case (C).
_EAST = (
    "easting",
    "eastings",
    "east",
    "e",
    "x",
    "rechtswert",
    "ostwert",
    "este",
    "est",
    "point x",
    "xcoord",
    "x coord",
)
_NORTH = (
    "northing",
    "northings",
    "north",
    "n",
    "y",
    "hochwert",
    "nordwert",
    "norte",
    "nord",
    "point y",
    "ycoord",
    "y coord",
)
_ZONE = ("zone", "utm zone", "zona", "zona utm", "huso", "fuso", "grid zone")
_SIDE = ("hemisphere", "hemisferio", "hemisfério", "hémisphère", "hemisphäre", "halbkugel")
_SYSTEM = ("epsg", "crs", "srs", "srid", "coordinate system", "projection", "epsg code")
_MARKS = re.compile(r"[()\[\]_,;]+")
_UTM = re.compile(r"(?:(.*?)[\s/,]*)?\bUTM\s*(?:zone)?\s*(\d{1,2})\s*([A-Z])?(?:\s*(north|south))?", re.IGNORECASE)
#  A zone alone, with its band of latitude or N, or with its side of the equator.
_ZONE_CELL = re.compile(r"(?:(?:utm|zone)\s*)*(\d{1,2})\s*(north|south|[C-HJ-NP-X])?", re.IGNORECASE)
_SIDES = {
    "north": ("n", "north", "northern", "norte", "nord", "nördlich"),
    "south": ("s", "south", "southern", "sur", "sul", "sud", "süd", "südlich"),
}
_CODE = re.compile(r"(?:EPSG\s*:*\s*)?(\d{4,6})", re.IGNORECASE)
_BEYOND_DEG = 1.0  # [deg] about the ground a system is made for: who works at its edge keeps to it
_DATUMS = {"": 32600, "WGS84": 32600, "WGS 84": 32600, "ETRS89": 25800, "NAD83": 26900, "NAD 83": 26900}


@dataclass(frozen=True)
class Placed:
    """A place that was read: as text in longitude and latitude, how far it may be off [m], and the system's name."""

    text: str
    off_m: float
    system: str


@dataclass(frozen=True)
class Gridded:
    """The columns of a table that say a place by easting and northing.

    east, north : number of the column
    zone, side, code : of one that says the zone, its side of the equator or the system in each row, or None
    system : what the headings say; unit : that the headings give the numbers, or ""
    """

    east: int
    north: int
    zone: int | None
    side: int | None
    code: int | None
    system: str
    unit: str

    def word(self, column: int) -> str:
        """What a column was taken for."""
        words = {self.zone: "zone", self.side: "hemisphere", self.code: "coordinate system"}
        return {**words, self.east: "easting", self.north: "northing"}[column]

    @property
    def columns(self) -> tuple[int, ...]:
        """All columns that belong to the place."""
        return tuple(each for each in (self.east, self.north, self.zone, self.side, self.code) if each is not None)

    def placed(self, cells: Sequence[str], system: str | None) -> Placed | None:
        """The place a row says; None where it says none, or in a system nobody named.

        system : what somebody said who was asked; what the row itself or the headings say goes before it

        Raises BadValue for numbers that are none, and for a place beyond the ground of its system.
        """
        east, north = (_cell(cells, at) for at in (self.east, self.north))
        said = _system_of_row(cells, self, system)
        if not east or not north or said is None:
            return None
        x, y = number_of(east), number_of(north)
        if written_out(f"{east} {north}")[1] > COARSEST_M:
            raise BadValue(reason("geodesy.shortened", text=f"{east}, {north}"))
        if self.unit and not _counts_in(said, self.unit):
            raise BadValue(reason("site.grid_unit", unit=self.unit, system=system_of(said).name))
        found = carried([shapely.Point(x, y)], said)
        return Placed(_inside(found, said, f"{east}, {north}"), found.off_m, found.system)


def gridded_of(heads: Sequence[str]) -> Gridded | None:
    """The columns of easting and northing among the headings, or None where there are not both, or several.

    >>> gridded_of(["No", "Easting (UTM 33N)", "Northing"]).system
    'UTM 33N'
    """
    east, north = list(_named(heads, _EAST)), list(_named(heads, _NORTH))
    if len(east) != 1 or len(north) != 1:
        return None
    said = {text for _, rest in (*east, *north) if (text := rest) and not is_unit(text, "m")}
    units = {text for _, rest in (*east, *north) if (text := rest) and is_unit(text, "m")}
    zone, side, code = (next((at for at, _ in _named(heads, words)), None) for words in (_ZONE, _SIDE, _SYSTEM))
    system = said.pop() if len(said) == 1 else ""
    if said or len(units) > 1:
        return None
    return Gridded(east[0][0], north[0][0], zone, side, code, system, next(iter(units), ""))


def _named(heads: Sequence[str], words: Sequence[str]) -> Iterator[tuple[int, str]]:
    """Number of each heading that begins or ends with one of the words, and what else it says."""
    for at, head in enumerate(heads):
        plain = " ".join(_MARKS.sub(" ", head).split())
        for word in sorted(words, key=len, reverse=True):
            low = plain.casefold()
            rest = plain[len(word) :] if low.startswith(f"{word} ") or low == word else None
            if rest is None and low.endswith(f" {word}"):
                rest = plain[: -len(word)]
            if rest is not None and (not rest.strip() or _is_system(rest.strip())):
                yield at, rest.strip()
                break


def _is_system(text: str) -> bool:
    return is_unit(text, "m") or text.casefold() in ("utm", "coord") or system_named(text) is not None


@lru_cache(maxsize=64)
def system_named(text: str) -> str | None:
    """The coordinate system somebody names, as `carried` takes it; None for what names none, or not one alone.

    >>> system_named("UTM 33N"), system_named("ETRS89 / UTM zone 32N"), system_named("25833"), system_named("UTM 33")
    ('EPSG:32633', 'EPSG:25832', 'EPSG:25833', None)
    """
    tidy = " ".join(text.split())
    code = _CODE.fullmatch(tidy)
    if code:
        return _known(f"EPSG:{code[1]}")
    utm = _UTM.fullmatch(tidy)
    if utm:
        datum, zone, band, side = (utm[1] or "").strip().upper(), int(utm[2]), (utm[3] or "").upper(), utm[4]
        first = _DATUMS.get(datum)
        south = side.casefold() == "south" if side else "C" <= band < "N"
        if not 1 <= zone <= 60 or not (band or side) or (band == "S" and not side):  # S is a band of the north too
            return None
        if first is not None:
            return None if south and first != _DATUMS[""] else _known(f"EPSG:{first + zone + (100 if south else 0)}")
    return _known(tidy) if "/" in tidy or ":" in tidy else None


def _known(said: str) -> str | None:
    try:
        system_of(said)
    except BadFile:
        return None
    return said


def _cell(cells: Sequence[str], at: int | None) -> str:
    return cells[at].strip() if at is not None and at < len(cells) else ""


def _system_of_row(cells: Sequence[str], columns: Gridded, system: str | None) -> str | None:
    code, zone = _cell(cells, columns.code), _ZONE_CELL.fullmatch(_cell(cells, columns.zone))
    if code:
        return system_named(code)
    side = _side(zone[2] or "", _cell(cells, columns.side).casefold()) if zone else ""
    if zone and side:
        datum = "" if columns.system.casefold() in ("", "utm") else columns.system
        return system_named(f"{datum} UTM {zone[1]} {side}".strip())
    named = system_named(columns.system) or (system_named(system) if system else None)
    return _of_zone(named, int(zone[1])) if named and zone else named


def _side(letter: str, beside: str) -> str:
    """North or south, by the letter of a zone and the cell beside it; "" where they do not say it, or not the same."""
    band = letter.casefold()
    if band and band not in _SIDES:  # of itself S may be a band of the north, or south
        band = "" if band == "s" else "south" if band < "n" else "north"
    said = next((side for side, words in _SIDES.items() if beside in words), "")
    if (beside and not said) or (said and band and said != band):
        return ""
    return said or band


def _of_zone(named: str, zone: int) -> str | None:
    """The system somebody names for a whole table, in the zone that a row says, where it is one of UTM."""
    whole = system_of(named)
    if whole.utm_zone is None:
        return named
    return _known(whole.name.replace(f"zone {whole.utm_zone[:-1]}", f"zone {zone}"))


def _counts_in(said: str, unit: str) -> bool:
    """Whether a system counts in the unit of the headings; its two feet differ by 2 m in a million."""
    axis = system_of(said).axis_info[0]
    try:
        metres = number_of("1000000", "m", unit) / 1_000_000
    except BadValue:
        return False
    return math.isclose(axis.unit_conversion_factor, metres, rel_tol=1e-8) and "degree" not in axis.unit_name


def _inside(found: Carried, said: str, text: str) -> str:
    """The place in words, where it lies on the ground its system is made for."""
    area = system_of(said).area_of_use
    shape = found.shapes[0]
    if isinstance(shape, shapely.Point):
        lon, lat = shape.x, shape.y
        if area is None:
            return decimal(lon, lat, DECIMALS)
        west, south, east, north = area.bounds
        wide = ((east - west) % 360 or 360) + 2 * _BEYOND_DEG
        if (lon - west + _BEYOND_DEG) % 360 <= wide and south - _BEYOND_DEG <= lat <= north + _BEYOND_DEG:
            return decimal(lon, lat, DECIMALS)
    raise BadValue(reason("site.grid_outside", text=text, system=found.system))
