"""Where a kiln may stand and which spots are proposed, on a small site drawn in metres.

Drawn about 10° E, 50° N (plane centre), y up, in metres:

      −60        0        60
   60  ┌──────────────────┐
       │ P1(−40,30)       │     logged area 120 × 120
    0  │         W(0,0)   │     W tank with pump and 100 m of hose
       │       P2(20,−40) │
  −60  └──────────────────┘
"""

from __future__ import annotations

import datetime as dt
import json
import math
import re
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from sitemap.assessment import Assessment, assess
from sitemap.errors import BadValue
from sitemap.geodesy.plane import Plane
from sitemap.site.model import Feature, Site
from sitemap.siting.explain import answer_at
from sitemap.siting.of_site import demand_of, reaches_of, usable_of
from sitemap.siting.paper import place_json, place_text
from sitemap.siting.paper import said as said_of
from sitemap.siting.propose import in_a_row, place
from sitemap.telling import sentence
from sitemap.terrain.grid import Grid
from sitemap.terrain.terrain import Terrain
from tests.siting.answers import answer, sentences_of

PLANE = Plane(10.0, 50.0)
ON = dt.date(2026, 10, 1)
HOSE_20_M = [{"hose": "hose", "length_m": 20.0}]
FLAT = Terrain(Grid(-200.0, 200.0, 2.0, 200, 200), np.zeros((200, 200), dtype=np.float32), 2.0)


def at(x: float, y: float) -> list[float]:
    lon, lat = PLANE.lonlat(x, y)
    return [float(lon), float(lat)]


def point(key: str, kind: str, x: float, y: float, **values: Any) -> Feature:
    where = {"type": "Point", "coordinates": at(x, y)}
    return Feature.of(key, where, {"kind": kind, "name": key.upper(), **values})


def line(key: str, kind: str, *corners: tuple[float, float]) -> Feature:
    where = {"type": "LineString", "coordinates": [at(*corner) for corner in corners]}
    return Feature.of(key, where, {"kind": kind, "name": key.upper()})


def small_site(hose_m: float = 100.0) -> Site:
    ring = [at(*corner) for corner in ((-60, -60), (60, -60), (60, 60), (-60, 60), (-60, -60))]
    site = Site().with_member("units", "metric").with_member("timezone", "Europe/Berlin")
    site = site.with_item("kilns", {"id": "ring", "shape": "ring", "diameter_m": 1.5, "height_m": 0.6})
    site = site.with_item("pumps", {"id": "pump", "max_head_m": 50, "max_flow_l_min": 400})
    site = site.with_item("hoses", {"id": "hose", "bore_mm": 38, "lengths_m": [20.0] * round(hose_m / 20)})
    site = site.with_item("nozzles", {"id": "tip", "bore_mm": 10})
    area = Feature.of("area", {"type": "Polygon", "coordinates": [ring]}, {"kind": "logged_area", "name": "Area"})
    hose = [{"hose": "hose", "length_m": hose_m}]
    water = {"source": "tank", "volume_l": 5000, "pump": "pump", "hose": hose, "nozzle": "tip"}
    heap = {"length_m": 5, "width_m": 4, "height_m": 2}
    for feature in (
        area,
        point("p1", "pile", -40, 30, **heap),
        point("p2", "pile", 20, -40, **heap),
        point("w", "water_source", 0, 0, elevation_m=100, usable_on_date=True, permission="yes", **water),
        line("out1", "escape_route", (0, 0), (120, 0)),
        line("out2", "escape_route", (0, 0), (-120, 0)),
    ):
        site = site.put(feature)
    return site


def assessed(site: Site) -> Assessment:
    return assess(site, on=ON)


def test_law_an_answer_names_everything_that_bars() -> None:
    """2 m from a heap, and outside the work area: each with its sentence; on neither: never a permission."""
    a = assessed(small_site())
    beside = answer_at(a, *at(-36, 30))
    assert beside.may is False
    assert any("P1" in sentence for sentence in sentences_of(beside.findings))
    outside = answer_at(a, *at(90, 0))
    assert outside.may is False
    assert any("outside the ground where the crew may work" in sentence for sentence in sentences_of(outside.findings))
    free = answer_at(a, *at(20, 20))
    assert free.may is not False
    assert not any("safe" in sentence.lower() for sentence in sentences_of(free.findings))


