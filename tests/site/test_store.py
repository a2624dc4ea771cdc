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
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadFile, BadSiteFile
from sitemap.site.file import parse_site, site_text
from sitemap.site.model import Feature, Site
from sitemap.site.store import Kept, Store
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
    assert {(line.name, line.edited) for line in store.sites()} == {("Site without a name", False), ("Renamed", True)}


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
    """Kills, each after a number of edits and a wait, both drawn from a seed: six every day, 200 when thorough."""
    dice = random.Random(9)
    for turn in range(200 if thorough() else 6):
        if turn % 20 == 0:  # a site that grows and grows would only take time
            link, done = store.create(Site()).link, set[str]()
        process, before = saver(store.folder, link, f"t{turn}", 10_000), len(done)
        assert process.stdout is not None
        for line in process.stdout:
            if line.strip() != "ready":
                done.add(line.strip())
            if len(done) >= before + dice.randrange(1, 4):
                break
        spin(dice.randrange(0, 60_000))
        os.kill(process.pid, signal.SIGKILL)
        done |= {line for line in process.stdout.read().split() if line != "ready"}
        process.wait()
        process.stdout.close()
        kept = Store(store.folder).open(link)
        there = set(ids(kept))
        assert done <= there
        assert len(there - done) <= turn % 20 + 1  # at most the one edit that was done and not yet said, each turn
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


def test_law_an_edit_leaves_every_other_thing_the_very_one_it_was(store: Store) -> None:
    """What was read of ten thousand heaps is kept with them: one edited must not have the others read anew."""
    held = store.create(Site((pile("p1"), pile("p2"))))
    after = store.save(held.link, held.site, held.site.put(held.site.features[0].with_values(height_m=2)), "Height")
    assert after.site.features[1] is held.site.features[1]
    assert after.site.features[0].number("height_m") == 2
    assert store.undo(held.link).site == held.site
