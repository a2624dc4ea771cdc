"""What was typed in a sheet is applied exactly once, however often and in whatever pieces it is sent."""

from __future__ import annotations

import tempfile
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from sitemap.site.store import Store
from sitemap.views.holding import Holding
from sitemap.views.inputs.sheet.inbox import Inbox
from tests.site.builders import site_of, thing
from tests.views.conftest import store

ROWS, COLUMNS = ("p", "pile-new"), ("name", "height_m", "wood")


def edit(number: int, *cells: tuple[str, str, str], client: str = "c", **more: Any) -> dict[str, Any]:
    base = {"client": client, "n": number, "sheet": more.pop("link", "") + "/pile", "units": "metric", "gone": []}
    return base | {"cells": [list(cell) for cell in cells]} | more


def of(link: str, *edits: dict[str, Any]) -> list[dict[str, Any]]:
    return [each | {"sheet": f"{link}/pile"} for each in edits]


def test_law_a_queue_sent_twice_is_applied_once_and_undone_once() -> None:
    kept = store().create(site_of())
    inbox = Inbox()
    queue = of(kept.link, edit(1, ("pile-new", "name", "P1")), edit(2, ("pile-new", "height_m", "2,5")))
    inbox.take(store(), queue[:1])
    inbox.take(store(), queue)
    inbox.take(store(), queue)
    (heap,) = store().open(kept.link).site.of_kind("pile")
    assert (heap.id, heap.name, heap.number("height_m")) == ("pile-new", "P1", 2.5)
    assert inbox.acknowledged(["c", "d"]) == {"c": 2}
    assert [each.label for each in store().history(kept.link)] == ["Grid: Height of heap P1", "Grid: Name of heap P1"]
    store().undo(kept.link)
    inbox.take(store(), queue)
    (heap,) = store().open(kept.link).site.of_kind("pile")
    assert heap.number("height_m") is None  # what was taken back is not typed again


CELLS = st.tuples(st.sampled_from(ROWS), st.sampled_from(COLUMNS), st.sampled_from(["", "2", "3.5", "oak", "P9"]))


@given(
    st.lists(st.lists(CELLS, min_size=1, max_size=3), min_size=1, max_size=6),
    st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6)), max_size=8),
)
def test_law_any_resending_comes_to_the_same_site_as_sending_each_edit_once(
    typed: list[list[tuple[str, str, str]]], sendings: list[tuple[int, int]]
) -> None:
    """Each message holds all edits from the first unacknowledged on, as far as they were typed by then."""
    edits = [edit(number, *cells) for number, cells in enumerate(typed, 1)]
    start = site_of(thing("p", geometry=None, name="P1"))
    with tempfile.TemporaryDirectory() as folder:
        own = Store(folder)
        once, again = own.create(start).link, own.create(start).link
        for each in edits:
            Inbox().take(own, of(once, each))
        inbox, sent = Inbox(), 0
        for more, seen in sendings:
            sent = min(len(edits), sent + more)
            acknowledged = min(seen, inbox.acknowledged("c").get("c", 0))  # an old answer, or none
            inbox.take(own, of(again, *edits[acknowledged:sent]))
        inbox.take(own, of(again, *edits[inbox.acknowledged("c").get("c", 0) :]))
        assert own.open(again).site.features == own.open(once).site.features
        assert len(own.history(again)) == len(own.history(once))


def test_law_rows_taken_away_are_one_edit_and_come_back() -> None:
    kept = store().create(site_of(thing("p", name="P1"), thing("q", name="P2")))
    Inbox().take(store(), of(kept.link, edit(1, gone=["p"])))
    assert [heap.id for heap in store().open(kept.link).site.of_kind("pile")] == ["q"]
    assert store().open(kept.link).undo == "Grid: heap P1 taken away"
    assert [heap.id for heap in store().undo(kept.link).site.of_kind("pile")] == ["p", "q"]


def test_law_numbers_are_in_the_units_that_stood_over_them() -> None:
    """Ten feet are 3.048 m (international foot, NIST SP 811), also when the site went over to metres meanwhile."""
    kept = store().create(site_of(thing("p", geometry=None, height_m=10.0)))
    Inbox().take(store(), of(kept.link, edit(1, ("p", "height_m", "10"), units="us")))
    assert store().open(kept.link).site.get("p").number("height_m") == 3.048


def test_law_two_pages_type_side_by_side() -> None:
    kept = store().create(site_of(thing("p", name="P1")))
    inbox = Inbox()
    inbox.take(store(), of(kept.link, edit(1, ("p", "height_m", "2"))))
    inbox.take(store(), of(kept.link, edit(1, ("p", "width_m", "5"), client="d")))
    heap = store().open(kept.link).site.get("p")
    assert (heap.number("height_m"), heap.number("width_m")) == (2, 5)
    assert inbox.rows_of(["c"]) == {"p"}


def test_law_what_two_tabs_typed_in_one_cell_is_offered_in_the_tab_that_typed_last() -> None:
    kept = store().create(site_of(thing("p", name="P1", height_m=1)))
    tab = Holding(kept, drawn=kept, shown=kept)
    store().save(kept.link, kept.site, kept.site.put(kept.site.get("p").with_values(height_m=3)), "In another tab")
    Inbox().take(store(), of(kept.link, edit(1, ("p", "height_m", "2"))), tab)
    assert len(tab.clashes) == 1
    other = Holding(store().create(site_of()))
    Inbox().take(store(), of(kept.link, edit(2, ("p", "height_m", "4"))), other)  # typed in a tab of another site
    assert store().open(kept.link).site.get("p").number("height_m") == 4
    assert other.clashes == []


def test_refuses_what_is_no_edit_and_forgets_a_site_taken_away() -> None:
    kept = store().create(site_of(thing("p", name="P1")))
    inbox = Inbox()
    inbox.take(store(), None)
    inbox.take(
        store(), [7, *of(kept.link, edit(1, ("p", "kind", "gate"))), *of("nowhere", edit(2, ("p", "name", "x")))]
    )
    assert store().open(kept.link).site == kept.site
    assert inbox.acknowledged("c") == {"c": 2}
