"""Waypoints and tracks of a phone or a hand-held receiver (GPX 1.0 and 1.1), as things that may be kept.

A waypoint stands for one thing; the waypoints R1a and R1b are the two ends of windrow R1. A track that comes back to
where it began is guessed to be the logged area, another one a track, unless its type or its name tells. Heights of
phones are good to ± 15 m (house rule) and are not taken for elevations.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from itertools import pairwise
from typing import Any

from sitemap.errors import BadFile
from sitemap.reasons import reason
from sitemap.site.grid import NAME, PLACE, CellNote
from sitemap.site.imports.brought import Brought, Candidate, kinds_for
from sitemap.site.imports.guess import end_of, kind_of, source_of
from sitemap.site.imports.thinning import M_PER_DEGREE, THINNED_M, Places, thinned_line
from sitemap.site.kinds import AREA, KINDS, LINE, POINT
from sitemap.site.model import Feature

CLOSED_SHARE = 0.1  # of its length: a track whose ends lie nearer than this came back to where it began (ours)
DECIMALS = 7  # 0.01 m
_MOST_SAID = 5  # names of points of a route that are told
_PREFIX = re.compile(r"<(\w+):gpx\b")
#  What nobody asks of a point need not be right for its place to be read.
_UNASKED = re.compile(
    r"<(ele|time|magvar|geoidheight|sat|[hvp]dop|ageofdgpsdata|dgpsid|course|speed)\b[^<>]*(?<!/)>[^<]*</\1\s*>"
)
_DECIMAL_COMMA = re.compile(r"""(\b(?:lat|lon)\s*=\s*["'][-+]?\d+),(\d+["'])""")
_DECLARED = re.compile(rb"<\?xml[^>]*encoding=[\"']([\w.-]+)[\"']")


def read_gpx(name: str, data: bytes) -> Brought:
    """Everything of a GPX file that has a place.

    Raises BadFile for a file that is damaged, empty, or declares entities (no receiver writes them).
    """
    import gpxpy

    if b"<!DOCTYPE" in data or b"<!ENTITY" in data:
        raise BadFile(reason("files.gpx_type", name=name))
    declared = _DECLARED.search(data[:200])
    text = data.decode(declared[1].decode() if declared else "utf-8-sig").lstrip("\ufeff")
    prefix = _PREFIX.search(text[:4000])
    bare = re.sub(rf"(</?){prefix[1]}:", r"\1", text) if prefix else text
    gpx = gpxpy.parse(_DECIMAL_COMMA.sub(r"\1.\2", _UNASKED.sub("", bare)))
    points = [(*_said(w), [w.longitude, w.latitude]) for w in gpx.waypoints]
    lines = [(*_said(t), _segment(s.points)) for t in gpx.tracks for s in t.segments]
    lines += [(*_said(r), _segment(r.points)) for r in gpx.routes]
    candidates, notes = _things(points, lines)
    if not candidates and not notes:
        raise BadFile(reason("files.no_waypoint", name=name))
    names = [p.name for r in gpx.routes for p in r.points if p.name]
    if names:
        shown = (*names[:_MOST_SAID], *(["…"] if len(names) > _MOST_SAID else []))
        notes = (*notes, CellNote(0, NAME, "", "route", reason("site.route_points", count=len(names), names=shown)))
    return Brought(name, candidates, notes)


def _said(entry: Any) -> tuple[str, str, str]:
    """Name, words and type of a waypoint, track or route."""
    return entry.name or "", _words(entry.comment, entry.description), entry.type or ""


def _kind_of(name: str, said: str) -> tuple[str, str] | None:
    """The kind the type in the file names, as ours does, else the one its name tells, and by what; or None."""
    return (said, "the type in the file") if said in KINDS else kind_of(name)


def _things(
    points: list[tuple[str, str, str, list[float]]], lines: list[tuple[str, str, str, Places]]
) -> tuple[tuple[Candidate, ...], tuple[CellNote, ...]]:
    made: list[Candidate] = []
    notes: list[CellNote] = []
    ends = _ends(points)
    for row, (name, words, said, place) in enumerate(points, 1):
        if not _on_earth([place]):
            notes.append(
                CellNote(row, PLACE, name, "bad_place", reason("site.no_place_on_earth", name=name or str(row)))
            )
        elif name not in ends:
            made.append(_waypoint(row, name, place, words, said))
        elif ends[name][0] == name:
            stem = end_of(name)
            line = {"type": LINE, "coordinates": [_rounded(point) for point in ends[name][1:]]}
            made.append(_candidate(row, stem[0] if stem else name, line, words, "its two ends"))
    for row, (name, words, said, places) in enumerate(lines, len(points) + 1):
        if len(places) < 2 or not _on_earth(places):
            notes.append(CellNote(row, PLACE, name, "bad_place", reason("site.no_two_places", name=name or str(row))))
        else:
            made.append(_track(row, name, places, words, said))
    return tuple(made), tuple(notes)


def _ends(points: Iterable[tuple[str, str, str, list[float]]]) -> dict[str, list[Any]]:
    """Names of waypoints that are ends a and b of one line → [name of end a, place a, place b]."""
    found: dict[str, dict[str, tuple[str, list[float]]]] = {}
    for name, _, _, place in points:
        end, guess = end_of(name), kind_of(name)
        if end and guess and LINE in KINDS[guess[0]].geometries and _on_earth([place]):
            found.setdefault(end[0].casefold(), {})[end[1]] = (name, place)
    pairs = [ends for ends in found.values() if len(ends) == 2]
    return {ends[end][0]: [ends["a"][0], ends["a"][1], ends["b"][1]] for ends in pairs for end in "ab"}


def _waypoint(row: int, name: str, place: list[float], words: str, said: str) -> Candidate:
    guess = _kind_of(name, said) or ("pile", "nothing in its name: taken as a pile")
    if POINT in KINDS[guess[0]].geometries:
        return _candidate(row, name, {"type": POINT, "coordinates": _rounded(place)}, words, guess[1], guess[0])
    # one end of a line: no shape yet, but the place is kept in words, and the grid asks for the other end
    feature = _feature(name, None, words, guess[0]).with_values(**{PLACE: f"{place[1]:.6f}, {place[0]:.6f}"})
    return Candidate(row, feature, kinds_for(None), guess[1])


def _track(row: int, name: str, places: Places, words: str, said: str) -> Candidate:
    guess, whole = _kind_of(name, said), len(places)
    places = thinned_line(places)
    closed = len(places) > 3 and _apart_m(places[0], places[-1]) < CLOSED_SHARE * sum(
        _apart_m(a, b) for a, b in pairwise(places)
    )
    ring = [*places[:-1], places[0]] if places[0] == places[-1] else [*places, places[0]]
    outline = said in KINDS and AREA in KINDS[said].geometries and places[0] == places[-1]
    as_area = closed and (outline or guess is None or LINE not in KINDS[guess[0]].geometries)
    rounded = [_rounded(place) for place in (ring if as_area else places)]
    shape = AREA if as_area else LINE
    geometry = {"type": shape, "coordinates": [rounded] if as_area else rounded}
    if guess is None or shape not in KINDS[guess[0]].geometries:
        guess = ("logged_area", "it comes back to where it began") if as_area else ("track", "a line walked")
    less = "" if len(places) == whole else f"; {whole:,} points thinned to {len(places):,}, nowhere {THINNED_M} m off"
    return _candidate(row, name, geometry, words, guess[1] + less, guess[0])


def _candidate(row: int, name: str, geometry: dict[str, Any], words: str, why: str, kind: str = "") -> Candidate:
    guessed = kind or (kind_of(name) or ("track", ""))[0]
    return Candidate(row, _feature(name, geometry, words, guessed), kinds_for(geometry["type"]), why)


def _feature(name: str, geometry: dict[str, Any] | None, words: str, kind: str) -> Feature:
    values: dict[str, Any] = {"kind": kind, NAME: name or None, "note": words or None}
    if kind == "water_source":
        values["source"] = source_of(name)
    return Feature.of("", geometry, {key: value for key, value in values.items() if value is not None})


def _segment(points: Iterable[Any]) -> Places:
    return [[p.longitude, p.latitude] for p in points]


def _rounded(place: list[float]) -> list[float]:
    return [round(degrees, DECIMALS) for degrees in place]


def _words(*texts: str | None) -> str:
    return ". ".join(dict.fromkeys(text.strip() for text in texts if text and text.strip()))


def _on_earth(places: Places) -> bool:
    return all(
        p[0] is not None and p[1] is not None and abs(p[0]) <= 180 and abs(p[1]) <= 90  # not true of NaN either
        for p in places
    )


def _apart_m(a: list[float], b: list[float]) -> float:
    east = (math.remainder(b[0] - a[0], 360)) * math.cos(math.radians((a[1] + b[1]) / 2))
    return M_PER_DEGREE * math.hypot(east, b[1] - a[1])
