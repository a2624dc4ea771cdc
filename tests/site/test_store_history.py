"""Two tabs on one site, and its history: nothing is undone, mixed or lost without being told."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import Overtaken
from sitemap.site.merging import NOTHING, Change, Clash
from sitemap.site.model import Site
from sitemap.site.store import Store
from sitemap.site.store_rows import value_in, with_value
from tests.properties import examples
from tests.site.test_store import histories, ids, pile


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "kept")


# ---------------------------------------------------------------- two tabs


def test_law_two_tabs_do_not_undo_each_other(store: Store) -> None:
    old = store.create(Site((pile("a", height_m=1), pile("b", height_m=1))).with_member("name", "N"))
    store.save(old.link, old.site, old.site.put(pile("a", height_m=2)).put(pile("c")), "First tab")
    second = store.save(
        old.link, old.site, old.site.put(pile("b", height_m=3)).put(pile("d")).with_member("units", "us"), "Second tab"
    )
    assert ids(second) == ["a", "b", "c", "d"]
    assert [feature.number("height_m") for feature in second.site.features] == [2, 3, None, None]
    assert (second.site.name, second.site.units) == ("N", "us")
    first = store.undo(old.link)
    assert ids(first) == ["a", "b", "c"]
    assert [feature.number("height_m") for feature in first.site.features] == [2, 1, None]


def test_law_what_the_other_tab_deleted_comes_back_when_it_is_changed_here(store: Store) -> None:
    old = store.create(Site((pile("a"), pile("b"))))
    store.save(old.link, old.site, old.site.without("a"), "Delete")
    assert ids(store.save(old.link, old.site, old.site.put(pile("a", height_m=2)), "Change")) == ["b", "a"]
    assert ids(store.undo(old.link)) == ["b"]
    assert ids(store.undo(old.link)) == ["a", "b"]


def test_law_fields_of_one_thing_changed_in_two_tabs_are_both_kept(store: Store) -> None:
    old = store.create(Site((pile("a", height_m=1, name="P1"),)).with_member("crew", {"adults": 2}))
    store.save(old.link, old.site, old.site.put(pile("a", height_m=2, name="P1")), "First tab")
    mine = old.site.put(pile("a", height_m=1, name="Oak")).with_member("crew", {"adults": 2, "leader": "A"})
    kept = store.save(old.link, old.site, mine, "Second tab")
    assert kept.site.get("a") == pile("a", height_m=2, name="Oak")
    assert kept.clashes == ()


def test_law_one_field_changed_in_two_tabs_is_told_with_both_values(store: Store) -> None:
    old = store.create(Site((pile("a", height_m=1),)))
    store.save(old.link, old.site, old.site.put(pile("a", height_m=2)), "First tab")
    kept = store.save(old.link, old.site, old.site.put(pile("a", height_m=3)), "Second tab")
    path = ("feature:a", "properties", "height_m")
    assert kept.clashes == (Clash(path, 1, 3, 2),)
    assert value_in(kept.site, path) == 3
    assert value_in(with_value(kept.site, path, 2), path) == 2
    assert store.undo(old.link).site.get("a") == pile("a", height_m=2)


def test_law_deleted_in_one_tab_and_changed_in_the_other_is_told(store: Store) -> None:
    old = store.create(Site((pile("a", height_m=1), pile("b"))))
    changed = old.site.put(pile("a", height_m=2))
    store.save(old.link, old.site, changed, "Changed")
    kept = store.save(old.link, old.site, old.site.without("a"), "Deleted")
    (clash,) = kept.clashes
    assert (clash.path, clash.mine, ids(kept)) == (("feature:a",), NOTHING, ["b"])
    assert with_value(kept.site, clash.path, clash.theirs).get("a") == changed.get("a")
    kept = store.save(old.link, changed, changed.put(pile("a", height_m=3)), "Changed again")
    (clash,) = kept.clashes
    assert (clash.theirs, ids(kept)) == (NOTHING, ["b", "a"])
    assert ids(replace(kept, site=with_value(kept.site, clash.path, clash.theirs))) == ["b"]


def test_law_two_things_that_came_by_one_id_are_not_mixed(store: Store) -> None:
    old = store.create(Site())
    store.save(old.link, old.site, old.site.put(pile("a", height_m=1)), "First tab")
    kept = store.save(old.link, old.site, old.site.put(pile("a", name="Mine")), "Second tab")
    assert kept.site.get("a") == pile("a", name="Mine")
    assert kept.clashes[0].theirs["properties"] == {"kind": "pile", "height_m": 1}


def test_law_undo_takes_back_the_edit_it_is_asked_for_and_no_other(store: Store) -> None:
    old = store.create(Site((pile("a", height_m=1), pile("b", height_m=1))))
    mine = store.save(old.link, old.site, old.site.put(pile("a", height_m=2)), "Mine")
    store.save(old.link, mine.site, mine.site.put(pile("b", height_m=5)), "Theirs")
    kept = store.undo(old.link, mine.number)
    assert [feature.number("height_m") for feature in kept.site.features] == [1, 5]
    assert kept.undo == "Taken back: Mine"
    assert store.undo(old.link).site.get("a") == pile("a", height_m=2)


def test_refuses_to_take_back_what_was_changed_again_or_is_taken_back(store: Store) -> None:
    old = store.create(Site((pile("a", height_m=1),)))
    mine = store.save(old.link, old.site, old.site.put(pile("a", height_m=2)), "Mine")
    other = store.save(old.link, mine.site, mine.site.put(pile("a", height_m=5)), "Theirs")
    with pytest.raises(Overtaken, match="“Mine” is not taken back: what it changed was changed again"):
        store.undo(old.link, mine.number)
    assert store.open(old.link) == replace(other, clashes=())
    store.undo(old.link, other.number)
    before = store.undo(old.link, mine.number)
    with pytest.raises(Overtaken, match="“Mine” is taken back already"):
        store.undo(old.link, mine.number)
    assert store.open(old.link) == before
    new = store.save(old.link, before.site, before.site.put(pile("c")), "Add c")
    with pytest.raises(Overtaken, match="“Mine” is not done again"):
        store.redo(old.link, mine.number)
    assert store.open(old.link) == new


# ---------------------------------------------------------------- history


@examples(40)
@given(states=histories(), data=st.data())
def test_law_any_point_of_the_history_can_be_seen_and_restored_and_no_later_one_is_lost(
    states: list[Site], data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Edits, undo and redo in any order: every state there ever was is found under its number, to the end."""
    store = Store(tmp_path_factory.getbasetemp() / "history")
    kept = store.create(states[0])
    seen = {0: states[0]}
    for after in states[1:]:
        for _ in range(data.draw(st.integers(0, 2))):
            kept = store.undo(kept.link)
        kept = store.save(kept.link, kept.site, after, "Edit")
        seen[kept.number] = kept.site
        if data.draw(st.booleans()):
            kept = store.redo(store.undo(kept.link).link)
    numbers = [each.number for each in store.history(kept.link)]
    assert numbers == sorted(seen.keys() - {0}, reverse=True)
    for number, site in seen.items():
        assert store.at(kept.link, number) == site
    number = data.draw(st.sampled_from(sorted(seen)))
    back = store.restore(kept.link, number, "Back")
    assert back.site == seen[number]
    assert ids(back) == [feature.id for feature in seen[number].features]
    assert numbers == [each.number for each in store.history(kept.link)][-len(numbers) :]
    if back.site != kept.site:
        assert store.undo(kept.link).site == kept.site


def test_law_the_history_says_what_each_edit_changed(store: Store) -> None:
    kept = store.create(Site((pile("a", height_m=1),)))
    kept = store.save(kept.link, kept.site, kept.site.put(pile("a", height_m=2)), "Height")
    kept = store.save(kept.link, kept.site, kept.site.with_member("name", "Oak").put(pile("b")), "Name")
    named, higher = store.history(kept.link)
    assert higher.changes == (Change(("feature:a", "properties", "height_m"), 1, 2),)
    assert {change.path for change in named.changes} == {("feature:b",), ("member:name",)}
    assert [each.label for each in store.history(kept.link, 1)] == ["Name"]
