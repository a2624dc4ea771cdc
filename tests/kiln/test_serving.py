"""Which kiln gets what: shares by what each burns an hour, worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sitemap.kiln.serving import Place, shares
from sitemap.kiln.values import Stock
from sitemap.ranges import Drawn

SCATTERED = Stock("scattered_slash", "Scattered slash", (0.0, 0.0), Drawn.exact(6.0), None, ("t1", "t2"))
HEAP = Stock("p1", "P1", (0.0, 0.0), Drawn.exact(3.0), None)


def place(name: str, x: float, rate: float, *serves: str) -> Place:
    return Place(name, name.upper(), (x, 0.0), serves, rate)


def given(*places: Place) -> dict[str, list[tuple[str, float]]]:
    found, _, _ = shares(places, (HEAP, SCATTERED))
    return {key: [(share.stock.id, share.fraction) for share in parts] for key, parts in found.items()}


def test_law_scattered_slash_is_shared_so_that_all_end_together() -> None:
    """3 t in the heap beside A and 6 t scattered, 9 t for 144 and 96 kg/h: A burns 5.4 and B 3.6 t in 37.5 h.

    So A takes 2.4 of the 6 t, 0.4, and B 0.6. Without the heap the rates alone share it, 0.6 and 0.4.
    """
    found = given(place("a", 5.0, 144.0), place("b", 300.0, 96.0))
    assert found["a"] == [("p1", 1.0), ("scattered_slash", pytest.approx(0.4))]
    assert found["b"] == [("scattered_slash", pytest.approx(0.6))]
    parts, assumed, unknowns = shares((place("a", 5.0, 144.0), place("b", 300.0, 96.0)), (SCATTERED,))
    assert [share.fraction for key in "ab" for share in parts[key]] == pytest.approx([0.6, 0.4])
    assert [note.what for note in assumed] == ["shared_by_all"]
    assert unknowns == ()


def test_law_a_kiln_with_more_than_its_part_takes_none_of_it() -> None:
    """30 t beside A, 3 t scattered: B is through with all of it long before."""
    large, little = (
        replace(HEAP, char_stock_dry_t=Drawn.exact(30.0)),
        replace(SCATTERED, char_stock_dry_t=Drawn.exact(3.0)),
    )
    parts, _, _ = shares((place("a", 5.0, 144.0), place("b", 300.0, 96.0)), (large, little))
    assert [share.stock.id for share in parts["a"]] == ["p1"]
    assert [share.fraction for share in parts["b"]] == pytest.approx([1.0])


def test_law_a_kiln_that_serves_a_line_takes_what_lies_scattered() -> None:
    found = given(place("a", 5.0, 144.0), place("b", 300.0, 96.0, "t2"))
    assert found == {"a": [("p1", 1.0)], "b": [("scattered_slash", 1.0)]}


def test_law_scattered_slash_waits_for_a_kiln_that_is_not_known() -> None:
    found, _, unknowns = shares((place("a", 5.0, 144.0),), (SCATTERED,), frozenset({"t1"}))
    assert found == {"a": ()}
    assert [note.what for note in unknowns] == ["heap_without_kiln"]


def test_law_one_kiln_takes_all() -> None:
    assert given(place("a", 5.0, 144.0)) == {"a": [("p1", 1.0), ("scattered_slash", 1.0)]}
