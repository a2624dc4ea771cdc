"""The store: nothing entered is ever lost, by undo, by two tabs, by a refresh or by a kill."""

from __future__ import annotations

import itertools
import json
import os
import random
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadFile, BadSiteFile, Overtaken
from sitemap.site.file import parse_site, site_text
from sitemap.site.merging import NOTHING, Change, Clash
from sitemap.site.model import Feature, Site
from sitemap.site.store import Kept, Store
from sitemap.site.store_rows import value_in, with_value
from tests.properties import examples, thorough
from tests.site.builders import point, site_of, thing
from tests.site.test_file import site_files

ROOT = Path(__file__).parents[2]


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "kept")


def pile(id: str, **said: Any) -> Feature:  # noqa: A002
    return Feature.of(id, point(), {"kind": "pile", **said})


def ids(kept: Kept) -> list[str]:
    return [feature.id for feature in kept.site.features]


# ---------------------------------------------------------------- kept and opened again


def test_law_a_site_is_opened_again_by_its_link(store: Store) -> None:
    site = site_of(
        thing("b", height_m=2), thing("a", geometry=None), site={"name": "Senke Ω", "blank": None}, own=[1, {}]
    )
    link = store.create(site).link
    again = Store(store.folder).open(link)
    assert again == Kept(link, site, 0, None, None)
    assert ids(again) == ["b", "a"]
    assert store.create(site).link != link


@examples(60)
@given(raw=site_files())
def test_law_every_readable_site_is_kept_as_it_is(
    raw: dict[str, Any], tmp_path_factory: pytest.TempPathFactory
) -> None:
    store = Store(tmp_path_factory.getbasetemp() / "every")
    site = parse_site(json.dumps(raw))
    kept = store.create(site)
    assert kept.site == site
    assert [f.id for f in kept.site.features] == [f.id for f in site.features]
    emptied = store.save(kept.link, site, Site(), "Empty")
    assert emptied.site == Site()
    assert store.undo(kept.link).site == site
    assert parse_site(site_text(site)) == store.open(kept.link).site


def test_refuses_a_link_it_does_not_know(store: Store) -> None:
    for use in (store.open, store.undo, store.redo, lambda link: store.save(link, Site(), Site((pile("a"),)), "x")):
        with pytest.raises(BadSiteFile, match="'no-such-link'"):
            use("no-such-link")
    assert store.revision("no-such-link") is None


def test_law_sites_are_listed_last_used_first(store: Store) -> None:
    first = store.create(site_of(site={"name": "First"})).link
    second = store.create(site_of()).link
    with closing(sqlite3.connect(store.folder / "sites.db")) as db, db:
        db.execute("UPDATE site SET used = '2020-01-01' WHERE link = ?", (first,))
    assert [(line.link, line.name) for line in store.sites()] == [(second, "Site without a name"), (first, "First")]
    store.save(first, store.open(first).site, store.open(first).site.with_member("name", "Renamed"), "Name")
    assert len(store.sites(1)) == 1
    assert {line.name for line in store.sites()} == {"Site without a name", "Renamed"}


def test_law_a_site_put_away_is_out_of_the_list_and_loses_nothing(store: Store) -> None:
    first, second = (store.create(site_of(site={"name": name})) for name in ("First", "Second"))
    store.put_away(first.link)
    assert [line.name for line in store.sites()] == ["Second"]
    assert [line.name for line in store.sites(away=True)] == ["First"]
    assert store.open(first.link) == first
    store.bring_back(first.link)
    assert {line.link for line in store.sites()} == {first.link, second.link}
    with pytest.raises(BadSiteFile):
        store.put_away("no-such-link")


# ---------------------------------------------------------------- undo and redo


