"""The map in a real browser without any network: what a hand does to it, and that nothing else changes."""

from __future__ import annotations

import math
import re

import pytest
from playwright.sync_api import expect
from pyproj import Geod, Transformer

from tests.browser.conftest import OpenPage, Visit, map_of
from tests.browser.hand import Finger, carry, drag, middle
from tests.browser.map_hand import changed, choose, held, stands, symbol

MERCATOR = Transformer.from_crs(4326, 3857, always_xy=True)


#  How far right of the buttons on the map lies what is drawn on it.
BESIDE_BUTTONS = """map => {
  const at = what => [...map.querySelectorAll(what)].map(node => node.getBoundingClientRect());
  const drawn = at(".leaflet-overlay-pane path, .pit-icon svg").filter(box => box.width > 0);
  return Math.min(...drawn.map(box => box.left)) - Math.max(...at(".leaflet-bar").map(box => box.right));
}"""


def test_law_nothing_outside_is_asked_and_no_script_fails(at_map: Visit) -> None:
    map_of(at_map).get_by_role("button", name="+ Add").click()
    expect(map_of(at_map).locator(".pit-kind")).to_have_count(32)
    assert at_map.outside == []
    assert at_map.faults == []


def test_law_a_dragged_point_alone_changes_without_a_reload(at_map: Visit) -> None:
    before, frame = held(at_map, 0)["shapes"], map_of(at_map)
    frame.locator("body").evaluate("body => { window.stillHere = true }")
    pile = middle(symbol(frame, "pile"))
    carry(at_map, symbol(frame, "spot"), 60, 40)
    state = held(at_map, 2)
    assert list(changed(state)) == ["spot"]
    assert {k: v for k, v in state["shapes"].items() if k != "spot"} == {k: v for k, v in before.items() if k != "spot"}
    lon, lat, height = state["shapes"]["spot"]["coordinates"]
    assert lon > before["spot"]["coordinates"][0]
    assert lat < before["spot"]["coordinates"][1]
    assert height == 1234.5  # what it was surveyed at stays until someone types another
    assert state["log"][-1]["selected"] == "spot"
    assert frame.locator("body").evaluate("body => window.stillHere")
    assert middle(symbol(frame, "pile")) == pytest.approx(pile, abs=0.5)  # the view is where it was
    drag(at_map, symbol(frame, "spot"), -60, -40)  # and again: acts are not read twice
    assert list(changed(held(at_map, 3))) == ["spot"]


def test_agrees_with_pyproj_where_a_point_is_dropped(at_map: Visit) -> None:
    """Web Mercator by pyproj (EPSG:3857): two symbols whose places are known give the zoom, the zoom the metres a pixel
    (the square is 2π × 6,378,137 m wide, 256 pixels at zoom 0); the dropped pile must lie where that says, within the
    pixel to which a screen can show it."""
    frame, shapes = map_of(at_map), held(at_map, 0)["shapes"]
    left = {key: middle(symbol(frame, key))[0] for key in ("spot", "pile")}
    east = {key: MERCATOR.transform(*shapes[key]["coordinates"][:2]) for key in left}
    whole_m = 2 * math.pi * 6_378_137 / 256
    exact = math.log2(whole_m * (left["spot"] - left["pile"]) / (east["spot"][0] - east["pile"][0]))
    zoom = round(20 * exact) / 20  # the map stands at twentieths of a zoom
    pixel_m = whole_m / 2**zoom
    carry(at_map, symbol(frame, "pile"), 150, -50)
    x, y = MERCATOR.transform(*held(at_map, 2)["shapes"]["pile"]["coordinates"])
    assert x - east["pile"][0] == pytest.approx(150 * pixel_m, abs=pixel_m)
    assert y - east["pile"][1] == pytest.approx(50 * pixel_m, abs=pixel_m)


def test_law_a_polygon_moves_whole_and_its_other_part_stays(at_map: Visit) -> None:
    before, frame = held(at_map, 0)["shapes"]["area"]["coordinates"], map_of(at_map)
    carry(at_map, symbol(frame, "area", "0"), -40, 30)
    after = held(at_map, 2)["shapes"]["area"]["coordinates"]
    assert after[1] == before[1]
    moves = [(a[0] - b[0], a[1] - b[1]) for a, b in zip(after[0][0], before[0][0], strict=True)]
    assert all(move == pytest.approx(moves[0], abs=3e-7) for move in moves)  # rounded to 1e-7°, drawn in Mercator
    assert moves[0][0] < 0
    assert moves[0][1] < 0
    assert after[0][0][2][2] == 7.25
    assert after[0][0][0] == after[0][0][-1]


