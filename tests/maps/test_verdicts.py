"""What a drag is held against in the browser, beside what the assessment says of the same places."""

import datetime as dt
from pathlib import Path

import pytest

from sitemap.assessment import assess, every_setback
from sitemap.maps.draw import map_view
from sitemap.maps.scene import payload
from sitemap.maps.verdicts import kiln_verdicts
from sitemap.site.file import read_site
from tests.javascript import answer

ROOT = Path(__file__).parents[2]
LIVE = ROOT / "sitemap" / "maps" / "script" / "live.js"
EVERY = """data.limits.kilns.flatMap((kiln) => data.limits.things.map((thing) => m.reading(kiln, thing,
  (id) => data.features.filter((each) => each.id === id).map(({geometry}) => geometry))))"""
STATES = {"too close": "short", "measure on the ground": "near", "far enough": "far"}


@pytest.mark.parametrize("sample", ["juniper_bench", "farm_dam", "birch_shore"])
def test_law_the_browser_measures_what_the_assessment_does(sample: str, tmp_path: Path) -> None:
    a = assess(read_site(ROOT / "sample_sites" / f"{sample}.geojson"), on=dt.date(2026, 11, 28))
    scene = payload(map_view(a, "here"), ("", 0))
    found = {(each["kiln"], each["thing"]): each for each in answer(LIVE, EVERY, scene, tmp_path) if each}
    seen = set()
    for kiln, setbacks in every_setback(a).items():
        for each in setbacks:
            if each.distance_m is None or each.required_m is None:
                continue
            reading = found[kiln, each.feature]
            assert reading["gap_m"] == pytest.approx(each.distance_m, abs=0.05, rel=2e-4)
            assert reading["need_m"] == each.required_m
            if each.verdict in STATES and abs(each.margin_m or 0.0) > 0.1:
                assert reading["state"] == STATES[each.verdict]
                seen.add(reading["state"])
    assert "far" in seen


def test_law_a_yes_says_for_when_it_holds() -> None:
    a = assess(read_site(ROOT / "sample_sites" / "juniper_bench.geojson"), on=dt.date(2026, 12, 5))
    said = {kiln.id: kiln.first for kiln in kiln_verdicts(a)}
    for decision in a.decisions:
        assert ("Only on Sat 5 Dec 2026" in said[decision.spot]) == decision.may_be_lit


def test_law_what_to_do_is_said_once_and_with_its_figure() -> None:
    """Duff is scraped 10 ft round the kiln: the finding says so itself."""
    a = assess(read_site(ROOT / "sample_sites" / "juniper_bench.geojson"), on=dt.date(2026, 12, 5))
    said = {kiln.id: kiln.first for kiln in kiln_verdicts(a)}
    first = {decision.spot: decision.first for decision in a.decisions if decision.first is not None}
    assert first["k2"].check == "ground"
    assert said["k2"].lower().count("scrape to mineral soil") == 1
    assert "10 ft" in said["k2"]
    assert said["k3"].startswith("Move the kiln, or get the line owner's dated agreement. Distance: Power line")


def test_law_the_table_begins_with_what_is_nearest_to_turning() -> None:
    a = assess(read_site(ROOT / "sample_sites" / "farm_dam.geojson"), on=dt.date(2026, 11, 28))
    (barred,) = (kiln for kiln in kiln_verdicts(a) if kiln.id == "k4")
    first, *rest = barred.checks
    assert (first.thing, first.rule, first.effect) == ("Farm dam", "10 m", "ruled out")
    assert first.spare.endswith("m short")
    assert "passes" in {row.effect for row in rest}
    effects = [row.effect for row in barred.checks]
    assert effects == sorted(effects, key=lambda effect: effect == "passes")  # what passes stands below
