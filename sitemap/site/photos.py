"""Photos of things on the site: taken in small, upright and without what the camera wrote into them.

What is kept is a new picture: its place, its time and its device stay behind, unless somebody keeps place and day on
purpose, and then they stand in the site file where they can be read. The files are kept beside the site by their hash.
"""

from __future__ import annotations

import datetime as dt
import io
import warnings
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sitemap.errors import BadFile
from sitemap.reasons import reason
from sitemap.site.frozen import FrozenDict, thaw
from sitemap.site.model import Site

LONGEST_PX = 1280  # of a side: sharp at half a sheet of paper, about 200 kB
QUALITY = 80  # of the JPEG
MOST_BYTES, MOST_PIXELS = 40_000_000, 120_000_000
_KINDS = ("JPEG", "PNG")  # a JPEG of several views, as some phones make, is read as its first
_GPS, _EXIF, _TAKEN = 0x8825, 0x8769, 0x9003  # tags of Exif 2.3 (CIPA DC-008): GPS and Exif parts, DateTimeOriginal


@dataclass(frozen=True)
class Photo:
    """One photo of a site.

    sha256 : of its file; of : id of the thing it shows; caption : typed
    taken, at : day, and longitude and latitude [deg], where somebody kept them on purpose
    """

    sha256: str
    of: str
    caption: str = ""
    taken: dt.date | None = None
    at: tuple[float, float] | None = None


@dataclass(frozen=True)
class Taken:
    """A picture taken in: the file to keep, and where and when the camera says it was taken."""

    jpeg: bytes
    at: tuple[float, float] | None
    taken: dt.date | None


def take(name: str, content: bytes) -> Taken:
    """A picture made upright, small and bare.

    Parameters
    ----------
    name : of the file, for what is said
    content : JPEG or PNG

    Raises
    ------
    BadFile : it is no such picture, damaged or too large
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    if len(content) > MOST_BYTES:
        raise BadFile(reason("files.photo_too_large", most=MOST_BYTES // 1000000, name=name))
    try:
        with warnings.catch_warnings(), Image.open(io.BytesIO(content), formats=_KINDS) as opened:
            warnings.simplefilter("ignore")  # of odd camera notes, which are not read
            if opened.width * opened.height > MOST_PIXELS:
                raise BadFile(reason("files.photo_too_many_pixels", most=MOST_PIXELS // 1000000, name=name))
            exif = opened.getexif()
            at, taken = _place(exif.get_ifd(_GPS)), _day(exif.get_ifd(_EXIF).get(_TAKEN))
            upright = ImageOps.exif_transpose(opened).convert("RGBA")
            upright.thumbnail((LONGEST_PX, LONGEST_PX))
            bare = Image.new("RGB", upright.size, "white")  # a new picture holds nothing of the camera
            bare.paste(upright, mask=upright)
            out = io.BytesIO()
            bare.save(out, "JPEG", quality=QUALITY, optimize=True)
    except BadFile:
        raise
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        raise BadFile(reason("files.no_photo", name=name)) from error
    return Taken(out.getvalue(), at, taken)


def photos_of(site: Site) -> tuple[Photo, ...]:
    """The photos of a site in the order they were added; an entry that cannot be read is left where it is."""
    return tuple(photo for entry in _entries(site) if (photo := _photo(entry)) is not None)


def contents(site: Site, path_of: Callable[[str], Path]) -> dict[str, bytes]:
    """The files of the photos by sha256, as far as they are kept; path_of raises BadFile for one that is not."""
    found = {}
    for photo in photos_of(site):
        try:
            found[photo.sha256] = path_of(photo.sha256).read_bytes()
        except (BadFile, OSError):
            continue
    return found


def with_photo(site: Site, photo: Photo) -> Site:
    """The site with one more photo; the same photo of the same thing is there once."""
    if any((old.sha256, old.of) == (photo.sha256, photo.of) for old in photos_of(site)):
        return site
    said: dict[str, Any] = {"sha256": photo.sha256, "of": photo.of, "caption": photo.caption or None}
    said |= {"taken": photo.taken.isoformat() if photo.taken else None, "at": list(photo.at) if photo.at else None}
    return _with(site, [*map(thaw, _entries(site)), {key: value for key, value in said.items() if value is not None}])


def without_photo(site: Site, photo: Photo) -> Site:
    """The site without a photo; its file stays where it is kept, so that undo brings it back."""
    return _with(site, [thaw(entry) for entry in _entries(site) if _photo(entry) != photo])


def _entries(site: Site) -> tuple[Any, ...]:
    files = site.member.get("files")
    found = files.get("photos") if isinstance(files, FrozenDict) else None
    return found if isinstance(found, tuple) else ()


def _with(site: Site, entries: list[Any]) -> Site:
    files = site.member.get("files")
    kept = (
        {key: value for key, value in thaw(files).items() if key != "photos"} if isinstance(files, FrozenDict) else {}
    )
    made = {**kept, **({"photos": entries} if entries else {})}
    return site.with_member("files", made or None)


def _photo(entry: Any) -> Photo | None:
    if not isinstance(entry, FrozenDict) or not isinstance(entry.get("sha256"), str):
        return None
    taken, at = entry.get("taken"), entry.get("at")
    try:
        day = dt.date.fromisoformat(taken) if isinstance(taken, str) else None
    except ValueError:
        day = None
    whole = isinstance(at, tuple) and len(at) == 2 and all(isinstance(each, int | float) for each in at)
    place = (float(at[0]), float(at[1])) if whole and isinstance(at, tuple) else None
    return Photo(entry["sha256"], str(entry.get("of") or ""), str(entry.get("caption") or ""), day, place)


def _place(gps: Mapping[int, Any]) -> tuple[float, float] | None:
    """Longitude and latitude [deg] from the GPS part: 1 N or S, 2 latitude, 3 E or W, 4 longitude, each in degrees,
    minutes and seconds."""
    try:
        lat, lon = (sum(float(part) / 60**power for power, part in enumerate(gps[tag])) for tag in (2, 4))
        lat *= -1 if str(gps[1]).upper().startswith("S") else 1
        lon *= -1 if str(gps[3]).upper().startswith("W") else 1
    except (KeyError, TypeError, ValueError, ZeroDivisionError):
        return None
    if not (abs(lat) <= 90 and abs(lon) <= 180) or (lat, lon) == (0, 0):  # also not a number; a camera without a fix
        return None
    return round(lon, 7), round(lat, 7)


def _day(said: Any) -> dt.date | None:
    """The day of "2026:05:20 14:03:11"."""
    try:
        return dt.datetime.strptime(str(said)[:10], "%Y:%m:%d").date()
    except ValueError:
        return None
