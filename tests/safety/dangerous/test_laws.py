"""Less knowledge never helps: what is taken from a site, aged, blurred, moved or added to its dangers.

On the safe site, whose kilns may be lit, and on the samples, some of whose kilns may not. Their elevation rasters stay
out of it: a raster is knowledge of its own, and its own tests hold it.
"""

from __future__ import annotations

import copy
import datetime as dt
import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

import sample_sites
from sitemap.assessment import assess
from sitemap.day.decision import MAY, WORDS, Decision
from sitemap.geodesy.plane import Plane
from tests.safety.dangerous.safe_site import SafeSite, read
from tests.safety.dangerous.safe_values import PLANE, Values

SAMPLES = ("birch_shore", "farm_dam", "juniper_bench")
NAMES = ("safe", *SAMPLES)
LISTS = ("looked", "asked", "rules", "links")
SECTIONS = ("crew", "permit", "season")
DATES = ("on", "date", "when")
HAZARDS = {
    "structure": ({"use": "own"}, {"use": "occupied_by_others"}, {}),
    "power_line": ({"overhead": True}, {}),
    "road": ({"public": True}, {}),
    **{kind: ({},) for kind in ("railway", "buried_line", "stream", "property_line", "standing_timber")},
    **{kind: ({},) for kind in ("wetland", "no_go", "smoke_place", "fuel_store", "hazard_tree", "pile")},
}
FORMS = {
    **dict.fromkeys(("power_line", "road", "railway", "buried_line", "stream", "property_line"), "LineString"),
    **dict.fromkeys(("structure", "standing_timber", "wetland", "no_go"), "Polygon"),
}


@cache
def text_of(name: str) -> str:
    """A site file; of a sample without its raster."""
    if name == "safe":
        return SafeSite().text()
    path = Path(sample_sites.__file__).parent / f"{name}.geojson"
    whole = json.loads(path.read_text(encoding="utf-8"))
    whole["site"].pop("files", None)
    return json.dumps(whole)


def whole_of(name: str) -> Values:
    return json.loads(text_of(name))  # type: ignore[no-any-return]


def decided(whole: Values) -> dict[str, Decision]:
    site = read(json.dumps(whole))
    found = assess(site, None, on=site.section("season").date("date")).decisions
    return {decision.spot: decision for decision in found}


@cache
def before(name: str) -> dict[str, Decision]:
    return decided(whole_of(name))


def never_better(name: str, whole: Values, changed: str = "") -> None:
    """No kiln may be lit that might not before, and none is better off.

    changed : id of what is said less of. Where that was itself the bad news (peat, a building of a size), nobody knows
    it any more: the kiln is then not known instead of barred, and never more than that. A kiln that lacked nothing but
    people or gear has those of a kiln that is no longer here.
    """
    after = decided(whole)
    fewer = {spot for spot, was in before(name).items() if "not here" == after[spot].word != was.word}
    for spot, was in before(name).items():
        now = after[spot]
        news = {bar.about for bar in was.because if bar.word == "not here"}
        freed = fewer - {spot} and {bar.check for bar in was.because} <= {"hands", "water_quench", "water_attack"}
        assert now.word != MAY or was.word == MAY or freed, (spot, changed)
        assert WORDS.index(now.word) >= WORDS.index(was.word) or changed in news or changed == spot, (spot, changed)


def entries(whole: Values) -> Iterator[tuple[str, Values]]:
    """Everything that holds values: features, gear, sections, records; each with the id it goes by."""
    for feature in whole["features"]:
        yield feature["id"], feature["properties"]
    for items in whole["site"]["equipment"].values():
        yield from ((item["id"], item) for item in items)
    yield from ((key, whole["site"][key]) for key in SECTIONS if key in whole["site"])
    for key in LISTS:
        yield from ((str(record.get("about", "site")), record) for record in whole["site"].get(key, ()))