def test_law_corners_not_touched_stay_to_the_last_bit(at_map: Visit) -> None:
    before, frame = held(at_map, 0)["shapes"]["area"]["coordinates"], map_of(at_map)
    symbol(frame, "area", "0").click()
    held(at_map, 1)
    expect(frame.locator(".pit-corner")).to_have_count(6)
    drag(at_map, min(frame.locator(".pit-corner").all(), key=middle), -30, 10)  # the first of its part
    after = held(at_map, 2)["shapes"]["area"]["coordinates"]
    assert after[0][0][1:3] == before[0][0][1:3]
    assert after[1] == before[1]
    assert after[0][0][0] != before[0][0][0]
    assert after[0][0][0] == after[0][0][-1]


def test_law_a_line_gains_and_loses_a_corner(at_map: Visit) -> None:
    before, frame = held(at_map, 0)["shapes"]["row"]["coordinates"], map_of(at_map)
    symbol(frame, "row").click()
    held(at_map, 1)
    drag(at_map, frame.locator(".pit-between"), 10, 60)
    after = held(at_map, 2)["shapes"]["row"]["coordinates"]
    assert [after[0], after[2]] == before
    frame.locator(".pit-corner").nth(1).click()
    frame.get_by_role("button", name="Remove corner").click()
    assert held(at_map, 3)["shapes"]["row"]["coordinates"] == before


def test_law_deleting_takes_one_feature_with_all_its_parts(at_map: Visit) -> None:
    frame = map_of(at_map)
    symbol(frame, "area", "1").click()
    frame.get_by_role("button", name="Delete").click()
    state = held(at_map, 2)
    assert state["log"][-1]["deleted"] == ["area"]
    assert sorted(state["shapes"]) == ["pile", "row", "spot"]
    expect(frame.locator('[data-feature="area"]')).to_have_count(0)


def test_law_point_line_and_outline_are_drawn(at_map: Visit) -> None:
    frame = map_of(at_map)
    x, y = middle(frame.locator("#map_div"))
    choose(frame, "Gate")
    at_map.mouse.click(x + 200, y)
    held(at_map, 1)
    choose(frame, "Track")
    for right, down in ((250, 50), (300, 70), (350, 60)):
        at_map.mouse.click(x + right, y + down)
    expect(frame.locator('path[stroke-dasharray="16 5"]')).to_have_attribute("fill", "none")  # a line covers no ground
    frame.get_by_role("button", name="Finish").click()
    held(at_map, 2)
    choose(frame, "Refuge")  # it is wide or it is none: an outline first
    frame.get_by_text("Refuge: touch each corner").wait_for()
    frame.get_by_role("button", name="Cancel").click()
    choose(frame, "Char pad", "An outline")
    for right, down in ((200, -120), (300, -120), (300, -60), (220, -50)):
        at_map.mouse.click(x + right, y + down)
    frame.get_by_role("button", name="Take back").click()
    at_map.mouse.click(x + 200, y - 120)  # the first corner again closes it
    added = [dict(kind=edit["added"][0][0], **edit["added"][0][1]) for edit in held(at_map, 3)["log"]]
    assert [(shape["kind"], shape["type"]) for shape in added] == [
        ("gate", "Point"),
        ("track", "LineString"),
        ("char_pad", "Polygon"),
    ]
    assert len(added[1]["coordinates"]) == 3
    ring = added[2]["coordinates"][0]
    assert len(ring) == 4
    assert ring[0] == ring[-1]
    expect(frame.locator(".pit-icon")).to_have_count(8)  # five to begin with, each drawn one once


def test_law_bare_ground_says_where_it_was_touched(at_map: Visit) -> None:
    frame = map_of(at_map)
    x, y = middle(symbol(frame, "spot"))
    at_map.mouse.click(x, y + 60)
    edit = held(at_map, 1)["log"][-1]
    assert edit["clicked"] == pytest.approx([-121.3001, 44.0495], abs=0.0005)
    assert edit["changed"] == edit["added"] == edit["deleted"] == []