@st.composite
def histories(draw: st.DrawFn) -> list[Site]:
    """A site and what it became edit by edit: things added, changed, deleted; members set and taken away."""
    site = Site(tuple(pile(f"p{n}") for n in range(draw(st.integers(0, 3)))))
    states = [site]
    for number in range(draw(st.integers(1, 8))):
        present = [feature.id for feature in site.features]
        match draw(st.sampled_from(["add", "change", "delete", "several", "member", "gone"])):
            case "change" if present:
                site = site.put(pile(draw(st.sampled_from(present)), height_m=number + 1))
            case "delete" if present:
                site = site.without(draw(st.sampled_from(present)))
            case "several" if present:
                site = site.without(present[0]).put(pile(f"z{number}")).put(pile(f"a{number}"))
            case "member":
                site = site.with_member(
                    draw(st.sampled_from(["name", "crew"])), draw(st.sampled_from(["x", {"adults": 2}]))
                )
            case "gone":
                site = site.with_member("name", None)
            case _:
                site = site.put(pile(f"q{number}"))
        states.append(site)
    return states


@examples(40)
@given(states=histories())
def test_law_undo_goes_to_the_beginning_and_redo_to_the_end(
    states: list[Site], tmp_path_factory: pytest.TempPathFactory
) -> None:
    store = Store(tmp_path_factory.getbasetemp() / "undo")
    link = store.create(states[0]).link
    kept = [states[0]]
    for before, after in itertools.pairwise(states):
        now = store.save(link, before, after, "Edit")
        assert now.site == after
        assert ids(now) == [feature.id for feature in after.features]
        if now.site != kept[-1]:
            kept.append(now.site)
    for earlier in reversed(kept[:-1]):
        assert store.undo(link).site == earlier
    start = store.undo(link)
    assert (start.site, start.undo) == (states[0], None)
    for later in kept[1:]:
        assert store.redo(link).site == later
    assert store.redo(link).redo is None
    assert len(store.history(link)) == len(kept) - 1


def test_law_a_new_edit_begins_a_line_of_its_own_and_the_history_keeps_the_other(store: Store) -> None:
    kept = store.create(Site())
    for name in ("one", "two", "three"):
        kept = store.save(kept.link, kept.site, kept.site.put(pile(name)), f"Add {name}")
    assert (kept.undo, kept.redo) == ("Add three", None)
    kept = store.undo(kept.link)
    kept = store.undo(kept.link)
    assert (kept.undo, kept.redo) == ("Add one", "Add two")
    kept = store.save(kept.link, kept.site, kept.site.put(pile("four")), "Add four")
    assert (ids(kept), kept.undo, kept.redo) == (["one", "four"], "Add four", None)
    assert ids(store.redo(kept.link)) == ["one", "four"]
    assert [(each.label, each.stands) for each in store.history(kept.link)] == [
        ("Add four", True),
        ("Add three", False),
        ("Add two", False),
        ("Add one", True),
    ]
    assert [each.id for each in store.at(kept.link, 3).features] == ["one", "two", "three"]
    kept = store.undo(kept.link)
    assert (kept.undo, kept.redo) == ("Add one", "Add four")


def test_law_an_edit_that_changes_nothing_is_none(store: Store) -> None:
    kept = store.create(Site((pile("a"),)))
    same = store.save(kept.link, kept.site, Site((pile("a"),)), "Nothing")
    assert (same.revision, same.undo, store.history(kept.link)) == (0, None, ())
    assert store.undo(kept.link).revision == 0


def test_law_the_revision_grows_with_every_change(store: Store) -> None:
    kept = store.create(Site())
    link, seen = kept.link, [kept.revision]
    for change in (
        lambda: store.save(link, Site(), Site((pile("a"),)), "Add"),
        lambda: store.undo(link),
        lambda: store.redo(link),
    ):
        seen.append(change().revision)
        assert store.revision(link) == seen[-1]
    assert seen == sorted(set(seen))


def test_law_features_keep_their_order(store: Store) -> None:
    """Changed features stay where they were, deleted ones come back there, new ones come last in their own order."""
    kept = store.create(Site(tuple(pile(name) for name in "cab")))
    link = kept.link
    changed = store.save(link, kept.site, kept.site.put(pile("a", height_m=3)), "Change")
    assert ids(changed) == ["c", "a", "b"]
    store.save(link, changed.site, changed.site.without("a"), "Delete")
    assert ids(store.undo(link)) == ["c", "a", "b"]
    site = changed.site.put(pile("z10")).put(pile("z2")).put(pile("aa"))
    assert ids(store.save(link, changed.site, site, "Import")) == ["c", "a", "b", "z10", "z2", "aa"]


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