def test_law_unknown_slope_never_reads_as_yes() -> None:
    """Without an elevation raster the slope of the pad is not known."""
    answer = answer_at(assessed(small_site()), *at(20, 20))
    assert answer.may is None
    assert any("steep" in sentence for sentence in sentences_of(answer.findings))


def test_agrees_with_geodesic_how_far_usable_ground_is() -> None:
    """From the middle of heap P1 the distance said is the geodesic to the place named (geographiclib)."""
    answer = answer_at(assessed(small_site()), *at(-40, 30))
    assert answer.nearest is not None
    (lon, lat), (near_lon, near_lat) = at(-40, 30), answer.nearest
    metres = Geodesic.WGS84.Inverse(lat, lon, near_lat, near_lon)["s12"]
    said = next(s for s in sentences_of(answer.findings) if "nearest usable ground" in s)
    assert float(said.split(" is ")[1].split()[0]) == pytest.approx(metres, rel=0.06)  # said to two digits


def test_law_another_kiln_keeps_its_six_metres() -> None:
    site = small_site().put(point("k1", "kiln_spot", 20, 20, kiln="ring"))
    answer = answer_at(assessed(site), *at(24, 20))
    assert answer.may is False
    assert any("K1" in sentence for sentence in sentences_of(answer.findings))


def test_law_area_of_reach_and_the_spots_own_verdict_agree() -> None:
    """Forty metres of hose from the middle: wherever the area says water arrives by hose the spot is not short, and
    the other way round; asked at places away from the edge by more than a cell."""
    site = small_site(40.0)
    hose = next(reach for reach in reaches_of(assessed(site)) if reach.way == "hose")
    asked = 0
    for x in range(-55, 56, 11):
        for y in (-50, -21, 4, 33):
            if hose.area.boundary.distance(_xy(x, y)) < 2 * hose.grid.cell_m:
                continue
            put = site.put(point("k", "kiln_spot", x, y, kiln="ring"))
            entries = assessed(put).spots[0].water
            verdict = next(e.verdict for e in entries if e.way == "hose" and e.line == "quench")
            assert (verdict != "short") == bool(hose.at(x, y).reached), (x, y, verdict)
            asked += 1
    assert asked > 20


def test_law_areas_leave_a_relay_out_and_say_so() -> None:
    """The same ground as without it, nowhere sure, and where the hose alone ends: not known, no bar."""
    site = small_site(40.0)
    relayed = site.with_item("pumps", {"id": "p2", "name": "second", "max_head_m": 30, "max_flow_l_min": 400})
    water = site.get("w")
    assert water is not None
    typed = {**water.values, "relay": "pump", "relay_pump": "p2", "relay_after_m": 20}
    relayed = relayed.put(Feature.of("w", water.geometry, typed))
    alone, helped = (next(r for r in reaches_of(assessed(s)) if r.way == "hose") for s in (site, relayed))
    assert helped.relayed
    assert not alone.relayed
    assert helped.area.equals(alone.area)
    assert helped.sure.is_empty
    near, far = helped.at(10, 10), helped.at(50, 50)
    assert (near.reached, near.tight) == (True, True)
    assert "reckoned without the relay" in sentence(near.why)
    assert far.reached is None
    assert sentence(far.why).startswith("Whether water arrives by a hose is not known")
    assert "reckoned without the relay" in sentence(far.why)


def _xy(x: float, y: float) -> Any:
    from shapely.geometry import Point

    return Point(x, y)


def _geodesic_m(way: Any) -> float:
    """Length of a way over level ground by geographiclib."""
    corners = [(lat, lon) for lon, lat in way.coords]
    return sum(Geodesic.WGS84.Inverse(*start, *end)["s12"] for start, end in pairwise(corners))


