"""Where nothing can be kept on this computer, every page says so, goes on, and keeps all of it once it can."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from sitemap.errors import BadStore
from sitemap.site.store import Store
from sitemap.views import holding
from tests.views.conftest import PAGES, Visit, store

Open = Callable[..., Visit]
pytestmark = pytest.mark.usefixtures("own_side_open")


@pytest.fixture(autouse=True)
def asked_at_each_touch(monkeypatch: pytest.MonkeyPatch) -> None:
    """A store that gave trouble is asked again at once."""
    monkeypatch.setattr(holding, "REST_S", 0.0)


@pytest.fixture
def broken(monkeypatch: pytest.MonkeyPatch) -> Callable[[bool], None]:
    """Makes the disk full and gives it room again."""
    whole = Store._connection

    def switched(full: bool) -> None:
        def refused(_: Store) -> None:
            raise BadStore("The disk is full; make room.")

        monkeypatch.setattr(Store, "_connection", refused if full else whole)

    return switched


def test_law_what_could_not_be_kept_stays_on_the_page_and_is_kept_later(
    visit: Open, broken: Callable[[bool], None]
) -> None:
    tab = visit().choose("p1")
    broken(True)
    tab.app.text_input(key="name.p1").set_value("Typed on a full disk").run()
    tab.app.text_input(key="f.p1.height_m").set_value("2").run()
    for page in PAGES:
        tab.go(page)
        assert not tab.app.exception
        assert "Your edits are on this screen only. The disk is full; make room." in tab.words, page
    tab.go("map").choose("p1")
    assert tab.app.text_input(key="name.p1").value == "Typed on a full disk"
    broken(False)
    tab.app.run()
    assert "on this screen only" not in tab.words
    assert tab.site.get("p1").name == "Typed on a full disk"
    assert not tab.app.button(key="undo").disabled


def test_law_a_first_visit_to_a_full_disk_shows_a_site_and_keeps_what_is_typed(
    visit: Open, broken: Callable[[bool], None]
) -> None:
    broken(True)
    tab = visit()
    assert not tab.app.exception
    assert "on this screen only" in tab.words
    tab.app.text_input(key="site.name").set_value("Begun on a full disk").run()
    assert tab.app.text_input(key="site.name").value == "Begun on a full disk"
    broken(False)
    tab.app.run()
    assert tab.site.name == "Begun on a full disk"


def test_law_a_data_folder_taken_away_is_made_again_with_the_open_site(visit: Open) -> None:
    tab = visit().choose("p1")
    tab.app.text_input(key="name.p1").set_value("Heap by the oak").run()
    shutil.rmtree(store().folder)
    tab.app.run()
    tab.app.run()
    assert not tab.app.exception
    assert tab.site.get("p1").name == "Heap by the oak"


def test_law_a_damaged_database_goes_aside_and_the_open_site_is_kept_anew(
    visit: Open,
) -> None:
    tab = visit().choose("p1")
    folder: Path = store().folder
    with sqlite3.connect(folder / "sites.db") as db:
        db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    (folder / "sites.db").write_bytes(b"a letter to a friend" * 500)
    tab.app.run()
    tab.app.run()
    assert not tab.app.exception
    assert tab.site.get("p1") is not None
    assert len(list(folder.glob("damaged */sites.db"))) == 1
