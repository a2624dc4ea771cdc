"""What two people made of one site, laid together field by field."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.site.merging import NOTHING, Clash, changes, merged, put_at, same, value_at
from tests.properties import examples

leaves = st.none() | st.booleans() | st.integers(-3, 3) | st.sampled_from(["", "a", "b"])
names = st.sampled_from(["a", "b", "geometry", "c"])
things = st.lists(
    st.builds(lambda id_, height: {"id": id_, "height": height}, st.sampled_from("pqr"), leaves),
    max_size=3,
    unique_by=lambda each: each["id"],
)
rows = st.lists(st.builds(lambda text: {"text": text}, leaves), max_size=4)
values = st.dictionaries(names, leaves | things | rows | st.dictionaries(names, leaves, max_size=3), max_size=4)


@examples(200)
@given(read=values, mine=values)
def test_law_what_one_person_made_is_taken_whole(read: Any, mine: Any) -> None:
    assert same(merged(read, mine, read)[0], mine)
    assert same(merged(read, read, mine)[0], mine)
    assert same(merged(read, mine, mine)[0], mine)
    assert all(not merged(read, *pair)[1] for pair in ((mine, read), (read, mine), (mine, mine)))


@examples(200)
@given(read=values, mine=values, theirs=values)
def test_law_nothing_anybody_typed_is_gone_without_being_told(read: Any, mine: Any, theirs: Any) -> None:
    """Every value one of them made stands in the result, or in a clash with the other's."""
    before = copy.deepcopy((read, mine, theirs))
    result, clashes = merged(read, mine, theirs)
    assert (read, mine, theirs) == before
    for clash in clashes:
        assert same(value_at(result, clash.path), clash.mine)
        assert not same(clash.mine, clash.theirs)
        assert not same(clash.mine, clash.read)
        assert not same(clash.theirs, clash.read)
    heard = repr((result, clashes))
    for made in (mine, theirs):
        for change in changes(read, made):
            if change.after is not NOTHING and "geometry" not in change.path:
                assert repr(change.after) in heard or same(value_at(result, change.path), change.after)


@examples(100)
@given(before=values, after=values)
def test_law_the_changes_lead_from_one_to_the_other(before: Any, after: Any) -> None:
    now = before
    for change in changes(before, after):
        assert same(value_at(now, change.path), change.before)
        now = put_at(now, change.path, change.after)
    assert same(now, after)


def test_law_different_fields_and_different_things_go_together() -> None:
    read = {"pumps": [{"id": "a", "head": 3, "flow": 9}, {"id": "b"}], "name": "N"}
    mine = {"pumps": [{"id": "a", "head": 4, "flow": 9}, {"id": "b"}], "name": "N"}
    theirs = {"pumps": [{"id": "a", "head": 3, "flow": 8}, {"id": "b"}, {"id": "c"}], "name": "M"}
    both = {"pumps": [{"id": "a", "head": 4, "flow": 8}, {"id": "b"}, {"id": "c"}], "name": "M"}
    assert merged(read, mine, theirs) == (both, [])


@pytest.mark.parametrize(
    ("mine", "theirs", "both"),
    [
        (["a", "b", "m"], ["a", "b", "t"], ["a", "b", "t", "m"]),  # both add a row
        (["b"], ["a", "b", "t"], ["b", "t"]),  # one takes the first away, one adds
        (["A", "b"], ["a", "B"], ["A", "B"]),  # each changes a row of its own
        (["m", "a", "b"], ["a", "B"], ["m", "a", "B"]),
        (["a"], ["a"], ["a"]),
    ],
)
def test_law_rows_are_laid_together(mine: list[str], theirs: list[str], both: list[str]) -> None:
    """As people do who merge two copies of a list by hand: rows touched on one side only are taken from there."""
    read, *others = ([{"text": text} for text in texts] for texts in (["a", "b"], mine, theirs))
    assert merged(read, *others) == ([{"text": text} for text in both], [])


def test_law_one_row_changed_twice_is_told_by_its_field() -> None:
    read, mine, theirs = ([{"kiln": kiln, "buckets": n}] for kiln, n in (("K1", 1), ("K1", 2), ("K2", 3)))
    assert merged(read, mine, theirs) == ([{"kiln": "K2", "buckets": 2}], [Clash((0, "buckets"), 1, 2, 3)])


def test_law_a_shape_is_never_taken_apart() -> None:
    read, mine, theirs = ({"geometry": {"coordinates": [x, y]}} for x, y in ((0, 0), (1, 0), (0, 1)))
    assert [clash.path for clash in merged(read, mine, theirs)[1]] == [("geometry",)]


def test_law_deleted_here_and_changed_there_is_a_clash_as_a_whole() -> None:
    read, theirs = {"things": {"height": 1}}, {"things": {"height": 2}}
    assert merged(read, {}, theirs) == ({}, [Clash(("things",), {"height": 1}, NOTHING, {"height": 2})])
    assert merged(read, theirs, {}) == (theirs, [Clash(("things",), {"height": 1}, {"height": 2}, NOTHING)])