def test_law_a_name_is_never_code(at_map: Visit) -> None:
    frame = map_of(at_map)
    whole = "</script><script>window.harmed = 1</script><img src=x"
    expect(symbol(frame, "pile")).to_have_attribute("title", re.compile(re.escape(whole)))
    expect(symbol(frame, "pile")).to_contain_text("Pile `2` <…{{'x'}}_1")  # its label goes without the middle
    symbol(frame, "pile").click()
    expect(frame.locator(".pit-says")).to_contain_text("{{'x'}}_1")
    held(at_map, 1)
    assert frame.locator("body").evaluate("body => window.harmed === undefined && window.top.harmed === undefined")
    assert at_map.faults == []


def test_law_a_site_shown_whole_lies_beside_the_buttons_not_under_them(open_map: OpenPage) -> None:
    page = open_map(360, 740, touch=True)
    frame = map_of(page)
    Finger(page).tap(frame.get_by_role("button", name="Show the whole site"))
    stands(frame)
    assert frame.locator("#map_div").evaluate(BESIDE_BUTTONS) >= 0


def test_law_a_finger_moves_reshapes_and_draws_at_phone_width(open_map: OpenPage) -> None:
    page = open_map(390, 844, touch=True)
    frame, finger = map_of(page), Finger(page)
    chips = frame.locator(".pit-kilns .pit-kiln")
    expect(chips).to_have_text(["✕2 of 6 not here", "✓2 of 6 may be lit", "?2 of 6 not yet"])
    finger.tap(chips.nth(1))  # all of them are listed, and one is chosen there
    expect(frame.locator(".pit-side .pit-kiln")).to_have_count(6)
    finger.tap(frame.get_by_role("button", name="K1: not here"))
    expect(frame.locator(".pit-side")).to_be_hidden()
    finger.drag(symbol(frame, "spot"), 50, 90)
    assert list(changed(held(page, 2))) == ["spot"]
    before = held(page, 2)["shapes"]["area"]["coordinates"]
    finger.tap(symbol(frame, "area", "1"))
    held(page, 3)
    finger.drag(frame.locator(".pit-corner").last, 40, -40)
    after = held(page, 4)["shapes"]["area"]["coordinates"]
    assert after[0] == before[0]
    assert after[1][0][:2] == before[1][0][:2]
    assert after[1][0][2] != before[1][0][2]
    finger.tap(frame.get_by_role("button", name="Done"))
    held(page, 5)
    finger.tap(frame.get_by_role("button", name="+ Add"))
    kind = frame.locator(".pit-kind", has_text="Control line")
    kind.scroll_into_view_if_needed()
    finger.tap(kind)
    x, y = middle(frame.locator("#map_div"))
    for right, down in ((-120, 100), (0, 120), (100, 90)):
        page.touchscreen.tap(x + right, y + down)
    finger.tap(frame.get_by_role("button", name="Finish"))
    (kind_added, shape, _), *none = held(page, 6)["log"][-1]["added"]
    assert (kind_added, len(shape["coordinates"]), none) == ("control_line", 3, [])
    for button in frame.locator(".pit-button:visible, .leaflet-control-zoom a").all():
        box = button.bounding_box()
        assert box
        assert min(box["width"], box["height"]) >= 43.9  # a thumb in a glove: 44 px
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.outside == []
    assert page.faults == []


def test_law_a_drop_under_another_symbol_is_no_click(at_map: Visit) -> None:
    """Let go under another symbol, the browser calls it a click on what holds both: on bare ground, so to say."""
    frame = map_of(at_map)
    (x, y), (x1, y1) = middle(symbol(frame, "pile")), middle(symbol(frame, "spot"))
    carry(at_map, symbol(frame, "pile"), x1 - x, y1 - 8 - y)
    assert list(changed(held(at_map, 2))) == ["pile"]
    expect(symbol(frame, "pile")).to_have_class(re.compile("pit-selected"))
    frame.get_by_role("button", name="Delete").wait_for()
    frame.get_by_role("button", name="Done").click()
    assert [edit["clicked"] for edit in held(at_map, 3)["log"]] == [None] * 3


