"""The same store on a PostgreSQL server: the laws of the store in a file, and what only a server can do wrong."""

from __future__ import annotations

import inspect
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sql

from sitemap.errors import BadFile, BadStore
from sitemap.site.model import Feature, Site
from sitemap.site.store import Store
from sitemap.site.store_database import SITE, VERSION
from tests import servers
from tests.site import test_store, test_store_history
from tests.site.builders import site_of, thing
from tests.site.test_store import pile

LAWS = [
    test_store.test_law_a_site_is_opened_again_by_its_link,
    test_store.test_law_every_readable_site_is_kept_as_it_is,
    test_store.test_refuses_a_link_it_does_not_know,
    test_store.test_law_a_site_put_away_is_out_of_the_list_and_loses_nothing,
    test_store.test_law_undo_goes_to_the_beginning_and_redo_to_the_end,
    test_store.test_law_a_new_edit_begins_a_line_of_its_own_and_the_history_keeps_the_other,
    test_store.test_law_an_edit_that_changes_nothing_is_none,
    test_store.test_law_the_revision_grows_with_every_change,
    test_store.test_law_features_keep_their_order,
    test_store.test_law_two_processes_write_at_once_and_lose_nothing,
    *(law for name, law in vars(test_store_history).items() if name.startswith("test_")),
]


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """A server of this machine; without one these tests fail, and say how to mend it."""
    if servers.found() is None:
        pytest.fail(servers.MISSING)
    with servers.running() as address:
        yield address


