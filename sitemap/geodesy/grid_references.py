"""UTM, UPS and MGRS references, read and written, on WGS 84.

The projections, the wide zones of Norway and Svalbard and the polar squares come from pygeodesy. Ours is what is
refused, because a reference misread puts a kiln a band, a zone or a hemisphere away.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import TYPE_CHECKING

from pyproj import Proj

from sitemap.errors import BadValue
from sitemap.reasons import Quantity, Term, reason

if TYPE_CHECKING:
    from pygeodesy.ups import Ups
    from pygeodesy.utm import Utm

Place = tuple[float, float]  # longitude, latitude [deg], WGS 84

BANDS = "CDEFGHJKLMNPQRSTUVWX"  # eight degrees each from 80° S, the last one twelve
POLAR = "ABYZ"
MISSING_ZONES = {"32X", "34X", "36X"}  # Svalbard: their ground belongs to 31X, 33X, 35X and 37X
BAND_SLACK_DEG = 0.01  # a square or a rounded metre may reach a little over its band's edge
ZONE_REACH_DEG = 9.0  # from the zone's middle: its neighbours' ground may be given in it, farther off is a slip
UTM_LATITUDE_DEG = (-80.5, 84.5)  # half a degree of overlap with the polar grid
UTM_EASTING_M = (100_000.0, 900_000.0)  # the limits the MGRS squares cover
UTM_NORTHING_M = (0.0, 10_000_000.0)
UPS_MIDDLE_M = 2_000_000.0  # of both axes, at the pole
UPS_RANGE_M = (800_000.0, 3_200_000.0)  # the larger cap, in the south
UPS_LEAST_LATITUDE_DEG = 83.4  # 83.5° north with slack; on the south side the cap begins at 79.5°
UPS_LEAST_LATITUDE_SOUTH_DEG = 79.4
EQUATOR_DEG = 1e-9  # 0.1 mm
COARSEST_DIGITS = 3  # per axis: a 100 m square; a coarser one places nothing on a site
POLE_M = 2_000_000  # [m] false easting and northing of the poles in UPS
NUDGE_M = 1e-6  # keeps a whole metre that arithmetic left a hair short from being cut down by one

_NUMBER = r"(\d{1,8}(?:\.\d*)?)"
_METRES = rf"(?:E(?:ASTING)?\s*)?{_NUMBER}(?:\s*M?\s*E[\s,;]*|[\s,;]+)(?:N(?:ORTHING)?\s*)?{_NUMBER}\s*(?:M?\s*N)?"
_SIDE = r"(?:[\s,]*(NORTH|SOUTH))?"
UTM_FORM = re.compile(rf"(?:UTM\s*)?(?:ZONE\s*)?(\d{{1,2}})\s*([A-Z])?{_SIDE}[\s,;:]+{_METRES}{_SIDE}")
UPS_FORM = re.compile(rf"(?:UPS\s*)?([ABYZNS])?{_SIDE}[\s,;:]*{_METRES}{_SIDE}")
MGRS_FORM = re.compile(r"(?:MGRS\s*)?(?:(\d{1,2})\s*)?([A-Z])\s*([A-Z]{2})\s*(\d*)\s*(\d*)")


@lru_cache(maxsize=1024)
def utm(lon: float, lat: float) -> str:
    """UTM reference of a place [deg], to the metre; UPS north of 84° N and south of 80° S.

    The zone's letter is the latitude band, and the side of the equator is spelled out: a bare S is both a band in the
    north and the south.

    Parameters
    ----------
    lon, lat : the place, WGS 84 [deg]

    Returns
    -------
    the reference

    Raises
    ------
    BadValue : no place on Earth

    >>> utm(44.4, 33.3)
    '38S 444141 mE 3684706 mN north'
    """
    grid = _grid(lon, lat)
    zone = str(grid.zone) if grid.zone else ""
    side = "north" if grid.hemisphere == "N" else "south"
    return f"{zone}{grid.band} {grid.easting:.0f} mE {grid.northing:.0f} mN {side}"


@lru_cache(maxsize=1024)
def mgrs(lon: float, lat: float) -> str:
    """MGRS reference of a place [deg]: the one-metre square it lies in, cut and not rounded, polar letters too.

    Parameters
    ----------
    lon, lat : the place, WGS 84 [deg]

    Returns
    -------
    the reference

    Raises
    ------
    BadValue : no place on Earth

    >>> mgrs(44.4, 33.3)
    '38S MB 44140 84706'
    """
    from pygeodesy.ups import Ups
    from pygeodesy.utm import Utm

    grid = _grid(lon, lat)
    # cut to the metre first, so that the letters of the square and its digits are taken from the same number
    eastings, northings = math.floor(grid.easting + NUDGE_M), math.floor(grid.northing + NUDGE_M)
    band = grid.band
    if grid.zone:
        northings = min(northings, UTM_NORTHING_M[1] - 1)
        square = Utm(grid.zone, grid.hemisphere, eastings, northings, band=band).toMgrs()
    else:  # a hair west of the meridian through the pole, the whole metre lies east of it
        band = ("AB" if grid.hemisphere == "S" else "YZ")[eastings >= POLE_M]
        square = Ups(0, grid.hemisphere, eastings, northings, band=band).toMgrs()
    zone = str(grid.zone) if grid.zone else ""
    return f"{zone}{band} {square.en100k} {int(square.easting):05d} {int(square.northing):05d}"


def parse_grid(text: str) -> Place | None:
    """Longitude and latitude [deg] of a UTM, UPS or MGRS reference; None when the text has the look of none of them.

    text : upper case, single spaces. An MGRS square is read as its middle. Raises BadValue, saying what is wrong, for
    a reference that has the look of one and is not, or that can be read as two places.
    """
    for form, read in ((MGRS_FORM, _read_mgrs), (UTM_FORM, _read_utm), (UPS_FORM, _read_ups)):
        found = form.fullmatch(text)
        if found is not None:
            place = read(text, *found.groups())
            if place is not None:
                return place
    return None


def _read_utm(
    text: str, zone: str, letter: str | None, before: str | None, first: str, second: str, after: str | None
) -> Place | None:
    side, easting, northing = before or after, float(first), float(second)
    if max(easting, northing) < UTM_EASTING_M[0]:
        return None  # degrees, minutes and seconds with a letter among them
    if letter is None and side is None:
        raise BadValue(reason("geodesy.no_band", text=text, zone=zone))
    if letter in ("N", "S"):
        if side is None:
            letter, side = _band_or_side(text, zone, letter, easting, northing)
        elif side.startswith(letter):
            letter = None  # the side said twice
    _check_zone(text, int(zone), letter or "")
    _check_range(text, "easting", easting, UTM_EASTING_M)
    _check_range(text, "northing", northing, UTM_NORTHING_M)
    if side is None:
        side = "NORTH" if letter is not None and letter >= "N" else "SOUTH"
    place = _from_utm(int(zone), side, easting, northing)
    if letter:
        _check_band(text, letter, place[1])
    if not _in_reach(int(zone), place):
        raise BadValue(
            reason("geodesy.outside_zone", text=text, lat=_degrees(place[1]), lon=_degrees(place[0]), zone=zone)
        )
    return place


def _band_or_side(text: str, zone: str, letter: str, easting: float, northing: float) -> tuple[str | None, str]:
    """What a bare N or S after the zone means. N is north either way; S is band S or the south, whichever fits."""
    if letter == "N":
        return None, "NORTH"
    low, high = _band_edges("S")
    if not UTM_NORTHING_M[0] <= northing <= UTM_NORTHING_M[1] or not 1 <= int(zone) <= 60:
        return None, "SOUTH"  # refused in a moment
    north, south = (_from_utm(int(zone), side, easting, northing) for side in ("NORTH", "SOUTH"))
    if low - BAND_SLACK_DEG <= north[1] <= high + BAND_SLACK_DEG:
        raise BadValue(reason("geodesy.band_or_south", text=text, north=_degrees(north[1]), south=_degrees(south[1])))
    return None, "SOUTH"


def _read_ups(
    text: str, letter: str | None, before: str | None, first: str, second: str, after: str | None
) -> Place | None:
    side, easting, northing = before or after, float(first), float(second)
    if max(easting, northing) < UTM_EASTING_M[0] or (letter is None and side is None):
        return None
    if letter in ("N", "S"):
        if "E" in text.replace("ME", ""):
            return None  # degrees, minutes and seconds run together, N and E before them
        letter, side = None, side or ("NORTH" if letter == "N" else "SOUTH")
    _check_range(text, "easting", easting, UPS_RANGE_M)
    _check_range(text, "northing", northing, UPS_RANGE_M)
    pole = "S" if letter in ("A", "B") or (letter is None and side == "SOUTH") else "N"
    if letter is not None and side is not None and (side == "NORTH") != (pole == "N"):
        raise BadValue(
            reason("geodesy.letter_is_north" if pole == "N" else "geodesy.letter_is_south", text=text, letter=letter)
        )
    from pygeodesy.ups import Ups

    lat, lon = Ups(0, pole, easting, northing).toLatLon()[:2]
    if abs(lat) < (UPS_LEAST_LATITUDE_DEG if pole == "N" else UPS_LEAST_LATITUDE_SOUTH_DEG):
        raise BadValue(reason("geodesy.outside_polar_grid", text=text, lat=_degrees(lat)))
    east = easting - UPS_MIDDLE_M
    if letter is not None and abs(east) > 1 and (letter in "AY") != (east < 0):
        raise BadValue(reason("geodesy.polar_letter", text=text))
    return float(lon), float(lat)


def _read_mgrs(text: str, zone: str | None, band: str, square: str, first: str, second: str) -> Place | None:
    if (zone is None) != (band in POLAR):
        return None
    if second and len(first) != len(second):
        raise BadValue(reason("geodesy.digits_differ", text=text, easting=len(first), northing=len(second)))
    digits = first + second
    if len(digits) % 2 or len(digits) > 10:
        raise BadValue(reason("geodesy.mgrs_digits", text=text, count=len(digits)))
    if len(digits) < 2 * COARSEST_DIGITS:
        raise BadValue(reason("geodesy.mgrs_square", text=text, km=10 ** (2 - len(digits) // 2)))
    if zone is not None:
        _check_zone(text, int(zone), band)
    from pygeodesy.mgrs import Mgrs

    half = len(digits) // 2
    metres = 10.0 ** (5 - half)
    easting, northing = (int(part) * metres + metres / 2 for part in (digits[:half], digits[half:]))
    try:
        grid = Mgrs(f"{zone or ''}{band}", square, easting, northing).toUtmUps()
        if zone is None:
            lat, lon = (float(degrees) for degrees in grid.toLatLon()[:2])
        else:
            side = "NORTH" if grid.hemisphere == "N" else "SOUTH"
            lon, lat = _from_utm(int(zone), side, float(grid.easting), float(grid.northing))
    except ValueError:  # pygeodesy's own sentence is for programmers
        fits = False
    else:
        # a row letter comes back every 2,000 km and a column letter every three zones: what lies elsewhere is a slip
        if zone is None:
            fits = abs(lat) >= (UPS_LEAST_LATITUDE_DEG if band in "YZ" else UPS_LEAST_LATITUDE_SOUTH_DEG)
        else:
            fits = UTM_EASTING_M[0] <= grid.easting <= UTM_EASTING_M[1] and _in_band(band, lat)
            fits = fits and _in_reach(int(zone), (lon, lat))
    if not fits:
        raise BadValue(reason("geodesy.no_square", text=text, square=square, band=f"{zone or ''}{band}"))
    return lon, lat


@lru_cache(maxsize=2048)  # a place is told on several sheets, and takes a millisecond
def _grid(lon: float, lat: float) -> Utm | Ups:
    if not (math.isfinite(lon) and math.isfinite(lat) and abs(lat) <= 90):
        raise BadValue(reason("geodesy.not_on_earth", lat=_degrees(lat), lon=_degrees(lon)))
    if abs(lat) < EQUATOR_DEG:
        lat = 0.0  # pygeodesy puts a hair south of the equator in the south with a northern band
    from pygeodesy.utmups import toUtmUps8

    return toUtmUps8(lat, (lon + 180) % 360 - 180)


def _from_utm(zone: int, side: str, easting: float, northing: float) -> Place:
    # pyproj and not pygeodesy, whose UTM stops dead at 84°: a metre rounded up at the edge must still be read
    south = {"south": True} if side == "SOUTH" else {}
    lon, lat = Proj(proj="utm", zone=zone, ellps="WGS84", **south)(easting, northing, inverse=True)
    return float(lon), float(lat)


def _band_edges(letter: str) -> tuple[float, float]:
    low = -80.0 + 8 * BANDS.index(letter)
    return low, 84.0 if letter == "X" else low + 8


def _in_band(letter: str, lat: float) -> bool:
    low, high = _band_edges(letter)
    return low - BAND_SLACK_DEG <= lat <= high + BAND_SLACK_DEG


def _in_reach(zone: int, place: Place) -> bool:
    off_middle = (place[0] - (6 * zone - 183) + 180) % 360 - 180
    return abs(off_middle) <= ZONE_REACH_DEG and UTM_LATITUDE_DEG[0] <= place[1] <= UTM_LATITUDE_DEG[1]


def _check_band(text: str, letter: str, lat: float) -> None:
    low, high = _band_edges(letter)
    if not _in_band(letter, lat):
        raise BadValue(
            reason(
                "geodesy.outside_band",
                text=text,
                lat=_degrees(lat),
                letter=letter,
                low=_degrees(low),
                high=_degrees(high),
            )
        )


def _check_zone(text: str, zone: int, letter: str) -> None:
    if not 1 <= zone <= 60:
        raise BadValue(reason("geodesy.zones", text=text, zone=zone))
    if letter and letter not in BANDS:
        raise BadValue(reason("geodesy.bands", text=text, letter=letter))
    if f"{zone}{letter}" in MISSING_ZONES:
        raise BadValue(reason("geodesy.missing_zone", text=text, zone=zone))


def _check_range(text: str, what: str, value: float, limits: tuple[float, float]) -> None:
    if not limits[0] <= value <= limits[1]:
        low, high, found = (f"{number:.0f}" for number in (*limits, value))  # figures of a grid, never in feet
        raise BadValue(reason("geodesy.grid_figure", text=text, what=Term(what), low=low, high=high, value=found))


def _degrees(angle: float) -> Quantity:
    return Quantity(angle, "deg", 5)
