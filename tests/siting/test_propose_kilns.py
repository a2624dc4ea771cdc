"""The kiln that is to stand on a spot, and what a click and a kiln spot must hear alike, on the small site."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sitemap.__main__ import main
from sitemap.assessment import assess
from sitemap.errors import BadValue
from sitemap.site.file import site_text
from sitemap.site.model import Feature, Site
from sitemap.siting.explain import answer_at
from sitemap.siting.of_site import demand_of, reaches_of, usable_of
from sitemap.siting.propose import place
from sitemap.terrain.grid import Grid
from sitemap.terrain.terrain import Terrain
from tests.properties import thorough
from tests.siting.answers import sentences_of
from tests.siting.test_propose import FLAT, ON, PLANE, assessed, at, line, point, small_site


def two_kilns() -> Site:
    """The small site with a second kiln beside its ring of 1.5 m: a bin of 6 × 2 m that has no floor."""
    bin_ = {"id": "bin", "name": "Big bin", "shape": "box", "length_m": 6.0, "width_m": 2.0, "height_m": 0.9}
    chosen = {"kind": "kiln_spot", "kiln": "bin", "quench_method": "raked_and_sprayed"}
    site, tank = small_site(), small_site().get("w")
    assert tank is not None
    site = site.put(tank.with_values(volume_l=20_000))  # enough for the bin, else nothing is proposed for it
    return site.with_item("kilns", {**bin_, "has_floor": False}).put(Feature.of("not placed", None, chosen))


def test_law_spots_are_sought_for_the_kiln_chosen() -> None:
    """Half of a ring of 1.5 m is 0.75 m; half the diagonal of 6 × 2 m is √10 m (Pythagoras). The bin holds more
    glowing char, so it asks for more water, and keeps its middle 8 m + √10 m from a heap's edge."""
    a = assessed(two_kilns())
    small, large = (place(a, spots_most=1, kiln=name) for name in ("ring", "big BIN"))
    assert small.kiln is not None
    assert large.kiln is not None
    assert (small.kiln.id, large.kiln.id) == ("ring", "bin")
    assert place(a, spots_most=1) == large, "left out: the largest"
    demands = [demand_of(a, each.kiln) for each in (small, large)]
    assert [each.radius_m for each in demands] == pytest.approx([0.75, 10**0.5])
    assert demands[1].quench_l > 4 * demands[0].quench_l > 0
    assert usable_of(a, large.kiln).area.area < usable_of(a, small.kiln).area.area
    for found, radius_m in ((small, 0.75), (large, 10**0.5)):
        spot = found.proposals[0].spots[0]
        x, y = (float(part) for part in PLANE.xy(spot.lon, spot.lat))
        gaps = [((x - heap_x) ** 2 + (y - heap_y) ** 2) ** 0.5 for heap_x, heap_y in ((-40, 30), (20, -40))]
        assert min(gaps) >= 8 + radius_m


def test_refuses_a_kiln_the_site_has_not() -> None:
    with pytest.raises(BadValue, match=r"called “cone”; its kilns: .*Big bin"):
        place(assessed(two_kilns()), kiln="cone")