def test_law_proposed_spots_are_usable_and_cost_what_is_said() -> None:
    a = assessed(small_site())
    placing = place(a, spots_most=2)
    assert placing.proposals
    usable = usable_of(a)
    for proposal in placing.proposals:
        assert proposal.machine_hours == pytest.approx(proposal.haul_h + proposal.water_h + proposal.move_h)
        for spot in proposal.spots:
            assert usable.area.buffer(0.1).covers(_xy(*(float(v) for v in PLANE.xy(spot.lon, spot.lat))))
            farthest = max(_geodesic_m(way) for way in spot.ways)
            said = re.findall(r"the farthest (\S+) m;", said_of(spot.findings, "metric"))
            assert [float(each) for each in said] == [pytest.approx(farthest, abs=2)]
            assert said == [f"{float(each):.2g}" for each in said]
    hours = [proposal.machine_hours for proposal in placing.proposals]
    assert hours == sorted(hours)


@pytest.mark.parametrize(("wind", "count"), [(270, 3), (0, 2), (33, 4), (None, 2)])
def test_law_a_row_stands_across_the_wind_on_usable_ground(wind: float | None, count: int) -> None:
    """House rule: edges 6 m apart, across the wind, so middles 7.5 m apart for a ring of 1.5 m, on a line square to
    where the wind blows (dot product 0). Each of them stands on usable ground, so two ways out lead from it."""
    a = assess(small_site().with_member("season", {"wind_from_deg": wind}), FLAT, on=ON)
    spot = place(a, spots_most=1).proposals[0].spots[0]
    row = np.array([PLANE.xy(*where) for where in in_a_row(a, spot, count)])
    assert len(row) == count
    links = np.diff(row, axis=0)
    assert np.hypot(*links.T) == pytest.approx(7.5, abs=1e-3)
    blows = math.radians(270 if wind is None else wind)
    assert links @ [math.sin(blows), math.cos(blows)] == pytest.approx(0, abs=1e-3)
    usable = usable_of(a)
    for x, y in row:
        assert answer(usable, x, y).may is not False
        assert not any("ways out" in reason for reason in answer(usable, x, y).reasons)


def test_law_a_row_without_room_is_not_put_down() -> None:
    """Twenty kilns 7.5 m apart need 142 m; the logged area is 120 m wide."""
    a = assessed(small_site())
    assert in_a_row(a, place(a, spots_most=1).proposals[0].spots[0], 20) == ()


def test_law_a_proposal_says_which_kiln_stands_there_already() -> None:
    spot = place(assessed(small_site()), spots_most=1).proposals[0].spots[0]
    x, y = (float(part) for part in PLANE.xy(spot.lon, spot.lat))
    taken = small_site().put(point("k1", "kiln_spot", x, y, kiln="ring"))
    assert "K1 stands there already." in said_of(
        place(assessed(taken), spots_most=1).proposals[0].spots[0].findings, "metric"
    )


@pytest.mark.parametrize(
    ("east", "north", "said"), [(400, 0, True), (400, 200, True), (400, 300, False), (-400, 0, False), (1600, 0, False)]
)
def test_law_the_usual_wind_at_a_smoke_place_is_a_caution(east: float, north: float, said: bool) -> None:
    """Wind from the west blows east: tan 30° = 0.577 bounds the sector, so 200 m aside at 400 m (26.6°) lies in it,
    300 m (36.9°) does not. It changes no verdict."""
    plain = small_site().with_member("season", {"wind_from_deg": 270})
    school = plain.put(point("school", "smoke_place", east, north))
    answers = [answer_at(assess(site, FLAT, on=ON), *at(0.5, 20)) for site in (plain, school)]
    assert answers[0].may == answers[1].may
    assert any("SCHOOL" in sentence for sentence in sentences_of(answers[1].findings)) == said
    spot = place(assess(school, FLAT, on=ON), spots_most=1).proposals[0].spots[0]
    assert ("the usual wind blows from here at SCHOOL" in said_of(spot.findings, "metric")) == said