@pytest.fixture(scope="module")
def opened(address: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    store = Store(tmp_path_factory.mktemp("server"), url=address.format("postgres"))
    yield store
    store._engine.dispose()


@pytest.fixture
def store(opened: Store, address: str, monkeypatch: pytest.MonkeyPatch) -> Store:
    """The one store, emptied; whatever opens a store in a law of the file, or in a process beside it, opens this."""
    with opened._transaction() as db:
        for table in SITE.metadata.sorted_tables:
            if table.name != "about":
                db.execute(table.delete())
    for module in (test_store, test_store_history):
        monkeypatch.setattr(module, "Store", lambda _: opened)
    monkeypatch.setenv("PITSTEAD_DATABASE", address.format("postgres"))
    return opened


@pytest.mark.parametrize("law", LAWS, ids=lambda law: law.__name__)
def test_law_the_same_holds_on_a_server(
    law: Callable[..., None], store: Store, tmp_path_factory: pytest.TempPathFactory
) -> None:
    at_hand: dict[str, Any] = {"store": store, "tmp_path_factory": tmp_path_factory}
    law(**{name: at_hand[name] for name in inspect.signature(law).parameters if name in at_hand})


def test_law_characters_the_server_does_not_take_come_back_as_they_were(store: Store) -> None:
    """PostgreSQL keeps every character but the one numbered 0 (its manual, 8.3, M): names out of files may hold it."""
    site = site_of(thing("a\x00b\x1b0\x1b1", name="N\x00"), site={"own\x00": "\x00"})
    kept = store.create(site)
    assert kept.site == site
    kept = store.save(kept.link, site, site.without("a\x00b\x1b0\x1b1"), "Deleted N\x00\x1b0")
    assert (kept.undo, store.undo(kept.link).site) == ("Deleted N\x00\x1b0", site)


def test_law_a_file_is_there_for_every_program_on_the_server(store: Store, address: str, tmp_path: Path) -> None:
    digest = store.keep_file(b"a raster")
    assert store.keep_file(b"a raster") == digest
    elsewhere = Store(tmp_path, url=address.format("postgres"))
    assert elsewhere.file(digest).read_bytes() == b"a raster"
    with pytest.raises(BadFile, match="add it again"):
        elsewhere.file("0" * 64)
    elsewhere._engine.dispose()


_FIRST = """
CREATE TABLE site (link TEXT PRIMARY KEY, made TEXT NOT NULL, used TEXT NOT NULL,
                   head INTEGER NOT NULL, revision INTEGER NOT NULL);
CREATE TABLE row (link TEXT NOT NULL, key TEXT NOT NULL, at REAL NOT NULL, json TEXT NOT NULL, PRIMARY KEY (link, key));
CREATE TABLE edit (link TEXT NOT NULL, number INTEGER NOT NULL, made TEXT NOT NULL, label TEXT NOT NULL,
                   changes TEXT NOT NULL, PRIMARY KEY (link, number));
CREATE TABLE away (link TEXT PRIMARY KEY, at TEXT NOT NULL);
INSERT INTO site VALUES ('old', '2026-01-02T03:04:05+00:00', '2026-01-02T03:04:05+00:00', 1, 3);
INSERT INTO row VALUES ('old', 'feature:a', 0, '{"type": "Feature", "id": "a", "geometry": null, "properties": {"kind": "pile", "height_m": 2}}');
INSERT INTO edit VALUES ('old', 1, '2026-01-02T03:04:05+00:00', 'Higher', '[["feature:a", [0, "{\\"type\\": \\"Feature\\", \\"id\\": \\"a\\", \\"geometry\\": null, \\"properties\\": {\\"kind\\": \\"pile\\", \\"height_m\\": 1}}"], [0, "{\\"type\\": \\"Feature\\", \\"id\\": \\"a\\", \\"geometry\\": null, \\"properties\\": {\\"kind\\": \\"pile\\", \\"height_m\\": 2}}"]]]');
INSERT INTO edit VALUES ('old', 2, '2026-01-02T03:05:05+00:00', 'Cleared', '[["feature:a", [0, "{\\"type\\": \\"Feature\\", \\"id\\": \\"a\\", \\"geometry\\": null, \\"properties\\": {\\"kind\\": \\"pile\\", \\"height_m\\": 2}}"], null]]');
"""  # noqa: E501  as the first version of this program wrote it, with an edit that was taken back


def old(height: int) -> Site:
    return Site((Feature.of("a", None, {"kind": "pile", "height_m": height}),))


def _stands_as_before(store: Store) -> None:
    kept = store.open("old")
    assert (kept.site, kept.undo, kept.redo) == (old(2), "Higher", "Cleared")
    assert store.undo("old").site == old(1)
    store.redo("old")
    assert store.redo("old").site == Site()
    assert [each.label for each in store.history("old")] == ["Cleared", "Higher"]


def test_law_a_database_of_the_first_version_opens_with_its_history(tmp_path: Path) -> None:
    database = sqlite3.connect(tmp_path / "sites.db")
    database.executescript(f"PRAGMA journal_mode = WAL; {_FIRST} PRAGMA user_version = 1;")
    database.close()
    _stands_as_before(Store(tmp_path))
    assert Store(tmp_path).open("old").site == Site()


def test_law_tables_of_the_first_version_are_lifted_on_a_server_too(address: str, tmp_path: Path) -> None:
    _told(address, "CREATE DATABASE old")
    engine = sql.create_engine(address.format("old"))
    with engine.begin() as db:
        db.exec_driver_sql(_FIRST.replace("TABLE row", 'TABLE "row"').replace("INTO row", 'INTO "row"'))
        db.exec_driver_sql("CREATE TABLE about (version INTEGER PRIMARY KEY); INSERT INTO about VALUES (1)")
    store = Store(tmp_path, url=address.format("old"))
    _stands_as_before(store)
    with engine.begin() as db:
        assert db.exec_driver_sql("SELECT version FROM about").scalar_one() == VERSION
        db.exec_driver_sql("UPDATE about SET version = 99")
    with pytest.raises(BadStore, match="written by a newer version of this program"):
        Store(tmp_path, url=address.format("old"))
    engine.dispose()
    store._engine.dispose()


@pytest.mark.parametrize(
    ("url", "words"),
    [
        ("{none}", 'database "none" does not exist. Save the site as a file'),
        ("postgresql://name@/x?host=/nowhere/at/all", "The sites on the server /nowhere/at/all cannot be kept"),
        ("sqlite:///sites.db", "it is no address of a PostgreSQL server"),
        ("no address", "cannot be used"),
    ],
)
def test_refuses_a_server_that_cannot_be_used_in_one_sentence(
    address: str, tmp_path: Path, url: str, words: str
) -> None:
    with pytest.raises(BadStore) as told:
        Store(tmp_path, patience_s=0.02, url=url.replace("{none}", address.format("none")))
    assert words in str(told.value)
    assert "\n" not in str(told.value)


def test_refuses_while_another_program_holds_the_site(address: str, tmp_path: Path) -> None:
    _told(address, "CREATE DATABASE held")
    store = Store(tmp_path, patience_s=0.02, url=address.format("held"))
    kept = store.create(site_of(thing("a")))
    with store._transaction() as db:
        db.execute(SITE.update().values(used="x"))
        with pytest.raises(BadStore, match="another program holds them; wait"):
            store.save(kept.link, kept.site, kept.site.put(pile("b")), "Add")
    assert store.save(kept.link, kept.site, kept.site.put(pile("b")), "Add").site.get("b") == pile("b")
    _told(address, "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = 'held'")
    assert store.open(kept.link).site.get("b") == pile("b")  # a connection that was cut is made anew
    store._engine.dispose()


def _told(address: str, words: str) -> None:
    """Say something to the server itself, outside the store."""
    engine = sql.create_engine(address.format("postgres"), isolation_level="AUTOCOMMIT")
    with engine.connect() as db:
        db.exec_driver_sql(words)
    engine.dispose()