@pytest.mark.parametrize("touch", [False, True])
def test_law_symbols_are_deaf_while_drawing_and_lines_start_on_them(open_map: OpenPage, touch: bool) -> None:
    """A touch 30 px from a symbol is a place of its own; on the symbol, it is the symbol's place."""
    page = open_map(touch=touch)
    frame = map_of(page)
    before = held(page, 0)["shapes"]
    point = page.touchscreen.tap if touch else page.mouse.click
    choose(frame, "Track")
    (x, y), (x1, y1) = middle(symbol(frame, "spot")), middle(symbol(frame, "pile"))
    point(x + 7, y - 7)
    point(x + 18, y + 18)
    point(x1 - 20, y1)
    point(x1 - 3, y1 + 4)
    frame.get_by_role("button", name="Finish").click()
    ((kind, shape, _),) = held(page, 1)["log"][-1]["added"]
    assert (kind, len(shape["coordinates"])) == ("track", 4)
    assert shape["coordinates"][0] == pytest.approx(before["spot"]["coordinates"], abs=1e-7)
    assert shape["coordinates"][3] == pytest.approx(before["pile"]["coordinates"], abs=1e-7)
    assert list(held(page, 1)["shapes"])[:4] == list(before)


def test_law_a_kiln_lies_on_top_with_its_number_in_its_sign(at_map: Visit) -> None:
    """Also of what stands farther down the map, where Leaflet would draw it over the kiln."""
    frame = map_of(at_map)
    expect(symbol(frame, "spot").locator("svg text").first).to_have_text("K1")
    (x, y), (x1, y1) = middle(symbol(frame, "pile")), middle(symbol(frame, "spot"))
    carry(at_map, symbol(frame, "pile"), x1 - x, y1 + 12 - y)
    held(at_map, 2)
    frame.get_by_role("button", name="Done").click()
    held(at_map, 3)
    top = "(_, [x, y]) => document.elementFromPoint(x, y).closest('.pit-icon').dataset.feature"
    box = symbol(frame, "spot").evaluate(
        "node => { const b = node.getBoundingClientRect(); return [b.x, b.y, b.width] }"
    )
    assert frame.locator("body").evaluate(top, [box[0] + box[2] / 2, box[1] + box[2] / 2 + 6]) == "spot"


def test_law_the_page_stands_still_under_the_first_press(open_map: OpenPage) -> None:
    """In a low window the map reaches below its edge: the first press must not scroll it into sight."""
    page = open_map(1280, 460)
    frame = map_of(page)
    before = held(page, 0)["shapes"]
    x, y = middle(symbol(frame, "pile"))
    page.mouse.move(x, y)
    page.mouse.down()
    assert middle(symbol(frame, "pile")) == (x, y)
    page.mouse.up()
    page.get_by_text("edits read: 1", exact=True).wait_for()
    assert held(page, 1)["shapes"] == before


def test_law_the_distance_that_decides_is_numbered_while_a_kiln_is_dragged(at_map: Visit) -> None:
    """8 m by the rule, a kiln of 1 m: pyproj's geodesic between the two places says what must stand there."""
    frame = map_of(at_map)
    symbol(frame, "spot").click()
    (x, y), (x1, y1) = middle(symbol(frame, "spot")), middle(symbol(frame, "pile"))
    at_map.mouse.move(x, y)
    at_map.mouse.down()
    at_map.mouse.move(x1 + 4, y1 + 3, steps=6)
    expect(frame.locator(".pit-live-short")).to_contain_text("short")
    expect(frame.locator(".pit-talk .pit-short")).to_contain_text(re.compile(r"the heap: .* rule 8 m, .* short"))
    at_map.mouse.move(x1 + 0.4 * (x - x1), y1 + 0.4 * (y - y1), steps=6)
    said = frame.locator(".pit-live span").inner_text()
    at_map.mouse.up()
    shapes = held(at_map, 2)["shapes"]
    _, _, far = Geod(ellps="WGS84").inv(*shapes["spot"]["coordinates"][:2], *shapes["pile"]["coordinates"][:2])
    assert float(said.removesuffix(" m")) == pytest.approx(far - 1.0, abs=0.6)
    expect(frame.locator(".pit-live")).to_have_count(0)


