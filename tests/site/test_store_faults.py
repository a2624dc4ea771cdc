"""What a disk does to the store: each fault is one sentence, what was kept stays, nothing damaged is written over."""

from __future__ import annotations

import os
import random
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from functools import partial
from pathlib import Path

import pytest

from sitemap.errors import BadStore
from sitemap.site.model import Site
from sitemap.site.store import Store
from tests.properties import thorough
from tests.site.builders import site_of, thing


def pile(name: str) -> Site:
    return site_of(thing("p1", "pile", None, name=name), name="A site")


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "data", patience_s=0.02)


def opened(store: Store, pragma: str = "", **how: object) -> sqlite3.Connection:
    db = sqlite3.connect(f"file:{store.folder / 'sites.db'}?{how.get('mode', '')}", uri=True, isolation_level=None)
    db.execute(pragma or "SELECT 1")
    return db


@pytest.mark.parametrize(
    ("fault", "words"),
    [
        ({"pragma": "PRAGMA max_page_count = 1"}, "the disk is full; make room"),
        ({"mode": "mode=ro"}, "may only be read there; give leave to write"),
    ],
)
def test_refuses_to_save_where_the_disk_does(
    store: Store, monkeypatch: pytest.MonkeyPatch, fault: dict[str, str], words: str
) -> None:
    """SQLite itself says that the disk is full (it may take no page more) or that it may only read."""
    kept = store.create(pile("first"))
    with monkeypatch.context() as patch:
        patch.setattr(store, "_opened", partial(opened, store, **fault))
        with pytest.raises(BadStore, match=words) as told:
            store.save(kept.link, kept.site, pile("x" * 100_000), "Renamed")
    assert str(store.folder) in str(told.value)
    assert "Save the site as a file" in str(told.value)
    assert store.open(kept.link) == kept


def test_refuses_while_another_program_holds_the_sites(store: Store) -> None:
    kept = store.create(pile("first"))
    other = opened(store, "BEGIN IMMEDIATE")
    with pytest.raises(BadStore, match="another program holds them; close it"):
        store.save(kept.link, kept.site, pile("second"), "Renamed")
    other.execute("ROLLBACK")
    other.close()
    assert store.save(kept.link, kept.site, pile("second"), "Renamed").site == pile("second")


def _garbage(database: Path) -> None:
    database.write_bytes(b"this is a letter to a friend, and no database" * 100)


def _holes(database: Path) -> None:
    whole = database.read_bytes()
    database.write_bytes(whole[:4096] + b"\xff" * 4096 + whole[8192:])


@pytest.mark.parametrize("damage", [_garbage, _holes])
def test_law_a_damaged_database_is_moved_aside_and_never_written_over(
    tmp_path: Path, damage: Callable[[Path], None]
) -> None:
    first = Store(tmp_path)
    first.create(pile("first"))
    with opened(first, "PRAGMA wal_checkpoint(TRUNCATE)"):
        pass
    damage(tmp_path / "sites.db")
    content = (tmp_path / "sites.db").read_bytes()
    again = Store(tmp_path)
    assert again.moved_aside is not None
    assert (again.moved_aside / "sites.db").read_bytes() == content
    assert again.sites() == ()
    assert again.open(again.create(pile("second")).link).site == pile("second")


def test_refuses_a_database_of_a_newer_program_and_leaves_it_alone(tmp_path: Path) -> None:
    kept = Store(tmp_path).create(pile("first"))
    opened(Store(tmp_path), "PRAGMA user_version = 99").close()
    with pytest.raises(BadStore, match="written by a newer version of this program"):
        Store(tmp_path)
    database = sqlite3.connect(tmp_path / "sites.db")
    assert database.execute("SELECT link FROM site").fetchall() == [(kept.link,)]
    database.close()


def test_law_a_folder_taken_away_is_told_and_a_site_still_open_is_kept_again(store: Store) -> None:
    kept = store.create(pile("first"))
    shutil.rmtree(store.folder)
    with pytest.raises(BadStore, match="the folder is gone"):
        store.open(kept.link)
    again = Store(store.folder)
    assert again.revision(kept.link) is None
    assert again.put_back(kept).site == kept.site
    assert again.open(kept.link).site == kept.site


