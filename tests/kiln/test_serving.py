"""Which kiln gets what: shares by what each burns an hour, worked by hand."""

from __future__ import annotations

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


def test_law_scattered_slash_is_shared_by_all_kilns() -> None:
    """144 and 96 kg/h share 6 t as 0.6 and 0.4; the heap still goes whole to the kiln beside it."""
    found = given(place("a", 5.0, 144.0), place("b", 300.0, 96.0))
    assert found["a"] == [("p1", 1.0), ("scattered_slash", pytest.approx(0.6))]
    assert found["b"] == [("scattered_slash", pytest.approx(0.4))]
    _, assumed, unknowns = shares((place("a", 5.0, 144.0), place("b", 300.0, 96.0)), (SCATTERED,))
    assert [note.what for note in assumed] == ["shared_by_all"]
    assert unknowns == ()


def test_law_a_kiln_that_serves_a_line_takes_what_lies_scattered() -> None:
    found = given(place("a", 5.0, 144.0), place("b", 300.0, 96.0, "t2"))
    assert found == {"a": [("p1", 1.0)], "b": [("scattered_slash", 1.0)]}


def test_law_scattered_slash_waits_for_a_kiln_that_is_not_known() -> None:
    found, _, unknowns = shares((place("a", 5.0, 144.0),), (SCATTERED,), frozenset({"t1"}))
    assert found == {"a": ()}
    assert [note.what for note in unknowns] == ["heap_without_kiln"]


def test_law_one_kiln_takes_all() -> None:
    assert given(place("a", 5.0, 144.0)) == {"a": [("p1", 1.0), ("scattered_slash", 1.0)]}