# ---------------------------------------------------------------- other processes, and kills


def saver(folder: Path, link: str, mark: str, edits: int) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "tests.site.saver", str(folder), link, mark, str(edits)]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)


def test_law_two_processes_write_at_once_and_lose_nothing(store: Store) -> None:
    link = store.create(Site()).link
    both = [saver(store.folder, link, mark, 25) for mark in ("left", "right")]
    for process in both:
        output, _ = process.communicate(timeout=120)
        assert process.returncode == 0
        assert len(output.split()) == 26
    kept = store.open(link)
    assert sorted(ids(kept)) == sorted(f"{mark}-{n}" for mark in ("left", "right") for n in range(25))
    assert kept.revision == 50
    for _ in range(50):
        store.undo(link)
    assert store.open(link).site == Site()


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system kills in no way a process cannot notice")
def test_law_a_kill_in_the_middle_of_saving_loses_no_finished_edit(store: Store) -> None:
    """Kills, each after a number of edits and a wait, both drawn from a seed: six every day, twenty when thorough."""
    dice = random.Random(9)
    link = store.create(Site()).link
    done: set[str] = set()
    for turn in range(20 if thorough() else 6):
        process = saver(store.folder, link, f"t{turn}", 10_000)
        assert process.stdout is not None
        for line in process.stdout:
            if line.strip() != "ready":
                done.add(line.strip())
            if len(done) >= turn * 3 + dice.randrange(1, 4):
                break
        spin(dice.randrange(0, 60_000))
        os.kill(process.pid, signal.SIGKILL)
        done |= {line for line in process.stdout.read().split() if line != "ready"}
        process.wait()
        process.stdout.close()
        kept = Store(store.folder).open(link)
        there = set(ids(kept))
        assert done <= there
        assert len(there - done) <= turn + 1  # at most the one edit that was done and not yet said, each turn
        assert kept.site.name in there
        assert kept.revision == len(store.history(link, 10_000)) == len(there)
    with closing(sqlite3.connect(store.folder / "sites.db")) as db:
        assert db.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert ids(store.undo(link)) == ids(kept)[:-1]


def spin(rounds: int) -> None:
    """Pass a little time that differs from turn to turn, without a clock."""
    for _ in range(rounds):
        pass


@pytest.mark.parametrize("module", ["sitemap.site.store", "sitemap.site.check", "sitemap.site.bundle"])
def test_law_the_store_needs_no_page_map_or_table_library(module: str) -> None:
    """A page that was killed is open again at once: the store imports in a fraction of a second."""
    heavy = [
        "geopandas",
        "pandas",
        "streamlit",
        "folium",
        "rasterio",
        "matplotlib",
        "pyogrio",
        "scipy",
        "pyproj",
        "typst",
    ]
    code = f"import sys, {module}; print([name for name in {heavy} if name in sys.modules])"
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


# ---------------------------------------------------------------- files that belong to a site


def test_law_a_file_is_kept_once_under_its_content(store: Store) -> None:
    digest = store.keep_file(b"abc")
    # sha256 of "abc": FIPS 180-4 example, from memory
    assert digest == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert store.keep_file(b"abc") == digest
    assert store.file(digest).read_bytes() == b"abc"
    assert [path.name for path in (store.folder / "files").iterdir()] == [digest]
    assert store.file(store.keep_file(b"")).read_bytes() == b""


@pytest.mark.parametrize("digest", ["", "0" * 64, "../sites.db", "A" * 64, "0" * 63 + "/", "0" * 63 + "\x00"])
def test_refuses_files_it_does_not_keep(store: Store, digest: str) -> None:
    with pytest.raises(BadFile, match="add it again"):
        store.file(digest)
