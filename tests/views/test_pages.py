"""Every page on every sample, in both systems of units: nothing fails, and the figures of the assessment are read."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from dataclasses import dataclass

import pytest

from sitemap.assessment import assess
from sitemap.site.file import read_site
from sitemap.site.model import Feature
from sitemap.terrain.of_site import terrain_of
from tests.properties import thorough
from tests.views.conftest import PAGES, ROOT, SAMPLES, Visit, fresh_data, store

Open = Callable[..., Visit]
pytestmark = pytest.mark.usefixtures("own_side_open")
SHORT_TON_T = 0.90718474  # NIST SP 811, appendix B: 2000 lb of 0.45359237 kg (P)
GALLON_L = 3.785411784  # NIST SP 811, appendix B: US gallon (P)
US_GALLONS = (1 / GALLON_L, "US gal")


def kept(sample: str, units: str) -> str:
    """A sample kept in a system of units, with its files; the link."""
    folder = ROOT / "sample_sites"
    site = read_site(folder / f"{sample}.geojson").with_member("units", units)
    for entry in (site.member.get("files") or {}).values():
        store().keep_file((folder / entry["name"]).read_bytes())
    return store().create(site).link


@dataclass(frozen=True)
class Shown:
    """What one run of the page showed."""

    faults: int
    errors: list[str]
    changed: bool
    words: str

    @classmethod
    def on(cls, tab: Visit) -> Shown:
        faults, errors = len(tab.app.exception), [error.value for error in tab.app.error]
        return cls(faults, errors, not tab.app.button(key="undo").disabled, tab.words)


@dataclass(frozen=True)
class Walk:
    """One visit of a sample that goes through all pages, and back on the map opens one thing of each kind."""

    sample: str
    units: str
    pages: dict[str, Shown]
    opened: dict[str, tuple[Shown, str, str]]  # its name as it is shown, and as the site has it


SYSTEMS = ("metric", "us")
WALKS = [(sample, units) for sample in SAMPLES for units in SYSTEMS]  # every day each sample once, both units


@pytest.fixture(scope="module", params=WALKS if thorough() else WALKS[::3] + WALKS[4:5], ids="-".join)
def walk(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Walk:
    """Walked once for all that is asked of it."""
    sample, units = request.param
    with fresh_data(tmp_path_factory.mktemp("walk")):
        tab = Visit(kept(sample, units))
        pages = {"map": Shown.on(tab)}
        pages |= {page: Shown.on(tab.go(page)) for page in PAGES if page != "map"}
        tab.go("map")
        opened = {}
        for feature in one_of_each(tab.site.features):
            shown = Shown.on(tab.choose(feature.id))
            opened[feature.id] = (shown, tab.app.text_input(key=f"name.{feature.id}").value, feature.name)
    return Walk(sample, units, pages, opened)


def one_of_each(features: tuple[Feature, ...]) -> list[Feature]:
    """The first of each kind, and every kiln spot."""
    first = {feature.kind: feature for feature in reversed(features)}
    return [feature for feature in features if feature.kind == "kiln_spot" or feature is first[feature.kind]]


def test_law_every_page_shows_every_sample(walk: Walk) -> None:
    """One test, for tests that share a walk would be given to several workers, and each would walk anew."""
    every_page_is_whole(walk)
    agrees_with_the_assessment(walk)
    every_feature_opens_in_the_panel(walk)


def every_page_is_whole(walk: Walk) -> None:
    assert set(walk.pages) == set(PAGES)
    for page, shown in walk.pages.items():
        assert (shown.faults, shown.errors) == (0, []), page
        assert not shown.changed, f"{page} changed the site by being looked at"
        assert not re.search(r"\bnan\b|\bNone\b|inf ", shown.words), page


def agrees_with_the_assessment(walk: Walk) -> None:
    site = read_site(ROOT / "sample_sites" / f"{walk.sample}.geojson")
    terrain = site.member["files"]["terrain"]
    ground = terrain_of(site, str(ROOT / "sample_sites" / terrain["name"]), terrain.get("unit"))
    figures = assess(site, ground, on=site.section("season").date("date"), today=dt.date.today())  # as the page does
    tonnes, litres = {"metric": ((1.0, "t"), (1.0, "L")), "us": ((1 / SHORT_TON_T, "US short tons"), US_GALLONS)}[
        walk.units
    ]
    factor, unit = tonnes
    assert_shown(walk.pages["slash"], "Dry slash, all of it", figures.slash.dry_t.likely, factor, r"\(")
    assert f"Weights in {unit}: likely" in walk.pages["slash"].words
    if figures.burn.quench_l is not None:
        assert_shown(walk.pages["kilns"], "Quench water in all", figures.burn.quench_l.likely, *litres)
    for spot in figures.spots:
        assert f"Kiln {spot.name}: {figures.decision(spot.id).word}" in walk.pages["map"].words


def assert_shown(page: Shown, label: str, value: float, factor: float, unit: str) -> None:
    """A figure stands under its label with the two digits that are shown."""
    shown = re.search(rf"{label} ([\d.,]+) {unit}", page.words)
    assert shown, page.words[:400]
    assert float(shown[1].replace(",", "")) == pytest.approx(value * factor, rel=0.05)


def every_feature_opens_in_the_panel(walk: Walk) -> None:
    assert walk.opened
    for feature, (shown, name, kept_name) in walk.opened.items():
        assert (shown.faults, name) == (0, kept_name), feature
        assert not shown.changed


def test_law_pages_lead_on_in_the_order_of_the_job(visit: Open) -> None:
    tab, page, seen = visit(), "map", []
    while page is not None:
        seen.append(page)
        links = [each.proto for each in tab.go(page).app.get("page_link")]
        following = [link for link in links if link.label.startswith("Next: ")]
        page = following[0].page.rsplit("/", 1)[-1] or "map" if following else None
    order = ["map", "survey", "slash", "rules", "kilns", "water", "place", "when", "papers", "log", "history"]
    order += ["words", "sites"]
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
    assert "The map looks at 44.28710, -120.61250, time zone America/Los_Angeles, units US customary." in tab.words
    assert (tab.site.timezone, tab.site.units) == ("America/Los_Angeles", "us")
    tab.app.text_input(key="begin.where").set_value("somewhere in the woods").run()
    assert "is no place" in tab.words
    assert "**Step 2 of 7, the logged area:** *+ Add*" in tab.words


def test_law_the_first_visit_opens_a_sample_and_says_how_to_begin(visit: Open) -> None:
    tab = visit()
    assert "(invented)" in tab.site.name
    assert "To begin with" in tab.words
    tab.app.button(key="hint.close").click().run()
    assert "To begin with" not in tab.words


def test_law_who_comes_back_without_a_link_goes_on_where_they_were(visit: Open) -> None:
    begun = visit()
    begun.app.button(key="open.new").click().run()
    begun.app.text_input(key="site.name").set_value("Our own wood").run()
    visit()  # a sample as it came is nobody's work
    tab = visit()
    assert "Last worked at: Our own wood" in tab.words
    tab.app.button(key="hint.last").click().run()
    assert (tab.site.name, tab.link) == ("Our own wood", begun.link)


def test_refuses_to_hide_a_fault_of_its_own(visit: Open, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("PITSTEAD_RAISE")
    tab = visit()
    monkeypatch.setattr("sitemap.views.charts.range_bars", lambda *_: 1 / 0)
    words = tab.go("slash").words
    assert "This is a fault of the program, not of your site, which is saved (ZeroDivisionError on this page)." in words
    assert "Next: Rules and permit" in " ".join(link.proto.label for link in tab.app.get("page_link"))
    assert tab.app.button(key="undo")


def test_law_a_site_is_copied_put_away_and_brought_back(visit: Open) -> None:
    tab = visit()
    first, name = tab.link, tab.site.name
    tab.app.button(key="site.copy").click().run()
    assert (tab.site.name, tab.link != first) == (f"{name} (copy)", True)
    assert tab.site.features == store().open(first).site.features
    tab.app.button(key="open.kept.away").click().run()
    assert f"{name} is deleted" in tab.words
    assert not [each for each in tab.app.button if each.key == "open.kept.go"]
    tab.app.button(key="open.away.back").click().run()
    tab.app.button(key="open.kept.go").click().run()
    assert tab.link == first


def test_law_a_word_is_found_among_words_things_and_figures(visit: Open) -> None:
    tab = visit().go("words")
    assert "May be lit." in tab.words
    for typed, found in (
        ("QUENCH line", "Quench line."),
        ("hose friction", "fire service training deck"),
        ("zzz", "Nothing here has these words"),
    ):
        tab.app.text_input(key="draft.words.find").set_value(typed).run()
        assert found in tab.words
        assert "May be lit." not in tab.words
