"""Every page on every sample, in both systems of units: nothing fails, and the figures of the assessment are read."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from sitemap.assessment import assess
from sitemap.site.file import read_site
from sitemap.terrain.of_site import terrain_of
from tests.views.conftest import PAGES, ROOT, SAMPLES, Visit, store

Open = Callable[..., Visit]
SHORT_TON_T = 0.90718474  # NIST SP 811, appendix B: 2000 lb of 0.45359237 kg (P)
GALLON_L = 3.785411784  # NIST SP 811, appendix B: US gallon (P)


def kept(sample: str, units: str) -> str:
    """A sample kept in a system of units, with its files; the link."""
    folder = ROOT / "sample_sites"
    site = read_site(folder / f"{sample}.geojson").with_member("units", units)
    for entry in (site.member.get("files") or {}).values():
        store().keep_file((folder / entry["name"]).read_bytes())
    return store().create(site).link


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("sample", SAMPLES)
def test_law_every_page_shows_every_sample(visit: Open, sample: str, units: str) -> None:
    tab = visit(kept(sample, units))
    for page in PAGES:
        tab.go(page)
        assert not tab.app.exception, page
        assert [error.value for error in tab.app.error] == [], page
        assert tab.app.button(key="undo").disabled, f"{page} changed the site by being looked at"
        assert not re.search(r"\bnan\b|\bNone\b|inf ", tab.words), page


@pytest.mark.parametrize("sample", SAMPLES)
def test_agrees_with_the_assessment_in_both_systems(visit: Open, sample: str) -> None:
    site = read_site(ROOT / "sample_sites" / f"{sample}.geojson")
    terrain = site.member["files"]["terrain"]
    ground = terrain_of(site, str(ROOT / "sample_sites" / terrain["name"]), terrain.get("unit"))
    figures = assess(site, ground, on=site.section("season").date("date"))
    dry_t = figures.slash.dry_t.likely
    for units, factor, unit in (("metric", 1.0, "t"), ("us", 1 / SHORT_TON_T, "US short tons")):
        words = visit(kept(sample, units)).go("slash").words
        shown = re.search(rf"Dry slash ([\d.,]+) {unit}\b", words)
        assert shown, words[:400]
        assert float(shown[1].replace(",", "")) == pytest.approx(dry_t * factor, rel=0.05)  # two digits are shown
    if figures.burn.quench_l is not None:
        for units, factor, unit in (("metric", 1.0, "L"), ("us", 1 / GALLON_L, "US gal")):
            words = visit(kept(sample, units)).go("kilns").words
            shown = re.search(rf"Quench water in all ([\d.,]+) {unit}\b", words)
            assert shown, words[:400]
            assert float(shown[1].replace(",", "")) == pytest.approx(figures.burn.quench_l.likely * factor, rel=0.05)
    words = visit(kept(sample, "metric")).words
    for spot in figures.spots:
        assert f"Kiln {spot.name}: {spot.verdict}" in words


@pytest.mark.parametrize("sample", SAMPLES)
def test_law_every_feature_opens_in_the_panel(visit: Open, sample: str) -> None:
    tab = visit(kept(sample, "us"))
    seen: set[str] = set()
    for feature in tab.site.features:
        if feature.kind in seen and feature.kind != "kiln_spot":
            continue
        seen.add(feature.kind)
        tab.choose(feature.id)
        assert not tab.app.exception, feature.id
        assert tab.app.text_input(key=f"name.{feature.id}").value == feature.name
    assert tab.app.button(key="undo").disabled


def test_law_pages_lead_on_in_the_order_of_the_job(visit: Open) -> None:
    tab, page, seen = visit(), "map", []
    while page is not None:
        seen.append(page)
        links = [each.proto for each in tab.go(page).app.get("page_link")]
        following = [link for link in links if link.label.startswith("Next: ")]
        page = following[0].page.rsplit("/", 1)[-1] or "map" if following else None
    order = ["map", "survey", "slash", "rules", "kilns", "water", "place", "papers", "log", "words"]
    assert seen == [page for page in order if page in PAGES]


def test_law_an_empty_site_teaches_on_every_page(visit: Open) -> None:
    tab = visit()
    tab.app.button(key="open.new").click().run()
    assert tab.site.features == ()
    for page in PAGES:
        assert not tab.go(page).app.exception, page
    assert "Your own site." in tab.go("map").words
    assert "No slash yet." in tab.go("slash").words
    assert "Place a kiln spot and a water source" in tab.go("water").words


def test_law_an_own_site_is_walked_step_by_step(visit: Open) -> None:
    tab = visit()
    tab.app.button(key="open.new").click().run()
    tab.app.text_input(key="begin.where").set_value("44°17.226'N 120°36.750'W").run()
    assert "The map below looks at 44.28710, -120.61250." in tab.words
    tab.app.text_input(key="begin.where").set_value("somewhere in the woods").run()
    assert len(tab.app.warning) == 1
    assert "○ **The logged area**: *+ Add*" in tab.words


def test_law_the_first_visit_opens_a_sample_and_says_how_to_begin(visit: Open) -> None:
    tab = visit()
    assert "(invented)" in tab.site.name
    assert "Three steps to begin with" in tab.words
    tab.app.button(key="hint.close").click().run()
    assert "Three steps to begin with" not in tab.words


def test_refuses_to_hide_a_fault_of_its_own(visit: Open, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("PITSTEAD_RAISE")
    tab = visit()
    monkeypatch.setattr("sitemap.views.charts.range_bars", lambda *_: 1 / 0)
    words = tab.go("slash").words
    assert "This is a fault of the program, not of your site, which is saved (ZeroDivisionError on this page)." in words
    assert "Next: Rules and permit" in " ".join(link.proto.label for link in tab.app.get("page_link"))
    assert tab.app.button(key="undo")
