"""Places as people write them, and as the emergency service asks for them; all on WGS 84.

Latitude comes first in plain pairs, east comes first in grids: each as its trade writes it. What can be read as two
places is refused, because either guess may send help to the wrong one.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from sitemap.errors import BadValue, not_negative, within
from sitemap.geodesy.grid_references import Place, mgrs, parse_grid, utm
from sitemap.geodesy.plane import WGS84, wrapped
from sitemap.reasons import Term, as_typed, reason
from sitemap.units import written_out

__all__ = ["decimal", "degrees_minutes", "dms", "formats", "from_bearing", "mgrs", "paces_m", "parse", "utm"]

FARTHEST_M = 100_000.0  # no one walks or drives a bearing farther; a slip of units shows here
PACE_LENGTH_M = (0.3, 2.5)  # a child's step to a tall person's double step
LONGEST_TEXT = 120
COARSEST_DEG, COARSEST_M = 1e-4, 1.0  # [deg], [m] a place cut short by a spreadsheet may say at worst: some 10 m (ours)

_WRITE = reason("geodesy.write")
_SIGNS = str.maketrans(
    {"º": "°", "˚": "°", "′": "'", "’": "'", "‘": "'", "″": '"', "”": '"', "“": '"', "−": "-", "–": "-", "\u00a0": " "}
)
_WORDS = [(r"\bDEG(?:REES?)?\b\.?", "°"), (r"\b(NORTH|SOUTH|EAST|WEST)\b", lambda found: found[0][0])]
_NAMED = [(r"\bLAT(?:ITUDE)?\b\.?\s*[:=]?", "N"), (r"\bLO?NG?(?:ITUDE)?\b\.?\s*[:=]?", "E")]
_COMMAS = re.compile(r"\d+(?:,\d+)+\s*[°'\"]?")  # numbers with commas between their digits
_DECIMALS = re.compile(r"\d+,(?:\d{3,}\s*[°'\"]?|\d+\s*[°'\"])")  # no minutes: a mark behind, or too many digits
_NUMBER = re.compile(r"([+-]?)(\d+(?:\.\d*)?|\.\d+)\s*([°'\"]?)")
_STRAY = re.compile(r"[^-+0-9.°'\",;:/NSEW]")
_AXIS = {"N": 90, "S": 90, "E": 180, "W": 180}


def parse(text: str) -> Place:
    """Longitude and latitude [deg], WGS 84, of a place as written; longitude in [-180, 180).

    Read are decimal degrees, degrees and decimal minutes, degrees, minutes and seconds (spaced, marked, or run
    together with letters as in 4403.000N 12118.000W), UTM and UPS with a band letter or north or south, and MGRS
    with or without spaces, its square taken at the middle. Plain pairs are latitude, longitude; with N, S, E, W
    either order. A comma is a decimal mark where it can be nothing else, as in 44,05° N 121,3° W.

    Raises BadValue, saying what is wrong and how to mend it, for anything else and for what can be read two ways.

    >>> parse("44.05, -121.3")
    (-121.3, 44.05)
    >>> parse("4403.000N 12118.000W") == parse("44°03'00\\"N 121°18'00\\"W") == parse("44.05, -121.3")
    True
    """
    if len(text) > LONGEST_TEXT:
        raise BadValue(reason("geodesy.too_long", most=LONGEST_TEXT, count=len(text), write=_WRITE))
    tidy = " ".join(text.translate(_SIGNS).replace("''", '"').upper().split())
    if not tidy:
        raise BadValue(reason("geodesy.nothing_written", write=_WRITE))
    tidy, step = written_out(tidy)
    grid = parse_grid(tidy)
    if step > (COARSEST_DEG if grid is None else COARSEST_M):
        raise BadValue(reason("geodesy.shortened", text=text))
    if grid is not None:
        lon, lat = grid
    else:
        lon, lat = _read_degrees(tidy)
    return wrapped(lon), lat


def formats(lon: float, lat: float) -> dict[str, str]:
    """The place [deg] in every way it may be asked for, WGS 84: keys decimal, degrees_minutes, dms, utm, mgrs.

    Parameters
    ----------
    lon, lat : the place, WGS 84 [deg]

    Returns
    -------
    the ways by their keys

    Raises
    ------
    BadValue : no place on Earth
    """
    return {write.__name__: write(lon, lat) for write in (decimal, degrees_minutes, dms, utm, mgrs)}


def decimal(lon: float, lat: float, places: int = 6) -> str:
    """Decimal degrees [deg] of a place, latitude first; six places are 0.1 m.

    Parameters
    ----------
    lon, lat : the place, WGS 84 [deg]
    places : decimals [count]

    Returns
    -------
    the text

    Raises
    ------
    BadValue : no place on Earth

    >>> decimal(-121.3, 44.05)
    '44.050000, -121.300000'
    """
    lon, lat = _on_earth(lon, lat)
    return ", ".join(f"{round(degrees, places) + 0.0:.{places}f}" for degrees in (lat, lon))


def degrees_minutes(lon: float, lat: float) -> str:
    """Degrees and decimal minutes of a place [deg], as aircraft crews use them; 0.001' is 2 m.

    Parameters
    ----------
    lon, lat : the place, WGS 84 [deg]

    Returns
    -------
    the text

    Raises
    ------
    BadValue : no place on Earth

    >>> degrees_minutes(-121.3, 44.05)
    "44°03.000'N 121°18.000'W"
    """

    def written(degrees: float, width: int) -> str:
        whole, thousandths = divmod(round(degrees * 60_000), 60_000)  # rounded once, so that 60.000' never shows
        return f"{whole:0{width}d}°{thousandths / 1000:06.3f}'"

    return _with_letters(lon, lat, written)


def dms(lon: float, lat: float) -> str:
    """Degrees, minutes and seconds of a place [deg]; 0.1" is 3 m.

    Parameters
    ----------
    lon, lat : the place, WGS 84 [deg]

    Returns
    -------
    the text

    Raises
    ------
    BadValue : no place on Earth

    >>> dms(-121.3, 44.05)
    '44°03\\'00.0"N 121°18\\'00.0"W'
    """

    def written(degrees: float, width: int) -> str:
        minutes, tenths = divmod(round(degrees * 36_000), 600)
        return f"{minutes // 60:0{width}d}°{minutes % 60:02d}'{tenths / 10:04.1f}\""

    return _with_letters(lon, lat, written)


def from_bearing(lon: float, lat: float, bearing_deg: float, distance_m: float) -> Place:
    """Longitude and latitude [deg] of a place seen from another at a bearing and a level distance.

    Parameters
    ----------
    lon, lat : where one stands, WGS 84 [deg]
    bearing_deg : clockwise from true north, 0 … 360 [deg]
    distance_m : along the level, not the slope, 0 … 100 km [m]

    Returns
    -------
    longitude and latitude [deg]

    Raises
    ------
    BadValue : anything outside these limits

    References
    ----------
    Geodesic on WGS 84 by pyproj.Geod (D).

    >>> [round(degrees, 5) for degrees in from_bearing(0.0, 0.0, 90.0, 1113.2)]
    [0.01, 0.0]
    """
    lon, lat = _on_earth(lon, lat)
    within("The bearing", bearing_deg, 0, 360, "°")
    within("The distance", distance_m, 0, FARTHEST_M, "m")
    end_lon, end_lat, _ = WGS84.fwd(lon, lat, bearing_deg, distance_m)
    return wrapped(end_lon), float(end_lat)


def paces_m(paces: float, pace_length_m: float) -> float:
    """Distance walked [m]: paces counted × length of what was counted as one, a step or a double step [m].

    It follows the ground: on a slope the level distance is shorter.

    Parameters
    ----------
    paces : counted [count]
    pace_length_m : of what was counted as one [m]

    Returns
    -------
    distance [m]

    Raises
    ------
    BadValue : negative paces, and a pace no one walks

    >>> paces_m(120, 0.75)
    90.0
    """
    not_negative("The number of paces", paces)
    within("The length of a pace", pace_length_m, *PACE_LENGTH_M, "m")
    return paces * pace_length_m


def _read_degrees(text: str) -> Place:
    tidy = text
    for pattern, replacement in _WORDS:
        tidy = re.sub(pattern, replacement, tidy)  # type: ignore[call-overload]
    tidy = _decimal_points(_unnamed(tidy.removeprefix("GEO:").strip(" ()[]")))
    strange = [word for word in tidy.split() if _STRAY.search(word)]
    if strange:
        raise BadValue(reason("geodesy.no_meaning", text=text, strange=strange[0], write=_WRITE))
    if re.search(r"\d,\d", tidy) and "." not in tidy:
        raise BadValue(reason("geodesy.comma", text=text))
    letters = re.sub(r"[^NSEW]", "", tidy)
    if letters:
        lat_text, lon_text = _halves_by_letters(text, tidy, letters)
        return _angle(text, lon_text), _angle(text, lat_text)
    first, second = _plain_halves(text, tidy)
    lat, lon = _angle(text, first, 360), _angle(text, second, 360)
    if abs(lat) > 90 and abs(lon) <= 90:
        raise BadValue(reason("geodesy.longitude_first", text=text, lat=f"{lon:g}", lon=f"{lat:g}"))
    return _angle(text, second + " E"), _angle(text, first + " N")


def _unnamed(text: str) -> str:
    """The words latitude and longitude as N and E in front, or away where letters stand behind the numbers."""
    bare = text
    for pattern, _ in _NAMED:
        bare = re.sub(pattern, " ", bare)
    if bare == text or re.search("[NSEW]", bare):
        return bare
    for pattern, letter in _NAMED:
        text = re.sub(pattern, f" {letter} ", text)
    return text.strip()


def _decimal_points(text: str) -> str:
    """Decimal commas as points, where they can be nothing else."""
    found = _COMMAS.findall(text)
    marked = [number for number in found if not number[-1].isdigit()]
    if "." in text or not all(map(_DECIMALS.fullmatch, found)) or not (len(found) == 2 or len(found) == len(marked)):
        return text
    return re.sub(r"(?<=\d),(?=\d)", ".", text)


def _halves_by_letters(text: str, tidy: str, letters: str) -> tuple[str, str]:
    """The text of the latitude and of the longitude, each with its letter."""
    if len(letters) != 2 or (letters[0] in "NS") == (letters[1] in "NS"):
        raise BadValue(reason("geodesy.one_letter_each", text=text, letters=letters))
    body = tidy.strip(" ,;:/")
    pattern = r"([NSEW][^NSEW]*)([NSEW][^NSEW]*)" if body[0] in "NSEW" else r"([^NSEW]*[NSEW])([^NSEW]*[NSEW])"
    found = re.fullmatch(pattern, body)
    if found is None:
        raise BadValue(reason("geodesy.letters_on_one_side", text=text))
    # between digits a hyphen parts degrees from minutes once letters say which side
    halves = [re.sub(r"(?<=[\d°'])-(?=\d)", " ", half) for half in found.groups()]
    return (halves[0], halves[1]) if letters[0] in "NS" else (halves[1], halves[0])


def _plain_halves(text: str, tidy: str) -> tuple[str, str]:
    """A text without letters, parted at its one comma, else at its second degree mark, else in the middle."""
    parts = [part for part in re.split(r"[,;]", tidy) if part.strip()]
    numbers = list(_NUMBER.finditer(tidy))
    if len(parts) == 2:
        return parts[0], parts[1]
    marked = [number.start() for number in numbers if number[3] == "°"]
    if len(parts) == 1 and len(marked) == 2:
        return tidy[: marked[1]], tidy[marked[1] :]
    middle = numbers[len(numbers) // 2].start() if numbers else 0
    parted = tidy[middle - 1 : middle] == " " or tidy[middle : middle + 1] in ("+", "-")
    if len(parts) != 1 or len(numbers) not in (2, 4, 6) or not parted:
        raise BadValue(reason("geodesy.no_parting", text=text, write=_WRITE))
    return tidy[:middle], tidy[middle:]


def _angle(text: str, half: str, limit: int | None = None) -> float:
    """Degrees of one half: one to three numbers, a sign in front or a letter."""
    letter = re.sub(r"[^NSEW]", "", half)
    rest = re.sub(r"[NSEW]", " ", half).strip(" ,;")
    numbers = list(_NUMBER.finditer(rest))
    if not 1 <= len(numbers) <= 3 or re.sub(r"[\s:/]", "", _NUMBER.sub("", rest)):
        raise BadValue(reason("geodesy.not_degrees", text=text, part=half.strip(), write=_WRITE))
    values, marks = [number[2] for number in numbers], [number[3] for number in numbers]
    if any(mark and mark != "°'\""[place] for place, mark in enumerate(marks)):
        raise BadValue(reason("geodesy.order_of_marks", text=text, part=half.strip()))
    if any(number[1] for number in numbers[1:]):
        raise BadValue(reason("geodesy.sign", text=text, part=half.strip()))
    if any("." in value for value in values[:-1]):
        raise BadValue(reason("geodesy.decimals_last", text=text, part=half.strip()))
    if len(values) == 1 and len(values[0].split(".")[0]) > 3 and not marks[0]:
        values = _run_together(text, values[0], letter)
    degrees, minutes, seconds = (float(value) for value in [*values, "0", "0"][:3])
    for what, value in (("minutes", minutes), ("seconds", seconds)):
        if value >= 60:
            raise BadValue(reason("geodesy.below_sixty", text=text, what=Term(what), value=value))
    limit = limit or _AXIS[letter]
    angle = degrees + minutes / 60 + seconds / 3600
    if angle > limit:
        axis = Term({90: "a latitude", 180: "a longitude"}.get(limit, "an angle"))
        raise BadValue(reason("geodesy.angle_limit", text=text, axis=axis, limit=limit, angle=as_typed(angle, "deg")))
    sign = numbers[0][1]
    if sign == "-" and letter in ("S", "W"):
        raise BadValue(reason("geodesy.minus_and_letter", text=text, part=half.strip(), letter=letter))
    return -angle if sign == "-" or letter in ("S", "W") else angle


def _run_together(text: str, value: str, letter: str) -> list[str]:
    """Numbers of a latitude ddmm or ddmmss, a longitude dddmm or dddmmss, the last with its decimals."""
    whole, point, decimals = value.partition(".")
    width = 2 if letter in ("N", "S") else 3
    count, odd = divmod(len(whole) - width, 2)
    if not letter or odd or not 1 <= count <= 2:
        raise BadValue(reason("geodesy.run_together", text=text, value=value))
    parts = [whole[:width], *(whole[width + 2 * place : width + 2 * place + 2] for place in range(count))]
    parts[-1] += point + decimals
    return parts


def _with_letters(lon: float, lat: float, written: Callable[[float, int], str]) -> str:
    lon, lat = _on_earth(lon, lat)
    return f"{written(abs(lat), 2)}{'S' if lat < 0 else 'N'} {written(abs(lon), 3)}{'W' if lon < 0 else 'E'}"


def _on_earth(lon: float, lat: float) -> Place:
    if not (math.isfinite(lon) and math.isfinite(lat) and abs(lat) <= 90):
        raise BadValue(reason("geodesy.not_on_earth", lat=as_typed(lat, "deg"), lon=as_typed(lon, "deg")))
    return wrapped(lon), lat
