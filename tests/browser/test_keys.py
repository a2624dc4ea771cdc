"""The map without a mouse."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Visit, map_of
from tests.browser.hand import middle
from tests.browser.map_hand import changed, held, symbol

#  Whether the cross lies on a sign, now or within the next frames: a map just drawn anew sets it a moment later, and
#  has another sign for the thing then.
CROSS_COMES = """(first) => new Promise((told) => {
  const middle = (box) => [box.left + box.width / 2, box.top + box.height / 2];
  let left = 600;
  const look = () => {
    const same = `.pit-icon[data-feature="${first.dataset.feature}"]`;
    const sign = first.isConnected ? first : document.querySelector(same) ?? first;
    const [x, y] = middle(sign.getBoundingClientRect());
    const [cx, cy] = middle(document.querySelector(".pit-cross").getBoundingClientRect());
    if (Math.hypot(x - cx, y - cy) <= 1.5) told(true);
    else if ((left -= 1) > 0) requestAnimationFrame(look);
    else told(false);
  };
  look();
})"""


def test_law_everything_on_the_map_is_done_without_a_mouse(at_map: Visit) -> None:
    """Choose a tool, set a point and an outline, open what stands under the cross, carry it off: by keys alone."""
    frame, keys = map_of(at_map), at_map.keyboard
    spot = held(at_map, 0)["shapes"]["spot"]["coordinates"]

    def press(*names: str) -> None:
        for name in names:
            keys.press(name)

    def tool(label: str) -> None:
        frame.get_by_role("button", name="+ Add").focus()
        press("Enter")
        expect(frame.get_by_role("region", name="Choose what to add")).to_be_focused()
        frame.locator(".pit-kind", has_text=label).focus()
        press("Enter")
        expect(frame.locator("#map_div")).to_be_focused()
        expect(frame.locator(".pit-keys")).to_contain_text("Enter sets a place")

    tool("Gate")
    press("ArrowRight", "ArrowRight", "Shift+ArrowUp")
    at = middle(frame.locator(".pit-cross"))
    press("Enter")
    ((kind, _, _),) = held(at_map, 1)["log"][-1]["added"]
    assert kind == "gate"
    new = frame.locator(f'[data-feature="{list(held(at_map, 1)["shapes"])[-1]}"]')
    assert middle(new) == pytest.approx(at, abs=1.5)
    tool("Char pad")
    frame.get_by_role("button", name="An outline").focus()
    press("Enter", *["ArrowDown"] * 8, "Enter", *["ArrowRight"] * 8, "Enter", *["ArrowDown"] * 8, "Enter")
    press(*["ArrowRight"] * 8, "Enter", "Backspace")
    press(*["ArrowLeft"] * 16, "Enter", "Enter")  # the same place again ends it
    ((kind, pad, _),) = held(at_map, 2)["log"][-1]["added"]
    assert (kind, len(pad["coordinates"][0])) == ("char_pad", 5)
    drawn = list(held(at_map, 2)["shapes"])[-1]
    frame.locator(f'[data-feature="{drawn}"]').first.wait_for()  # the map with it: what is drawn anew has its own view
    frame.locator("#map_div").focus()
    press("n")
    assert symbol(frame, "spot").evaluate(CROSS_COMES)
    for width in (900, 1280):  # another size of the frame moves the map: the cross stays on its sign
        at_map.set_viewport_size({"width": width, "height": 900})
        assert symbol(frame, "spot").evaluate(CROSS_COMES)
    press("Enter")
    held(at_map, 3)
    expect(frame.locator(".pit-says")).to_have_text("✕Kiln K1: not here")
    press("m", *["ArrowLeft"] * 8)
    frame.locator(".pit-live span").first.wait_for()
    press("Enter")
    state = held(at_map, 4)
    assert list(changed(state)) == ["spot"]
    assert state["shapes"]["spot"]["coordinates"][0] < spot[0]
    assert at_map.faults == []


def test_law_the_map_says_what_its_keys_do_and_the_cross_goes_on_where_it_was(at_map: Visit) -> None:
    """Found by a walk without a mouse: after *Another one* the words were those for choosing, not for drawing, the ring
    of the focus went with the first place set, and every heap was begun in the middle of the map again."""
    frame, keys = map_of(at_map), at_map.keyboard
    frame.locator("#map_div").focus()
    keys.press("a")
    expect(frame.get_by_role("region", name="Choose what to add")).to_be_focused()
    frame.locator(".pit-kind", has_text="Heap").focus()
    for key in ("Enter", "ArrowRight", "ArrowRight", "ArrowDown"):
        keys.press(key)
    at = middle(frame.locator(".pit-cross"))
    keys.press("Enter")
    held(at_map, 1)
    keys.press("Enter")  # chooses what was just set
    held(at_map, 2)
    expect(frame.locator(".pit-keys")).to_contain_text("A adds")
    assert frame.locator("#map_div").evaluate("map => getComputedStyle(map).outlineStyle") == "solid"
    frame.get_by_role("button", name="Another one").focus()
    keys.press("Enter")
    expect(frame.locator("#map_div")).to_be_focused()
    expect(frame.locator(".pit-keys")).to_contain_text("Enter again there finishes")
    assert middle(frame.locator(".pit-cross")) == pytest.approx(at, abs=1.5)
    keys.press("Escape")
    frame.get_by_role("button", name="+ Add").wait_for()
    assert at_map.faults == []


def test_law_keys_reach_far_things_as_fast_as_near_ones(at_map: Visit) -> None:
    """Found by a walk without a mouse: the last kind to add was thirty stops away, *Another one* nine, Esc left what
    was chosen as it was, and two quick presses of Enter that finish an outline enlarged the map as well."""
    frame, keys = map_of(at_map), at_map.keyboard
    div = frame.locator("#map_div")
    div.focus()
    scale = frame.locator(".pit-scale").inner_text()
    keys.press("a")
    keys.type("pow")
    expect(frame.locator(".pit-kind", has_text="Power line")).to_be_focused()
    keys.press("ArrowUp")
    expect(frame.locator(".pit-kind", has_text="Property line")).to_be_focused()
    keys.press("Enter")
    for key in ("Enter", "ArrowDown", "ArrowDown", "ArrowDown", "Enter", "Enter"):
        keys.press(key)
    held(at_map, 1)
    for key, said in (("o", " like "), ("Escape", "Edit")):
        keys.press("n")
        keys.press("Enter")
        frame.get_by_role("button", name="Done").wait_for()
        keys.press(key)
        expect(frame.locator(".pit-says").first).to_contain_text(said)
        keys.press("Escape")
        frame.get_by_role("button", name="Measure").wait_for()
    assert frame.locator(".pit-scale").inner_text() == scale
    frame.get_by_role("button", name="Measure").focus()
    keys.press("a")  # the letters of the map mean the same on its buttons
    expect(frame.get_by_role("region", name="Choose what to add")).to_be_focused()
    keys.press("Escape")
    expect(div).to_be_focused()
    assert at_map.faults == []
