"""A fact belongs to the place and the day it was seen at."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

import pytest
from geographiclib.geodesic import Geodesic

from sitemap.site.file import parse_site, site_text
from sitemap.site.looked_round import looked_around
from sitemap.site.model import Site
from sitemap.site.seen import FACTS, Day, Doubt, all_confirmed, confirmed, doubts, stamped, why_not
from sitemap.site.vocabulary import KILN_SPOT, WATER
from sitemap.telling import tell

ON, SEEN_ON = dt.date(2026, 10, 10), dt.date(2026, 9, 27)
DAY = Day(ON)
HERE = (13.72, 61.86)


def site(spot: dict[str, Any] | None = None, *, at: tuple[float, float] = HERE, **member: Any) -> Site:
    features = [
        ("kiln_spot", "k1", at, {"ground": "turf", "branches_overhead": "none", **(spot or {})}),
        ("water_source", "w1", (13.721, 61.86), {"source": "tap", "yield_l_min": 20, "usable_on_date": True}),
    ]
    whole = {
        "type": "FeatureCollection",
        "site": {"format": 1, "units": "metric", **member},
        "features": [
            {
                "type": "Feature",
                "id": key,
                "geometry": {"type": "Point", "coordinates": list(place)},
                "properties": {"kind": kind, "name": key.upper(), **said},
            }
            for kind, key, place, said in features
        ],
    }
    return parse_site(json.dumps(whole))


def moved(known: Site, metres: float, spot: str = "k1") -> Site:
    """The site with a thing so far east of where it was (geographiclib)."""
    feature = known.get(spot)
    assert feature is not None
    assert feature.geometry is not None
    lon, lat = feature.geometry["coordinates"]
    end = Geodesic.WGS84.Direct(lat, lon, 90.0, metres)
    return known.put(feature.with_geometry({"type": "Point", "coordinates": [end["lon2"], end["lat2"]]}))


def of(known: Site, day: Day = DAY) -> set[tuple[str, str]]:
    return {(doubt.about, doubt.attribute) for doubt in doubts(known, day)}


def test_law_an_old_file_opens_with_its_facts_not_known() -> None:
    assert of(site()) == {
        *(("k1", name) for name in ("ground", "branches_overhead")),
        *(("w1", name) for name in ("yield_l_min", "usable_on_date")),
    }


def test_law_one_touch_confirms_them_all() -> None:
    assert of(all_confirmed(site(), SEEN_ON)) == set()


@pytest.mark.parametrize(("metres", "doubtful"), [(0.0, False), (1.9, False), (2.1, True), (310.0, True)])
def test_law_a_spot_moved_loses_its_facts_and_has_them_back_with_its_place(metres: float, doubtful: bool) -> None:
    known = all_confirmed(site(), SEEN_ON)
    away = moved(known, metres)
    assert (("k1", "ground") in of(away)) is doubtful
    assert of(moved(away, -metres)) == set()


def test_law_how_far_away_it_was_seen_is_said() -> None:
    away = moved(all_confirmed(site(), SEEN_ON), 310.0)
    (doubt,) = [each for each in doubts(away, DAY) if each.attribute == "ground"]
    assert "310 m away" in tell(doubt.why)


@pytest.mark.parametrize("said", [{"position_error_m": 500}, {"position_error_m": 5}, {"under_trees": True}, {}])
def test_law_a_place_less_well_known_keeps_no_more_facts(said: dict[str, Any]) -> None:
    known = all_confirmed(site(said), SEEN_ON)
    assert ("k1", "ground") in of(moved(known, 3.0))


@pytest.mark.parametrize(
    ("seen_on", "day", "fine"),
    [
        (ON, DAY, True),
        (ON - dt.timedelta(days=183), DAY, True),
        (ON - dt.timedelta(days=184), DAY, False),
        (ON + dt.timedelta(days=1), DAY, False),
        (ON, Day(ON, ON - dt.timedelta(days=5)), False),
        (None, DAY, False),
        (SEEN_ON, Day(None), True),
    ],
)
def test_law_a_date_stands_for_so_long(seen_on: dt.date | None, day: Day, fine: bool) -> None:
    assert (why_not(seen_on, "ground", day) is None) is fine


def test_law_a_later_burn_date_opens_old_facts_again() -> None:
    known = all_confirmed(site(), SEEN_ON)
    assert of(known, Day(ON + dt.timedelta(days=400))) > of(known)


def test_law_what_is_typed_is_stamped_and_nothing_else() -> None:
    before = site()
    spot = before.get("k1")
    assert spot is not None
    after = stamped(before, before.put(spot.with_values(ground="rock")), SEEN_ON, "N. N.")
    assert of(after) == of(before) - {("k1", "ground")}
    again = parse_site(site_text(after))
    assert of(again) == of(after)
    assert again.get("k1").values["seen"]["ground"]["who"] == "N. N."  # type: ignore[union-attr]


def test_law_a_thing_seen_again_is_known_where_it_stands_now() -> None:
    away = moved(all_confirmed(site(), SEEN_ON), 100.0)
    assert of(confirmed(away, "k1", ON)) == set()


LINK = {"source": "w1", "spot": "k1", "lift_m": 2.0, "bucket_litres": 20, "bucket_seconds": 30}


@pytest.mark.parametrize("end", ["k1", "w1"])
def test_law_a_link_belongs_to_both_its_places(end: str) -> None:
    known = all_confirmed(site(links=[LINK]), SEEN_ON)
    lost = {(doubt.source, doubt.attribute) for doubt in doubts(moved(known, 50.0, end), DAY) if doubt.source}
    assert lost == {("w1", "lift_m"), ("w1", "bucket_litres"), ("w1", "bucket_seconds")}


def test_law_the_state_of_the_season_has_a_day() -> None:
    known = site(season={"surroundings": "wet", "ban": "none"})
    assert {doubt.attribute for doubt in doubts(known, DAY) if doubt.about == "site"} == {"surroundings", "ban"}
    fresh = all_confirmed(known, ON - dt.timedelta(days=7))
    assert [doubt for doubt in doubts(fresh, DAY) if doubt.about == "site"] == []
    old = all_confirmed(known, ON - dt.timedelta(days=8))
    assert {doubt.attribute for doubt in doubts(old, DAY) if doubt.about == "site"} == {"ban"}


def test_law_a_look_keeps_the_places_it_was_made_round() -> None:
    """Typed, it is round the kilns as they stand; of an older file nobody knows, until it is confirmed; a kiln moved or
    a date typed again elsewhere takes nothing along."""
    look = {"kind": "stream", "within_m": 200, "who": "A", "when": "2026-09-27"}
    old = site(looked=[look])
    assert ("site", "looked") in of(old)
    typed = stamped(site(), old, SEEN_ON)
    assert looked_around(typed.records("looked")[0]) == (HERE,)
    assert ("site", "looked") not in of(typed) | of(all_confirmed(old, SEEN_ON))
    far = moved(typed, 500.0)
    assert looked_around(stamped(typed, far, SEEN_ON).records("looked")[0]) == (HERE,)
    again = far.with_member("looked", [far.records("looked")[0].values.put(when="2026-10-01")])
    east = looked_around(stamped(far, again, SEEN_ON).records("looked")[0])[0]
    assert Geodesic.WGS84.Inverse(HERE[1], HERE[0], east[1], east[0])["s12"] == pytest.approx(500, abs=0.1)


def test_law_every_fact_is_an_attribute_with_a_field() -> None:
    assert set(FACTS["kiln_spot"]) - {"elevation_m"} <= {attribute.name for attribute in KILN_SPOT}
    assert set(FACTS["water_source"]) - {"elevation_m"} <= {attribute.name for attribute in WATER}


@pytest.mark.parametrize(
    "odd", [3, "yes", [], {"ground": 5}, {"ground": {"on": 7, "at": "x"}}, {"*": {"at": [1e9, 0]}}]
)
def test_refuses_a_stamp_that_cannot_be_read_and_keeps_it(odd: Any) -> None:
    known = site({"seen": odd})
    found: tuple[Doubt, ...] = doubts(known, DAY)
    assert ("k1", "ground") in {(doubt.about, doubt.attribute) for doubt in found}
    assert json.loads(site_text(known))["features"][0]["properties"]["seen"] == odd


@pytest.mark.parametrize("kind", ["bonfire", "pile"])
def test_a_lay_to_a_thing_of_another_kind_is_no_way_of_water(kind: str) -> None:
    """Also to one of a kind nobody knows, which has no error of its place."""
    known = json.loads(site_text(site()))
    known["features"][1]["properties"]["kind"] = kind
    line = {"type": "LineString", "coordinates": [[13.73, 61.87], [13.74, 61.87]]}
    ends = {"kind": "hose_lay", "to_spot": "k1", "from_source": "w1"}
    known["features"].append({"type": "Feature", "id": "lay", "geometry": line, "properties": ends})
    assert "hose_lay" not in {attribute for _, attribute in of(parse_site(json.dumps(known)))}
    known["features"][1]["properties"]["kind"] = "water_source"
    assert ("k1", "hose_lay") in of(parse_site(json.dumps(known)))  # it ends at neither