def test_law_the_command_line_takes_the_kiln_by_its_name(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "site.geojson"
    file.write_text(site_text(two_kilns()), encoding="utf-8")
    said = {}
    for name in ("ring", "Big bin", "none"):
        status = main(["place", str(file), "--json", "--spots", "1", "--on", "2026-10-01", "--kiln", name])
        out, err = capsys.readouterr()
        assert status == (2 if name == "none" else 0)
        assert ("“none”" in err) == (name == "none")
        said[name] = out
    assert json.loads(said["Big bin"])["kiln"] == "Big bin" != json.loads(said["ring"])["kiln"]
    assert said["none"] == ""


def test_law_nothing_without_a_distance_reads_as_free_ground() -> None:
    """House rule: unknown is never shown as safe. A railway without a distance, or a building without a place, leaves
    every kiln spot conditional; so no click on bare ground is answered with yes either."""
    free = at(30, 20)
    for thing, told in (
        (line("rail", "railway", (200, -60), (200, 60)), "no distance entered"),
        (Feature.of("hut", None, {"kind": "structure", "name": "Hut", "use": "own"}), "no place"),
    ):
        answer = answer_at(assess(small_site().put(thing), FLAT, on=ON), *free)
        assert answer.may is None
        assert any(told in sentence for sentence in sentences_of(answer.findings))
    rail = line("rail", "railway", (-60, 20), (60, 20))
    said = answer_at(assess(small_site().put(rail), FLAT, on=ON), *at(30, 20.5))
    assert said.may is False, "the kiln would stand on it"
    asked = {"whom": "line_owner", "about": "rail", "name": "A. N.", "date": "2026-09-01", "answer": "no"}
    refused = small_site().put(rail).with_member("asked", [asked])
    assert answer_at(assess(refused, FLAT, on=ON), *at(30, -20)).may is False


@pytest.mark.parametrize(
    ("answer", "beyond_m", "barred"),
    [
        ({"answer": "yes", "distance_m": 30}, 32, False),
        ({"answer": "yes", "distance_m": 30}, 28, True),
        ({"answer": "no"}, 80, True),
        ({"answer": "yes", "none_needed": True}, 5, False),
    ],
)
def test_law_what_an_owner_said_counts_on_the_ground_as_at_a_spot(
    answer: dict[str, Any], beyond_m: float, barred: bool
) -> None:
    """House rules: the larger of rule and owner's distance counts, and a no is a no at any distance. Edge to edge, the
    ring is 0.75 m from middle to edge; the place errors only ask for a measurement."""
    asked = {"whom": "line_owner", "about": "rail", "name": "A. N.", "date": "2026-09-20", "said": "Agreed.", **answer}
    rail = line("rail", "railway", (-60, -80), (60, -80))
    site = small_site().put(rail).with_member("asked", [asked])
    x, y = 0.0, -80 + 0.75 + beyond_m
    a = assess(site, FLAT, on=ON)
    found = [each for each in usable_of(a).objections_at(x, y) if each.about == "rail" and each.bars]
    spot = assess(site.put(point("k", "kiln_spot", x, y, kiln="ring")), FLAT, on=ON).spots[0]
    checks = [check for check in spot.checks if check.about == "rail" and check.effect == "ruled out"]
    assert bool(found) == bool(checks) == barred


def test_law_a_click_and_a_kiln_spot_there_hear_the_same_of_distances() -> None:
    """At places by chance: what rules a kiln spot out or asks for a measurement by its distances does so for a click
    there, and the other way round; both heap and kiln may be misplaced by their errors."""
    site = small_site().put(point("hut", "structure", 30, 30, use="own"))
    a, draw, seen = assess(site, FLAT, on=ON), np.random.default_rng(5), set()
    usable = usable_of(a)
    for x, y in draw.uniform(-50, 50, (60 if thorough() else 20, 2)):
        spot = assess(site.put(point("k", "kiln_spot", x, y, kiln="ring")), FLAT, on=ON).spots[0]
        worst = {check.verdict for check in spot.checks if check.check == "distance"}
        kinds = ("pile", "structure", "water_source")
        told = [reason for reason in usable.objections_at(x, y) if reason.what in kinds]
        assert ("too close" in worst) == any(reason.bars for reason in told), (x, y)
        assert ("measure on the ground" in worst) <= bool(told), (x, y)
        assert bool(told) == bool(worst & {"too close", "measure on the ground"}), (x, y)
        seen |= worst
    assert seen >= {"too close", "measure on the ground", "far enough"}


def test_law_two_kilns_keep_their_distance_edge_to_edge() -> None:
    """A ring (0.75 m) beside the standing bin (√10 m): middles nearer than 6 m + 0.75 m + √10 m = 9.91 m are too near,
    by the site's own rule of 10 m nearer than 13.91 m."""
    site = two_kilns().put(point("k1", "kiln_spot", 20, 20, kiln="bin"))
    own = site.with_member("rules", [{"kind": "kiln_spot", "distance_m": 10.0, "source": "ours"}])
    for apart, by_house, by_own in ((9.8, True, True), (10.1, False, True), (14.1, False, False)):
        for chosen, expected in ((site, by_house), (own, by_own)):
            a = assessed(chosen)
            told = sentences_of(answer_at(a, *at(20 + apart, 20), chosen.item("kilns", "ring")).findings)
            assert any(sentence.startswith("Kiln K1 stands nearer") for sentence in told) == expected, apart


@pytest.mark.parametrize(("altitude_m", "lift_m"), [(0, 3), (0, 6), (0, 7.5), (2500, 3), (2500, 5), (4500, 4)])
def test_law_area_and_spot_agree_on_suction_high_above_the_sea(altitude_m: float, lift_m: float) -> None:
    """The air pushes water up a suction hose less the higher the site lies (10.3 m at sea level, 7.6 m at 2,500 m, ICAO
    standard atmosphere, before losses): where the spot is short by it the area bars, where tight it is tight."""
    site = small_site()
    tank = site.get("w")
    assert tank is not None
    pond = {**tank.values, "source": "pond", "suction_lift_m": lift_m, "suction_length_m": 8, "suction_bore_mm": 50}
    pond.pop("elevation_m")
    site = site.put(Feature.of("w", tank.geometry, pond)).put(point("k", "kiln_spot", 25, 20, kiln="ring"))
    ground = Terrain(Grid(-200.0, 200.0, 2.0, 200, 200), np.full((200, 200), altitude_m, dtype=np.float32), 2.0)
    a = assess(site, ground, on=ON)
    word = next(e.verdict for e in a.spots[0].water if e.way == "hose" and e.line == "quench")
    hose = next(reach for reach in reaches_of(a) if reach.way == "hose").at(25, 20)
    assert (hose.reached, hose.tight) == {"short": (False, False), "tight": (True, True)}.get(word, (True, False))


def test_law_a_hose_line_not_known_leaves_the_ground_not_known() -> None:
    """Two people carry water, too slowly 50 m off; whether the hose delivers is not known, as its nozzle is missing. A
    kiln spot there is not ruled out by its water, so the ground is not barred by it."""
    site = small_site().with_member("equipment", {**small_site().member["equipment"], "nozzles": []})
    site = site.with_member("crew", {"adults": 2, "carriers": 1, "buckets_each": 1, "bucket_l": 5})
    a = assess(site.put(point("k", "kiln_spot", 50, 50, kiln="ring")), FLAT, on=ON)
    quench = next(check for check in a.spots[0].checks if check.check == "water_quench")
    wet = [reason for reason in usable_of(a).objections_at(50, 50) if reason.what == "water"]
    assert quench.effect == "conditional"
    assert [reason.bars for reason in wet] == [False]