def test_law_place_says_why_there_is_no_proposal() -> None:
    assert "Nothing is on the map" in said_of(place(assess(Site(), on=ON)).why, "metric")
    bare = small_site().without("p1", "p2")
    assert "No heap" in said_of(place(assessed(bare)).why, "metric")
    assert place_text(place(assessed(bare)), "us")


def test_law_place_json_has_no_number_json_lacks() -> None:
    told = json.loads(place_json(place(assessed(small_site()), spots_most=1), "metric"))
    assert told["format"] == 1  # by which a reader of it knows what the names mean
    assert told["proposals"][0]["spots"][0]["lat"] == pytest.approx(50.0, abs=0.01)


def test_refuses_usable_ground_of_an_empty_site() -> None:
    with pytest.raises(BadValue, match="draw the logged area"):
        usable_of(replace(assess(Site(), on=ON), plane=None))


def test_law_no_water_entered_is_never_called_water_in_reach() -> None:
    """House rule: unknown is never shown as safe. Neither the proposals nor the click claim water nobody entered; with
    no machine entered its hours are said to be those of an assumed one."""
    a = assessed(small_site().without("w"))
    found = place(a)
    assert found.proposals
    for spot in found.proposals[0].spots:
        assert said_of(spot.findings, "metric").endswith("how its water comes is not known.")
        answer = answer_at(a, spot.lon, spot.lat)
        assert answer.may is None
        assert "Whether water for the quench arrives here is not known." in sentences_of(answer.findings)
    assert "No machine is entered" in said_of(found.proposals[0].findings, "metric")


def test_law_a_hole_in_the_raster_over_the_tank_leaves_the_proposals() -> None:
    """No height for 20 m about the tank, so no way for its water is known: the heaps are still proposed a spot, and
    the water is said to be not known."""
    heights = np.zeros((200, 200), dtype=np.float32)
    heights[90:110, 90:110] = np.nan
    found = place(assess(small_site(), Terrain(Grid(-200.0, 200.0, 2.0, 200, 200), heights, 2.0), on=ON))
    assert found.proposals
    assert "how its water comes is not known" in said_of(found.proposals[0].spots[0].findings, "metric")


def test_law_heaps_outside_the_logged_area_are_worked_at_too() -> None:
    """A heap 100 m outside the logged area (common practice, no source): ground 30 m about it counts as worked on,
    ground beyond does not; a char pad alone is no work area."""
    heap = point("p3", "pile", 160, 0, length_m=5, width_m=4, height_m=2)
    a = assessed(small_site().put(heap))
    outside = "The place lies outside the ground where the crew may work."
    assert outside not in sentences_of(answer_at(a, *at(140, 0)).findings)
    assert outside in sentences_of(answer_at(a, *at(110, 0)).findings)
    pad = Feature.of(
        "pad", {"type": "Polygon", "coordinates": [[at(0, 0), at(4, 0), at(4, 4), at(0, 0)]]}, {"kind": "char_pad"}
    )
    assert outside not in sentences_of(answer_at(assessed(small_site().without("area").put(pad)), *at(40, 30)).findings)


def test_law_the_reach_asks_for_the_quench_chosen_at_the_spots() -> None:
    """A flooded bin takes more water than raked and sprayed char: where one is chosen the reach asks for it."""
    plain = small_site().with_item(
        "kilns", {"id": "ring", "shape": "ring", "diameter_m": 1.5, "height_m": 0.6, "has_floor": True}
    )
    raked = plain.put(point("k", "kiln_spot", 10, 20, kiln="ring", quench_method="raked_and_sprayed"))
    flooded = plain.put(point("k", "kiln_spot", 10, 20, kiln="ring", quench_method="flooded"))
    a, b = assessed(raked), assessed(flooded)
    assert demand_of(assessed(plain)).quench_l == demand_of(b).quench_l  # not chosen: the wettest it allows
    assert demand_of(b).quench_l == b.kilns[0].quench_l_per_batch.likely > demand_of(a).quench_l


