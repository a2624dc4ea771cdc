"""The survey page without a browser: every part opens, the tray, the pace, what is pasted, notes, weighed heaps."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from typing import Any

import gpxpy.gpx
import pytest

from sitemap.maps.scene import Edits, MapView
from sitemap.site.kinds import KINDS
from sitemap.site.model import Site
from sitemap.views.map import canvas
from sitemap.views.map.tray import drawn
from tests.site.builders import SQUARE, point, site_of, thing
from tests.site.imports.map_files import map_file, shapefile
from tests.views.conftest import Visit, store

Open = Callable[..., Visit]
PARTS = ("Before you leave home", "The grid", "Phone and spreadsheet", "Free words", "Weighed heaps", "Measure next")
AREA = thing("a", "logged_area", {"type": "Polygon", "coordinates": [SQUARE]})
GATE = thing("g", "gate", name="Gate")
SIZES = {"length_m": 6.0, "width_m": 5.0, "height_m": 2.0}


@pytest.fixture
def at(visit: Open) -> Callable[..., Visit]:
    def opened(site: Site, part: str) -> Visit:
        tab = visit(store().create(site).link).go("survey")
        return show(tab, part)

    return opened


def show(tab: Visit, part: str) -> Visit:
    tab.app.segmented_control(key="survey.part").set_value(part).run()
    assert not tab.app.exception
    assert [error.value for error in tab.app.error] == []
    return tab


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("part", PARTS)
def test_law_every_part_opens_on_an_empty_and_on_a_full_site(at: Callable[..., Visit], part: str, units: str) -> None:
    at(site_of(site={"units": units}), part)
    at(site_of(AREA, GATE, thing("p", name="P1", **SIZES), thing("w", None, None), site={"units": units}), part)


def test_law_the_part_that_was_open_is_open_when_one_comes_back(at: Callable[..., Visit]) -> None:
    tab = at(site_of(AREA), "The grid").go("map").go("survey")
    assert tab.app.segmented_control(key="survey.part").value == "The grid"
    assert show(tab, "Free words").go("map").go("survey").app.segmented_control(key="survey.part").value == "Free words"


@pytest.mark.parametrize("more", [False, True])
def test_law_there_is_a_grid_for_every_kind(at: Callable[..., Visit], more: bool) -> None:
    """One page on which kind after kind is chosen, with all of its columns or the usual ones."""
    tab = at(site_of(AREA), "The grid")
    tab.app.toggle(key="grid.more").set_value(more).run()
    for kind in KINDS:
        tab.app.selectbox(key="grid.kind").set_value(kind).run()
        assert not tab.app.exception, kind
        assert tab.app.selectbox(key="grid.kind").value == kind
        assert tab.app.toggle(key="grid.more").value is more
    assert tab.app.button(key="undo").disabled  # looking changes nothing


def test_law_a_heap_in_the_tray_is_placed_by_bearing_and_paces_once_they_are_counted(at: Callable[..., Visit]) -> None:
    tab = at(site_of(GATE, thing("p", geometry=None, name="P1", **SIZES)), "The grid")
    tab.app.text_input(key="tray.p").set_value("bearing 90, 40 paces from Gate").run()
    assert tab.site.get("p").geometry is None
    assert "length of a pace" in tab.words
    tab.app.text_input(key="draft.pace.count").set_value("64").run()
    tab.app.button(key="pace.go").click().run()
    assert tab.site.section("crew").number("pace_m") == pytest.approx(50 / 64, abs=1e-4)
    assert tab.site.get("p").shape is not None
    assert "Not on the map yet" not in tab.words


def test_law_what_is_drawn_places_what_was_chosen_and_what_waited_for_it() -> None:
    waiting = [
        thing("p", geometry=None, name="P1", place="somewhere"),
        thing("q", geometry=None, name="P2", place="bearing 0, 10 m from P1"),
    ]
    drawing = {"type": "Point", "coordinates": [-120.0, 44.0]}
    site = drawn(site_of(*waiting, GATE), "p", Edits(added=(("pile", drawing, ""),)))
    assert site.get("p").geometry["coordinates"] == (-120.0, 44.0)
    assert not site.get("p").has("place")
    assert site.get("q").shape is not None
    assert len(site.features) == 3
    touched = drawn(site_of(*waiting, GATE), "p", Edits(clicked=(-120.5, 44.25)))
    assert touched.get("p").geometry["coordinates"] == (-120.5, 44.25)  # one touch is a heap's place
    moved = drawn(site, "gone", Edits(changed=(("g", {"type": "Point", "coordinates": [-119.0, 44.0]}),)))
    assert moved.get("g").geometry["coordinates"] == (-119.0, 44.0)


def test_law_the_tray_shows_its_map(at: Callable[..., Visit], monkeypatch: pytest.MonkeyPatch) -> None:
    shown: list[MapView] = []
    monkeypatch.setattr(canvas, "show", lambda view, *_: shown.append(view))
    tab = at(site_of(AREA, thing("p", geometry=None, name="P1")), "The grid")
    tab.app.toggle(key="tray.map").set_value(True).run()
    assert not tab.app.exception
    assert "Touch the place of Heap P1." in tab.words
    assert shown[-1].hint == "Touch the place of Heap P1", "said where the eye is too"


def test_law_the_map_says_what_is_not_on_it_and_a_touch_places_each(
    visit: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[MapView] = []
    touches: list[tuple[float, float]] = []

    def stand_in(view: MapView, _key: str, take: Callable[[Edits], None], *_: object) -> None:
        shown.append(view)
        if touches:
            take(Edits(clicked=touches.pop()))

    monkeypatch.setattr(canvas, "show", stand_in)
    waiting = [thing(key, geometry=None, name=key.upper(), **SIZES) for key in ("p1", "p2")]
    tab = visit(store().create(site_of(AREA, *waiting)).link)
    assert "Not on the map yet: Heap P1, Heap P2." in tab.words
    assert shown[-1].hint.startswith("2 not on the map yet")
    tab.app.toggle(key="tray.here").set_value(True).run()
    assert (shown[-1].hint, shown[-1].tools) == ("Touch the place of Heap P1; 1 more to place", ())
    for touch in ((-120.5, 44.25), (-120.6, 44.25)):
        touches.append(touch)
        tab.app.run()
        tab.app.run()
    assert [tab.site.get(key).geometry["coordinates"] for key in ("p1", "p2")] == [(-120.5, 44.25), (-120.6, 44.25)]
    assert "Not on the map yet" not in tab.words
    assert shown[-1].tools


def test_refuses_a_pace_nobody_walks(at: Callable[..., Visit]) -> None:
    tab = at(site_of(), "The grid")
    tab.app.text_input(key="draft.pace.count").set_value("3").run()
    tab.app.button(key="pace.go").click().run()
    assert "at most 2 m" in tab.words
    assert tab.site.section("crew").number("pace_m") is None


def test_law_cells_to_look_at_are_named_and_feet_are_turned_on_demand(at: Callable[..., Visit]) -> None:
    """12 ft are 3.6576 m (NIST SP 811)."""
    heaps = [thing("p", name="P1", length_m=20, width_m=15, height_m=12), thing("q", name="P1", **SIZES)]
    tab = at(site_of(*heaps), "The grid")
    assert "Row 1, Height (m): A heap 12 m high is rare" in tab.words
    assert "Row 2, Number or name: P1 also stands in row 1" in tab.words
    tab.app.button(key="grid.feet.go").click().run()
    assert tab.site.get("p").number("height_m") == 3.6576
    assert tab.site.get("q").number("height_m") == 2.0


def test_law_pasted_rows_are_looked_at_and_then_kept(at: Callable[..., Visit]) -> None:
    tab = at(site_of(GATE, site={"crew": {"pace_m": 0.8}}), "Phone and spreadsheet")
    rows = "No\tLength (ft)\tHeight\tBearing\tPaces\tFrom\nP1\t20\t2\t120\t35\tGate\nP2\t20\t12\t400\t35\tGate"
    tab.app.text_area(key="bring.text.0").set_value(rows).run()
    assert "A look before it is kept: 2 things" in tab.words
    assert "Row 3: A heap 12 m high" in tab.words
    assert "Row 3: The bearing must lie between 0° and 360°" in tab.words
    assert tab.site.of_kind("pile") == ()
    tab.app.button(key="bring.go").click().run()
    one, two = tab.site.of_kind("pile")
    assert (one.number("length_m"), one.shape is not None) == (6.096, True)
    assert (two.number("height_m"), two.geometry) == (12.0, None)
    tab.app.button(key="undo").click().run()
    assert tab.site.of_kind("pile") == ()


def test_law_who_brings_eastings_is_asked_for_their_system(at: Callable[..., Visit]) -> None:
    """Easting 500,000 of UTM zone 33 is longitude 15° (the zone's middle)."""
    tab = at(site_of(), "Phone and spreadsheet")
    tab.app.text_area(key="bring.text.0").set_value("No\tEasting\tNorthing\nE7\t500000\t5601234").run()
    assert "say which, such as UTM 33N" in tab.words
    tab.app.text_input(key="draft.bring.system").set_value("UTM 33").run()
    assert "names no coordinate system on its own" in tab.words
    tab.app.text_input(key="draft.bring.system").set_value("EPSG:25833").run()
    assert "coordinate system on its own" not in tab.words
    tab.app.button(key="bring.go").click().run()
    (pile,) = tab.site.of_kind("pile")
    assert pile.shape is not None
    assert round(pile.shape.centroid.x, 6) == 15.0


def test_law_a_map_file_that_names_no_system_is_asked_for_it_too(at: Callable[..., Visit]) -> None:
    tab = at(site_of(), "Phone and spreadsheet")
    upload_of(tab).upload("drawn.zip", shapefile(".prj", "EPSG:2269"), "application/zip").run()
    assert "no coordinate system is named" in tab.words
    tab.app.text_input(key="draft.bring.system").set_value("EPSG:2269").run()
    assert "no coordinate system is named" not in tab.words
    tab.app.button(key="bring.go").click().run()
    (pile,) = tab.site.of_kind("pile")
    assert pile.shape is not None
    assert pile.shape.coords[0] == pytest.approx((-121.3, 44.05), abs=1e-6)


def test_law_words_pasted_and_words_written_are_kept_as_notes(at: Callable[..., Visit]) -> None:
    tab = at(site_of(), "Phone and spreadsheet")
    tab.app.text_area(key="bring.text.0").set_value("Ask at the farm for the key.").run()
    tab.app.button(key="bring.words").click().run()
    show(tab, "Free words").app.text_area(key="words.text.0").set_value("Two ways out.").run()
    tab.app.button(key="words.go").click().run()
    assert [note["text"] for note in tab.site.member["notes"]] == ["Ask at the farm for the key.", "Two ways out."]


def test_law_waypoints_far_off_are_left_out_unless_ticked(at: Callable[..., Visit]) -> None:
    gpx = gpxpy.gpx.GPX()
    gpx.waypoints = [gpxpy.gpx.GPXWaypoint(lat, -120.0, name=name) for name, lat in (("P1", 44.001), ("P2", -44.0))]
    tab = at(site_of(GATE), "Phone and spreadsheet")
    upload_of(tab).upload("walk.gpx", io.BytesIO(gpx.to_xml().encode()).getvalue(), "application/gpx+xml").run()
    assert "P2 lies 9,8" in tab.words.replace("9,7", "9,8")
    assert "south of the equator" in tab.words
    assert "Keep 1 thing" in tab.words
    tab.app.button(key="bring.go").click().run()
    assert [f.name for f in tab.site.of_kind("pile")] == ["P1"]


def test_law_a_map_file_is_shown_on_the_map_and_again_changes_nothing(
    at: Callable[..., Visit], monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[MapView] = []
    monkeypatch.setattr(canvas, "show", lambda view, *_: shown.append(view))
    tab = at(site_of(thing("g", "gate", point(-121.3, 44.05), name="Gate")), "Phone and spreadsheet")
    upload_of(tab).upload("drawn.gpkg", map_file(".gpkg", "EPSG:32610"), "application/geopackage+sqlite3").run()
    assert "A look before it is kept: 3 things" in tab.words
    assert "seen → note" in tab.words
    labels = [feature.label for feature in shown[-1].features]
    assert labels[0] == "P1"
    assert labels[1].startswith("Skid trail · 32")  # 327 m by pyproj.Geod in tests/site/imports
    assert labels[2].startswith("Unit 4 · 5.3")
    assert [overlay.style for overlay in shown[-1].overlays] == ["on the site"]
    assert len(tab.site.features) == 1
    tab.app.button(key="bring.go").click().run()
    assert [f.kind for f in tab.site.features] == ["gate", "pile", "track", "logged_area"]
    assert "Keep 0 things" in tab.words
    tab.app.button(key="undo").click().run()
    assert len(tab.site.features) == 1


def upload_of(tab: Visit) -> Any:
    (upload,) = [
        e for e in tab.app.get("file_uploader") if e.label == "File of a phone, a spreadsheet or a map program"
    ]
    return upload


def test_law_what_the_phone_page_sent_back_lands_in_ticks_and_log_once(at: Callable[..., Visit]) -> None:
    tab = at(site_of(GATE), "Phone and spreadsheet")
    tick = {"id": "a1", "what": "ban", "who": "Anna", "when": "2026-05-20 07:40"}
    line = {"id": "b2", "date": "2026-05-20", "at": "08:10", "who": "Anna", "text": "lit"}
    name = tab.site.member.get("name") or ""
    sent = {"pitstead_from_the_landing": 1, "site": name, "units": "us", "ticks": [tick], "log": [line]}
    upload_of(tab).upload("back.json", json.dumps(sent).encode(), "application/json").run()
    assert "From the landing: 2 entries new, 0 here already" in tab.words
    tab.app.button(key="bring.returned").click().run()
    assert [tick.text("who") for tick in tab.site.records("ticks")] == ["Anna"]
    assert [line.text("text") for line in tab.site.records("log")] == ["08:10 Anna: lit"]
    assert "0 entries new, 2 here already" in tab.words
    tab.app.button(key="undo").click().run()
    assert tab.site.records("log") == ()


def test_law_a_weighed_heap_sets_the_others_of_its_look(at: Callable[..., Visit]) -> None:
    heaps = [thing(name, name=name.upper(), packing="tops", **SIZES) for name in ("p1", "p2")]
    heaps[0]["properties"]["dry_t_weighed"] = 1.5
    tab = at(site_of(*heaps), "Weighed heaps")
    assert "that were weighed" in tab.words


def test_law_char_counted_sets_the_wood_share_with_its_range(at: Callable[..., Visit]) -> None:
    heaps = [thing(name, name=name.upper(), packing="tops", **SIZES) for name in ("p1", "p2")]
    tab = at(site_of(*heaps, thing("p3", name="P3", packing="stacked_poles", **SIZES)), "Weighed heaps")
    tab.app.text_input(key="draft.char.volume").set_value("1").run()
    tab.app.button(key="char.go").click().run()
    one, two, other = tab.site.of_kind("pile")
    assert one.number("packing_ratio") == two.number("packing_ratio") is not None
    assert other.number("packing_ratio") is None
    assert one.measured("packing_ratio").low < one.number("packing_ratio") < one.measured("packing_ratio").high


def test_law_the_list_before_leaving_is_said_in_both_languages(at: Callable[..., Visit]) -> None:
    tab = at(site_of(), "Before you leave home")
    assert "most come as GeoTIFF" in tab.words
    tab.app.segmented_control(key="sheets.language").set_value("es").run()
    assert "casi siempre GeoTIFF" in tab.words