def test_law_a_log_cut_short_at_any_byte_opens_on_an_edit_that_was_finished(tmp_path: Path) -> None:
    """SQLite's promise: of a write-ahead log cut anywhere, the whole transactions before the cut count.

    Cuts drawn from a seed: 20 every day, 200 when thorough; and the whole log.
    """
    store = Store(tmp_path / "whole")
    names = [f"number {count}" for count in range(6)]
    hold = opened(store, "BEGIN")  # a reader keeps the log from being folded into the database
    hold.execute("SELECT * FROM site").fetchall()
    kept = store.create(pile(names[0]))
    for name in names[1:]:
        kept = store.save(kept.link, kept.site, pile(name), "Renamed")
    log = (store.folder / "sites.db-wal").read_bytes()
    seen = []
    cuts = random.Random(15).sample(range(len(log)), 200 if thorough() else 20)
    for part in sorted([*cuts, len(log)]):
        folder = tmp_path / str(part)
        (folder / "files").mkdir(parents=True)
        shutil.copy(store.folder / "sites.db", folder / "sites.db")
        (folder / "sites.db-wal").write_bytes(log[:part])
        cut = Store(folder)
        assert cut.moved_aside is None
        seen += [names.index(cut.open(listed.link).site.features[0].name) for listed in cut.sites()]
    hold.close()
    assert seen == sorted(seen)
    assert seen[-1] == len(names) - 1


def test_law_a_disk_that_fills_up_at_any_page_keeps_what_was_finished(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The database may grow by so many pages (a limit of SQLite) and no further: an edit is there whole or not."""
    kept = store.create(pile("first"))
    refused = 0
    for more in range(40 if thorough() else 8):
        with closing(opened(store)) as db:
            pages = int(db.execute("PRAGMA page_count").fetchone()[0])
        with monkeypatch.context() as patch:
            patch.setattr(store, "_opened", partial(opened, store, pragma=f"PRAGMA max_page_count = {pages + more}"))
            for length in (10, 3_000, 9_000):
                after = pile(f"{more} " + "x" * length)
                try:
                    kept = store.save(kept.link, kept.site, after, f"Renamed {more}")
                except BadStore as error:
                    if "the disk is full; make room" not in str(error):
                        raise
                    refused += 1
        assert store.open(kept.link) == kept
        assert store.save(kept.link, kept.site, after, "Room again").site == after
        kept = store.open(kept.link)
    assert refused
    with closing(opened(store)) as db:
        assert db.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert kept.revision == len(store.history(kept.link, 1000))


def test_law_a_clock_set_back_changes_no_order_and_loses_nothing(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """A field laptop whose battery was empty wakes in 1970: edits keep their order, each with the time it had then."""
    kept = store.create(pile("0"))
    times = ["2026-11-28T10:00:00+00:00", "1970-01-01T00:00:00+00:00", "2026-11-28T09:00:00+00:00"]
    for number, time in enumerate(times, start=1):
        monkeypatch.setattr("sitemap.site.store._now", lambda time=time: time)
        kept = store.save(kept.link, kept.site, pile(str(number)), f"Edit {number}")
    assert [(each.label, each.made) for each in store.history(kept.link)] == [
        (f"Edit {number}", times[number - 1]) for number in (3, 2, 1)
    ]
    assert [store.undo(kept.link).site for _ in range(3)] == [pile("2"), pile("1"), pile("0")]
    assert [store.redo(kept.link).site for _ in range(3)] == [pile("1"), pile("2"), pile("3")]
    store.put_away(kept.link)
    assert [each.away for each in store.sites(away=True)] == [times[2]]
    young = store.folder / "files" / "young.part"
    young.write_bytes(b"half")
    os.utime(young, (4e9, 4e9))  # by the clock as it is now, written in a time to come
    assert Store(store.folder).open(kept.link).site == pile("3")
    assert young.exists()


def test_law_what_a_killed_program_left_half_written_is_swept_at_the_start(store: Store) -> None:
    digest = store.keep_file(b"a raster")
    old, young = (store.folder / "files" / f"{name}.part" for name in ("old", "young"))
    for part in (old, young):
        part.write_bytes(b"half")
    os.utime(old, (0, 0))
    assert Store(store.folder).file(digest).read_bytes() == b"a raster"
    assert not old.exists()
    assert young.exists()  # perhaps being written now


def test_law_a_file_that_finds_no_room_leaves_nothing_behind(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(BadStore, match="No space left on device"):
        store.keep_file(b"a raster")
    assert list((store.folder / "files").iterdir()) == []