def test_law_a_coarse_raster_says_measure_on_the_ground() -> None:
    """House rule: cells wider than 5 m show neither a pad nor a hose's way, so neither is ever sure."""
    ground = Terrain(Grid(-200.0, 200.0, 5.0, 80, 80), np.zeros((80, 80), dtype=np.float32), 10.0)
    a = assess(small_site(), ground, on=ON)
    hose = reaches_of(a)[0]
    assert hose.sure.is_empty
    assert not hose.area.is_empty
    assert "measure on the ground" in sentence(hose.at(15, 15).why)
    said = answer_at(a, *at(25, 25))
    assert said.may is None
    assert sum("on the ground" in sentence for sentence in sentences_of(said.findings)) >= 2, "slope and water"


@pytest.mark.parametrize("side", [-1, 1])
def test_law_proposals_go_towards_the_water(side: int) -> None:
    """A heap in the middle, a tank with 20 m of hose 55 m west or east of it: the least work stands within its reach,
    and a spot beyond it is charged with the hours of hauling water."""
    site, tank = small_site(20.0).without("p1", "p2"), small_site().get("w")
    assert tank is not None
    heap = point("p", "pile", 0, 0, length_m=6, width_m=5, height_m=2)
    tank = Feature.of("w", {"type": "Point", "coordinates": at(55 * side, 0)}, {**tank.values, "hose": HOSE_20_M})
    site = site.put(heap).put(tank).with_item("machines", {"id": "digger", "bucket_l": 80})
    first, *others = place(assess(site, FLAT, on=ON), spots_most=1).proposals
    x, _ = PLANE.xy(first.spots[0].lon, first.spots[0].lat)
    assert 10 < side * x < 55
    assert first.water_h == 0
    assert any(other.water_h > 0.1 for other in others)


@pytest.mark.parametrize("whom", ["authority", "land_owner", "line_owner"])
def test_law_where_somebodys_no_forbids_any_kiln_nothing_is_proposed(whom: str) -> None:
    """Issue of the pass that cannot be fooled: the reason stands where the proposal would."""
    said = {"whom": whom, "name": "B. M.", "date": "2026-09-21", "answer": "no"}
    found = place(assessed(small_site().with_member("asked", [said])), spots_most=1)
    assert found.proposals == ()
    assert "refused" in said_of(found.why, "metric")
    assert place(assessed(small_site().with_member("asked", [{**said, "answer": "yes"}])), spots_most=1).proposals


def test_law_no_proposed_spot_would_be_ruled_out() -> None:
    """Each spot proposed, put on the map and judged as any other; a place to keep smoke from lies on the best one."""
    best = place(assessed(small_site()), spots_most=1).proposals[0].spots[0]
    x, y = (float(part) for part in PLANE.xy(best.lon, best.lat))
    site = small_site().put(point("s", "smoke_place", x, y))
    a = assessed(site)
    for proposal in place(a, spots_most=2).proposals:
        for spot in proposal.spots:
            put = Feature.of(
                "put", {"type": "Point", "coordinates": [spot.lon, spot.lat]}, {"kind": "kiln_spot", "kiln": "ring"}
            )
            report = assessed(site.put(put)).spot("put")
            assert report is not None
            assert report.effect != "ruled out"


def test_law_a_level_pad_is_answered_where_the_slope_bars() -> None:
    """12 % everywhere, above the 10 % of the house rule: on free ground the pad is all it takes, beside a heap not."""
    x, _ = FLAT.grid.centres()
    a = assess(small_site(), Terrain(FLAT.grid, (0.12 * x).astype(np.float32), 2.0), on=ON)
    free, beside, flat = (
        " ".join(sentences_of(answer_at(found, *at(*place)).findings))
        for found, place in ((a, (10.5, 20)), (a, (-36, 30)), (assess(small_site(), FLAT, on=ON), (10.5, 20)))
    )
    assert "With a level pad cut here, nothing entered would bar it" in free
    assert "A level pad cut here would not be enough: P1" in beside
    assert "level pad" not in flat
