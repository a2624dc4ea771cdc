"""A click on bare ground and a kiln spot really put there: what the one is told is what the other is judged."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sitemap.assessment import assess
from sitemap.safety.rules import look_for
from sitemap.site.file import read_site
from sitemap.site.model import Feature, Site
from sitemap.site.on_plane import near_shape
from sitemap.site.seen import stamped
from sitemap.siting.explain import answer_at
from sitemap.siting.of_site import largest_kiln, left_out_of, reaches_of, usable_of
from sitemap.telling import sentence
from sitemap.terrain.of_site import terrain_of
from tests.properties import thorough
from tests.siting.answers import sentences_of
from tests.siting.test_propose import FLAT, ON, at, line, point, small_site

SAMPLES = Path(__file__).parents[2] / "sample_sites"
HEADS = {
    (None, "conditional"): "Not known whether a kiln may stand here",
    (False, "conditional"): "Not usable ground",
    (False, "ruled out"): "No kiln may stand here.",
}


@pytest.mark.parametrize("name", ["birch_shore", "farm_dam", "juniper_bench"])
def test_law_an_answer_has_the_effect_of_a_kiln_spot_put_there(name: str) -> None:
    """House rule (FIELD 1, 2): unknown is never shown as safe. At places by chance on the samples, in and round the
    logged area; the ground under a kiln at a bare place and the branches above are never known, so nothing passes."""
    site = read_site(SAMPLES / f"{name}.geojson")
    terrain = terrain_of(site, str(SAMPLES / f"{name}.tif"))
    a = assess(site, terrain, on=ON)
    assert a.plane is not None
    area, kiln = near_shape(site.of_kind("logged_area")[0], a.plane), largest_kiln(site)
    assert area is not None
    assert kiln is not None
    low_x, low_y, high_x, high_y = area.buffer(20).bounds
    usable, draw = usable_of(a, kiln), np.random.default_rng(29)
    for x, y in draw.uniform((low_x, low_y), (high_x, high_y), (8 if thorough() else 3, 2)):
        lon, lat = (float(part) for part in a.plane.lonlat(x, y))
        where = {"type": "Point", "coordinates": [lon, lat]}
        put = Feature.of("put", where, {"kind": "kiln_spot", "name": "Put", "kiln": kiln.id})
        spot = assess(site.put(put), terrain, on=ON).spot("put")
        answer = answer_at(a, lon, lat, kiln)
        assert spot is not None
        assert answer.effect == spot.effect != "passes"
        assert sentences_of(answer.findings)[0].startswith(HEADS[answer.may, answer.effect])
        if answer.effect != "ruled out":
            assert any(sentence.startswith("To be seen on the ground: ") for sentence in sentences_of(answer.findings))
        dry = [reason for reason in usable.objections_at(x, y) if reason.bars and reason.what != "water"]
        assert (answer.may is False) or not dry, "what bars the ground is never passed over"


def complete(*leave_out: str) -> Site:
    """The small site with every record a kiln spot asks for, but those left out."""
    looked = [{"kind": kind, "within_m": 200, "who": "A. N.", "when": "2026-09-20"} for kind in look_for()]
    asked = [{"whom": "authority", "name": "B. M.", "date": "2026-09-21", "answer": "yes"}]
    site = small_site()
    seen = stamped(site, site.with_member("looked", looked), ON)  # round its heaps: no kiln stands yet
    site = site if "looked" in leave_out else seen
    return site if "asked" in leave_out else site.with_member("asked", asked)


@pytest.mark.parametrize(
    ("left_out", "told", "silent"),
    [
        ((), (), ("To be looked for", "that the authority was asked")),
        (("looked",), ("To be looked for, ", "power line"), ("that the authority was asked",)),
        (("asked",), ("that the authority was asked",), ("To be looked for",)),
    ],
)
def test_law_records_that_are_missing_are_asked_for(
    left_out: tuple[str, ...], told: tuple[str, ...], silent: tuple[str, ...]
) -> None:
    answer = answer_at(assess(complete(*left_out), FLAT, on=ON), *at(20, 15))
    assert (answer.may, answer.effect) == (None, "conditional")
    said = " ".join(sentences_of(answer.findings))
    for words in (*told, "what lies under the kiln, whether branches hang over it"):
        assert words in said, said
    for words in silent:
        assert words not in said, said
    assert "speaks against" not in said


def test_law_a_refusal_of_the_authority_bars_every_place() -> None:
    refusal = [{"whom": "authority", "name": "B. M.", "date": "2026-09-21", "answer": "no"}]
    answer = answer_at(assess(complete().with_member("asked", refusal), FLAT, on=ON), *at(20, 15))
    assert (answer.may, answer.effect, answer.nearest) == (False, "ruled out", None)
    assert sentences_of(answer.findings)[0] == "No kiln may stand here."
    assert "refused" in sentences_of(answer.findings)[1]
    assert not any("nearest usable ground" in sentence for sentence in sentences_of(answer.findings))


def test_law_no_feature_is_told_of_twice() -> None:
    """Two metres from heap P1, and 4 m from another kiln: each named in one sentence, besides what the water says of
    the gear both kilns need."""
    site = complete().put(point("k1", "kiln_spot", -31, 30, kiln="ring"))
    found = sentences_of(answer_at(assess(site, FLAT, on=ON), *at(-36, 30)).findings)
    said = [sentence for sentence in found if not sentence.startswith(("Quench line", "Attack line"))]
    for name in ("P1: ", "K1"):
        assert sum(name in sentence for sentence in said) == 1, said


def test_law_a_way_of_quenching_nobody_chose_asks_for_the_wettest() -> None:
    """A blank takes the careful value: a spot put down is reckoned as flooded until somebody chooses, and the answer to
    a click is the same as where flooding was chosen: beyond its water no kiln may stand."""
    kiln: dict[str, Any] = {"id": "ring", "shape": "ring", "diameter_m": 1.5, "height_m": 0.6, "has_floor": True}
    site = complete().with_item("kilns", kiln).with_item("hoses", {"id": "hose", "bore_mm": 38, "lengths_m": [20.0]})
    site = site.with_member("crew", {"adults": 3, "carriers": 2, "buckets_each": 2, "bucket_l": 15})
    flooded = site.put(point("k", "kiln_spot", 10, 10, kiln="ring", quench_method="flooded"))
    blank, chosen = (answer_at(assess(each, FLAT, on=ON), *at(-15, -38)) for each in (site, flooded))
    assert blank.effect == chosen.effect == "ruled out"
    assert blank.may is chosen.may is False


@pytest.mark.parametrize(
    ("link", "lay", "told"),
    [
        ({}, False, ""),
        ({"lift_m": 3.0}, False, "typed lifts"),
        ({"bucket_test": [20, 12]}, False, "bucket tests"),
        ({"lift_m": 3.0}, True, "typed lifts and drawn lays"),
        ({"lift_m": 3.0, "bucket_litres": 20, "bucket_seconds": 12}, True, "typed lifts, drawn lays and bucket tests"),
    ],
)
def test_law_an_area_says_what_it_leaves_out(link: dict[str, Any], lay: bool, told: str) -> None:
    """ENGINEERING 1.4: found lays only, and say so. Nothing is said where nothing was entered, nor of other ways."""
    site = small_site().put(point("k", "kiln_spot", 20, 20, kiln="ring"))
    site = site.with_member("links", [{"source": "w", "spot": "k", **link}] if link else [])
    site = site.put(line("lay", "hose_lay", (0, 0), (20, 0), (20, 20))) if lay else site
    site = site.with_member("crew", {"adults": 3, "carriers": 2, "buckets_each": 2, "bucket_l": 15})
    a = assess(site, FLAT, on=ON)
    said = {reach.way: left_out_of(reach, a) for reach in reaches_of(a)}
    assert said["hand"] is None
    wanted = f"Made without the {told} of kiln spots: their own verdicts count them." if told else None
    assert (said["hose"] and sentence(said["hose"])) == wanted
