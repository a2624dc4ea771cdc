"""One decision a kiln: map, summary, file, page one, clock, cold checks and signature never disagree."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import cache
from pathlib import Path

import gpxpy
import pytest

from sitemap.__main__ import main
from sitemap.assessment import Assessment, assess
from sitemap.maps.draw import map_view
from sitemap.notes import kiln_called
from sitemap.plan.contents import plan_of
from sitemap.plan.gpx import write_gpx
from sitemap.plan.html import html_of
from sitemap.plan.model import Blanks, BurnPlan, Items, Paragraph, Table, every_block, words_of
from sitemap.plan.phone import phone_html
from sitemap.report import report_of
from sitemap.site.file import read_site
from sitemap.site.model import Site
from sitemap.summary import summary_text
from sitemap.telling import tell
from sitemap.terrain.of_site import terrain_of
from sitemap.wording import capital
from tests.safety.dangerous.safe_site import SafeSite

ROOT = Path(__file__).resolve().parents[2]
SIGNS = {"may be lit": "✓", "not yet": "?", "not here": "✕"}
SAMPLES = ("juniper_bench", "farm_dam", "birch_shore")


def altered(site: Site, how: str) -> Site:
    """A sample with one thing changed, from nothing to what bars every kiln."""
    if how == "ban":
        return site.with_member("season", site.section("season").values.put(ban="in_force"))
    if how == "no ban known":
        return site.with_member("season", site.section("season").values.put(ban=None))
    if how == "alone":
        return site.with_member("crew", site.section("crew").values.put(adults=1))
    if how == "permit ended":
        return site.with_member("permit", site.section("permit").values.put(to="2020-01-01"))
    if how == "nobody asked":
        return site.with_member("asked", None)
    if how == "peat":
        spot = site.of_kind("kiln_spot")[0]
        return site.put(spot.with_values(ground="peat"))
    return site


@cache
def of(sample: str, how: str) -> Assessment:
    site = read_site(ROOT / "sample_sites" / f"{sample}.geojson")
    entry = site.member["files"]["terrain"]
    ground = terrain_of(site, str(ROOT / "sample_sites" / entry["name"]), entry.get("unit"))
    on = None if how == "no date" else dt.date.fromisoformat(site.section("season").values["date"])
    return assess(altered(site, how), ground, on=on)


@cache
def planned(sample: str, how: str) -> BurnPlan:
    return plan_of(of(sample, how))


HOWS = ("as it is", "ban", "no ban known", "alone", "permit ended", "nobody asked", "peat", "no date")


@pytest.mark.parametrize("how", HOWS)
@pytest.mark.parametrize("sample", SAMPLES)
def test_law_every_reader_tells_the_one_decision(sample: str, how: str) -> None:
    a, plan = of(sample, how), planned(sample, how)
    sheet = plan.sheet("decision").blocks
    kilns = next(b for b in sheet if isinstance(b, Table))
    effects = {feature.id: feature.verdict for feature in map_view(a, "x", None, None, None).features}
    summary = summary_text(a)
    told = {each["spot"]: each["word"] for each in report_of(a)["decisions"]}
    every = [line for b in sheet if isinstance(b, Items) for line in b.texts]
    for decision, row in zip(a.decisions, kilns.rows, strict=True):
        assert row[1] == f"{SIGNS[decision.word]} {decision.word}"
        assert effects[decision.spot] == decision.effect
        assert f"Kiln spot {decision.name}: {decision.word}\n" in summary
        assert told[decision.spot] == decision.word
        for bar in decision.because:
            action = tell(bar.action, a.source.units)
            assert any(line.endswith(f"→ {action}") for line in (*every, *row[2]))


@pytest.mark.parametrize("how", HOWS)
@pytest.mark.parametrize("sample", SAMPLES)
def test_law_what_may_not_be_lit_has_no_time_and_no_signature(sample: str, how: str) -> None:
    a, plan = of(sample, how), planned(sample, how)
    lit = [each for each in a.decisions if each.may_be_lit]
    cold = next(b for b in plan.section("cold").blocks if isinstance(b, Table))
    signed = BurnPlan("", "", "", (plan.sheet("decision"),))
    assert any(isinstance(block, Blanks) for block in every_block(signed)) == bool(lit)
    words = "".join(b.text for b in every_block(signed) if isinstance(b, Paragraph) and b.text.startswith("Signed for"))
    for decision in a.decisions:
        assert (capital(kiln_called(decision.name)) in [row[0] for row in cold.rows]) == decision.may_be_lit
        assert (decision.name in words) == decision.may_be_lit
    dated = a.calendar.laid.places if a.calendar else frozenset()
    unlit = [each.name for each in a.decisions if each.spot in dated and not each.may_be_lit]
    heads = [b.text for b in plan.sheet("calendar").blocks if isinstance(b, Paragraph) and b.weight == "strong"]
    above = [text for text in heads if "may not be lit as the site stands" in text]
    assert len(above) == bool(unlit)
    assert all(name in text for text in above for name in unlit)
    if how in ("ban", "alone", "permit ended", "nobody asked", "no ban known", "no date"):
        assert lit == []
    if how == "as it is":
        assert [each.name for each in lit]  # what bars one kiln does not forbid another


@pytest.mark.parametrize("how", ["as it is", "ban", "peat", "no date"])
def test_law_page_and_telephone_tell_the_one_decision(how: str, tmp_path: Path) -> None:
    """The page for a browser, the page for a telephone and its waypoints, read as they are written."""
    a = of("birch_shore", how)
    pages = (html_of(plan_of(a, ["decision"]), {"small": None, "full": None}), phone_html(a))
    write_gpx(a, tmp_path / "site.gpx")
    points = gpxpy.parse((tmp_path / "site.gpx").read_text(encoding="utf-8")).waypoints
    for decision in a.decisions:
        assert all(f"{SIGNS[decision.word]} {decision.word}" in page for page in pages)
        (point,) = [each for each in points if each.name == decision.name]
        assert str(point.description).startswith(f"{decision.word}, ")
    unsaid = {f"{sign} {word}" for word, sign in SIGNS.items()} - {f"{SIGNS[d.word]} {d.word}" for d in a.decisions}
    assert not any(said in page for said in unsaid for page in pages)


MISSING = "Nothing that was asked for is missing"


@pytest.mark.parametrize("how", HOWS)
def test_law_nothing_is_said_to_be_missing_while_a_kiln_is_barred(how: str) -> None:
    a = of("juniper_bench", how)
    said = [block.text for block in every_block(planned("juniper_bench", how)) if isinstance(block, Paragraph)]
    assert not any(MISSING in text for text in said)
    assert not all(decision.may_be_lit for decision in a.decisions)


def test_law_ten_kilns_on_one_hose_with_two_adults_are_all_barred_and_page_one_says_why() -> None:
    """Two people cannot feed, rake and carry for ten kilns."""
    safe = SafeSite()
    for number in range(3, 11):
        safe.kiln_like("k1", f"k{number}", (number - 2) * 30.0, -60.0)
    a = safe.say("crew", adults=2).assessed()
    said = "\n".join(words_of(plan_of(a).sheet("decision")))
    assert MISSING not in said
    assert len(a.decisions) == 10
    assert not any(decision.may_be_lit for decision in a.decisions)
    assert "light fewer kilns at one time, or bring more people" in said


def test_law_the_check_of_a_file_tells_the_decisions(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(ROOT / "sample_sites" / "birch_shore.geojson"), "--on", "2026-10-10"]) == 0
    told = capsys.readouterr().out
    a = of("birch_shore", "as it is")
    assert all(f"Kiln spot {decision.name}: {decision.word}\n" in told for decision in a.decisions)
    assert "Nothing is missing" not in told


@pytest.mark.parametrize("change", [lambda s: s.move("k1", 3, 0), lambda s: s.seen("tank", on="2026-03-01")])
def test_law_a_line_is_told_as_the_decision_takes_it(change: Callable[[SafeSite], SafeSite]) -> None:
    """A kiln moved 3 m, a tank looked at in winter: the bucket test and the water there prove nothing any more."""
    a = change(SafeSite()).assessed()
    assert a.water is not None
    row = next(b for b in plan_of(a, ["decision"]).sheet("decision").blocks if isinstance(b, Table)).rows[0]
    assert row[3:] == ("? 130 L/min, hose from TANK", "? not known, 400 kPa")
    heads = [getattr(block, "text", "") for block in plan_of(a).section("water").blocks]
    (head,) = (text for text in heads if text.startswith("Kiln K1:"))
    assert "✓" not in head
    bars = {bar.check: bar.verdict for bar in a.decisions[0].because}
    wet = a.water.of_spot("k1")
    assert wet is not None
    assert (wet.quench.verdict, wet.attack.verdict) == (bars["water_quench"], bars["water_attack"])