def leaves(values: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to every value, also inside records and stamps."""
    if isinstance(values, dict):
        for key, value in values.items():
            yield (*path, key)
            yield from leaves(value, (*path, key))
    elif isinstance(values, list):
        for number, value in enumerate(values):
            if isinstance(value, dict):
                yield from leaves(value, (*path, number))


def holder(values: Any, path: tuple[Any, ...]) -> Any:
    for step in path[:-1]:
        values = values[step]
    return values


@cache
def blanks(name: str) -> tuple[tuple[int, tuple[Any, ...]], ...]:
    """Everything that can be blanked: which entry, and the way to the value in it."""
    kept = ("kind", "id", "name", "whom", "source", "spot")
    found = enumerate(entries(whole_of(name)))
    return tuple((n, path) for n, (_, values) in found for path in leaves(values) if path[-1] not in kept)


SITES = st.sampled_from(NAMES)


@given(st.data())
def test_law_a_blank_never_helps(data: st.DataObject) -> None:
    name = data.draw(SITES)
    number, path = data.draw(st.sampled_from(blanks(name)))
    whole = whole_of(name)
    key, values = list(entries(whole))[number]
    said = holder(values, path).pop(path[-1])
    assume(said not in ("no", "in_force", "cured"))  # a no withheld: the rows of the table tell what a no does
    never_better(name, whole, key)


@pytest.mark.parametrize("name", NAMES)
def test_law_nothing_said_at_all_never_helps(name: str) -> None:
    """Each entry without anything but what it is and where."""
    kept = ("kind", "id", "name")
    whole = whole_of(name)
    for _, values in entries(whole):
        for key in [key for key in values if key not in kept]:
            del values[key]
    assert all(decision.word != MAY for decision in decided(whole).values())


@given(SITES, st.integers(0, 400), st.integers(1, 4000))
def test_law_an_older_fact_never_helps(name: str, which: int, days: int) -> None:
    whole = whole_of(name)
    dated = [
        (key, holder(values, path), path[-1])
        for key, values in entries(whole)
        for path in leaves(values)
        if (path[-1] in DATES and key not in SECTIONS) or ("seen" in path[:-1] and path[-1] == "on")
    ]
    key, values, on = dated[which % len(dated)]
    values[on] = (dt.date.fromisoformat(str(values[on])[:10]) - dt.timedelta(days=days)).isoformat()
    never_better(name, whole, key)


@given(SITES, st.integers(0, 100), st.floats(0.1, 80))
def test_law_a_wider_error_never_helps(name: str, which: int, wider_m: float) -> None:
    whole = whole_of(name)
    wide = [each["properties"] for each in whole["features"]] + whole["site"].get("links", [])
    values = wide[which % len(wide)]
    error, usual = ("position_error_m", 10.0) if "kind" in values else ("lift_error_m", 3.0)
    values[error] = values.get(error, usual) + wider_m
    never_better(name, whole)


@given(SITES, st.integers(0, 9), st.floats(-300, 300), st.floats(-300, 300))
def test_law_a_kiln_moved_from_where_its_facts_were_seen_may_not_be_lit(
    name: str, which: int, east: float, north: float
) -> None:
    assume(abs(east) + abs(north) > 16)  # beyond the error of any place, under trees too
    whole = whole_of(name)
    spots = [each for each in whole["features"] if each["properties"]["kind"] == "kiln_spot"]
    spot = spots[which % len(spots)]
    plane = _plane(spot)
    x, y = plane.xy(*spot["geometry"]["coordinates"])
    spot["geometry"]["coordinates"] = [float(part) for part in plane.lonlat(x + east, y + north)]
    assert decided(whole)[spot["id"]].word != MAY


def _plane(feature: Values) -> Plane:
    lon, lat = feature["geometry"]["coordinates"]
    return Plane(round(lon, 2), round(lat, 2))


@given(st.data(), st.floats(-250, 250), st.floats(-250, 250), st.floats(1, 60))
def test_law_a_hazard_more_never_helps(data: st.DataObject, east: float, north: float, size_m: float) -> None:
    name = data.draw(SITES)
    kind = data.draw(st.sampled_from(sorted(HAZARDS)))
    said = data.draw(st.sampled_from(HAZARDS[kind]))
    whole = whole_of(name)
    spot = next(each for each in whole["features"] if each["properties"]["kind"] == "kiln_spot")
    plane = PLANE if name == "safe" else _plane(spot)
    x, y = (float(part) for part in plane.xy(*spot["geometry"]["coordinates"]))
    corners = ((0.0, 0.0), (size_m, 0.0), (size_m, size_m), (0.0, size_m), (0.0, 0.0))
    ring = [[float(part) for part in plane.lonlat(x + east + dx, y + north + dy)] for dx, dy in corners]
    form = FORMS.get(kind, "Point")
    places = {"Point": ring[0], "LineString": ring[:2], "Polygon": [ring]}[form]
    geometry = {"type": form, "coordinates": places}
    properties = {"kind": kind, "name": "Hazard", **copy.deepcopy(said)}
    whole["features"].append({"type": "Feature", "id": "hazard", "geometry": geometry, "properties": properties})
    never_better(name, whole)


@given(st.data())
def test_law_a_no_more_never_helps(data: st.DataObject) -> None:
    name = data.draw(SITES)
    whole = whole_of(name)
    whom = data.draw(st.sampled_from(("authority", "land_owner", "line_owner", "neighbour")))
    about = data.draw(st.sampled_from([each["id"] for each in whole["features"]]) | st.none())
    record = {"whom": whom, "name": "Somebody", "date": whole["site"]["season"]["date"], "answer": "no"}
    whole["site"]["asked"].append(record | ({} if about is None else {"about": about}))
    after = decided(whole)
    never_better(name, whole)
    assert all(decision.word != MAY for decision in after.values())


@given(SITES, st.integers(1, 12), st.sampled_from(("adults", "carriers")))
def test_law_a_person_fewer_never_helps(name: str, fewer: int, who: str) -> None:
    whole = whole_of(name)
    crew = whole["site"]["crew"]
    crew[who] = max(crew.get(who, 0) - fewer, 0)
    never_better(name, whole)