def test_law_several_move_as_one_edit_and_undo_names_what_it_takes_back(at_map: Visit) -> None:
    before, frame = held(at_map, 0)["shapes"], map_of(at_map)
    symbol(frame, "pile").click()
    frame.get_by_role("button", name="Several").click()
    symbol(frame, "row").click()
    expect(frame.locator(".pit-says")).to_contain_text("2 chosen")
    drag(at_map, symbol(frame, "pile"), 40, 30)
    state = held(at_map, 2)
    assert sorted(changed(state)) == ["pile", "row"]
    moved = [a - b for a, b in zip(state["shapes"]["pile"]["coordinates"], before["pile"]["coordinates"], strict=True)]
    for now, then in zip(state["shapes"]["row"]["coordinates"], before["row"]["coordinates"], strict=True):
        assert [a - b for a, b in zip(now, then, strict=True)] == pytest.approx(moved, abs=3e-7)
    frame.get_by_role("button", name="Delete").click()
    state = held(at_map, 3)
    assert sorted(state["log"][-1]["deleted"]) == ["pile", "row"]
    expect(frame.locator(".pit-says")).to_have_text("Edit 3")
    frame.get_by_role("button", name="Undo").click()
    assert held(at_map, 4)["log"][-1]["undo"] == "Edit 3"
    expect(frame.get_by_role("button", name="Undo")).to_have_count(0)


def test_agrees_with_pyproj_on_what_is_measured_and_drawn_by_bearing(at_map: Visit) -> None:
    """A ring of three written legs: length, bearing and area on the screen beside pyproj's geodesics (Geod); and the
    scale bar, laid beside two signs whose places are known."""
    frame, geod = map_of(at_map), Geod(ellps="WGS84")
    (x0, y0), (x1, y1) = (middle(symbol(frame, each)) for each in ("spot", "pile"))
    bar = frame.locator(".pit-scale").evaluate("node => ({...node.dataset})")
    m = geod.inv(-121.30012345678901, 44.05, -121.3006, 44.0503)[2]
    assert math.hypot(x1 - x0, y1 - y0) / float(bar["px"]) == pytest.approx(m / float(bar["m"]), rel=0.02)  # to a pixel
    choose(frame, "Char pad", "An outline")
    x, y = middle(frame.locator("#map_div"))
    at_map.mouse.click(x + 60, y - 60)
    for leg in ("90 40", "180, 30 m", "270° 40"):
        frame.get_by_role("textbox").fill(leg)
        frame.get_by_role("textbox").press("Enter")
    expect(frame.locator(".pit-reading")).to_contain_text("40 m at 270° · in all 110 m · area 0.12 ha")
    frame.get_by_role("button", name="Finish").click()
    ((_, shape, _),) = held(at_map, 1)["log"][-1]["added"]
    ring = shape["coordinates"][0]
    for (lon, lat), (lon1, lat1), bearing, far in zip(ring, ring[1:], (90, 180, 270), (40, 30, 40), strict=False):
        azimuth, _, m = geod.inv(lon, lat, lon1, lat1)
        assert m == pytest.approx(far, abs=0.02)
        assert azimuth % 360 == pytest.approx(bearing, abs=0.1)
    assert abs(geod.polygon_area_perimeter(*zip(*ring, strict=True))[0]) == pytest.approx(1200, rel=1e-3)


def test_law_my_position_stands_in_the_circle_of_its_error(open_map: OpenPage) -> None:
    """And where the browser gives none, a sentence says so."""
    page = open_map()
    frame = map_of(page)
    frame.get_by_role("button", name="Where am I?").click()
    expect(frame.locator(".pit-strip")).to_contain_text("gives no position")
    page.context.grant_permissions(["geolocation"])
    page.context.set_geolocation({"latitude": 44.05, "longitude": -121.3003, "accuracy": 12})
    frame.get_by_role("button", name="Where am I?").click()
    expect(frame.locator(".pit-strip")).to_contain_text("± 12 m")
    expect(frame.locator(".leaflet-live-pane path")).to_have_count(2)
    frame.get_by_role("button", name="Where am I?").click()
    expect(frame.locator(".leaflet-live-pane path")).to_have_count(0)
    assert page.faults == []
