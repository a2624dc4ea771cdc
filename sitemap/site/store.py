"""Nothing entered is ever lost: every edit goes to an SQLite file at once, with what it replaced.

The store keeps, for each site, its rows as they stand (one per feature and one per key of the `site` member) and every
edit as rows before and after. Undo and redo walk that list as far back as the site's beginning. An edit is written in
one transaction; with the write-ahead log and `synchronous=FULL` a killed process or a power cut loses no finished edit.

Two tabs on one site: an edit is the difference it made, laid on what stands now, so that tabs do not undo each other.

What goes wrong with the disk becomes one sentence (`BadStore`). A damaged database is moved aside, never written over;
a newer one is left alone; a folder that was taken away is made again.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import os
import secrets
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sitemap.errors import BadFile, BadSiteFile, BadStore
from sitemap.site.file import feature_json, feature_of
from sitemap.site.frozen import FrozenDict, thaw
from sitemap.site.model import Site
from sitemap.site.store_faults import DamagedStore, telling

_SCHEMA = """
CREATE TABLE IF NOT EXISTS site (link TEXT PRIMARY KEY, made TEXT NOT NULL, used TEXT NOT NULL,
                                 head INTEGER NOT NULL, revision INTEGER NOT NULL);
CREATE TABLE IF NOT EXISTS row (link TEXT NOT NULL, key TEXT NOT NULL, at REAL NOT NULL, json TEXT NOT NULL,
                                PRIMARY KEY (link, key));
CREATE TABLE IF NOT EXISTS edit (link TEXT NOT NULL, number INTEGER NOT NULL, made TEXT NOT NULL, label TEXT NOT NULL,
                                 changes TEXT NOT NULL, PRIMARY KEY (link, number));
CREATE TABLE IF NOT EXISTS away (link TEXT PRIMARY KEY, at TEXT NOT NULL);
"""
_FEATURE, _MEMBER, _TOP = "feature:", "member:", "top:"
VERSION = 1  # of the tables above, kept in the database; grows when they change
_DATABASE, _BESIDE = "sites.db", ("", "-wal", "-shm")  # what SQLite writes beside it belongs to it
_HALF_WRITTEN_S = 3600.0  # a file takes seconds to write
_PATIENCE_S = 20.0  # for another program or tab that is writing


@dataclass(frozen=True)
class Kept:
    """A site as the store holds it.

    undo, redo : what the next undo or redo would take back or do again, or None
    """

    link: str
    site: Site
    revision: int
    undo: str | None
    redo: str | None


@dataclass(frozen=True)
class Listed:
    """One line of the list of kept sites."""

    link: str
    name: str
    used: str


class Store:
    """Sites kept in one SQLite file; files that belong to them (rasters, images) in a folder beside it."""

    def __init__(self, folder: str | Path, patience_s: float = _PATIENCE_S) -> None:
        """Open the store of a folder; where there is none it is made.

        patience_s : how long to wait for another program that holds the database
        moved_aside : where a damaged database went, None where it was sound

        Raises BadStore where nothing can be kept there.
        """
        self.folder, self.patience_s = Path(folder), patience_s
        self.moved_aside: Path | None = None
        try:
            self._made()
        except DamagedStore:
            self.moved_aside = self._set_aside()
            self._made()
        self._sweep()

    def _made(self) -> None:
        with telling(self.folder):
            (self.folder / "files").mkdir(parents=True, exist_ok=True)
        with self._connection() as db:
            found = int(db.execute("PRAGMA user_version").fetchone()[0])
            if found > VERSION:
                raise BadStore(
                    f"The sites kept in {self.folder} were written by a newer version of this program: open them with "
                    f"that version, or name another folder in PITSTEAD_DATA."
                )
            if db.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
                raise DamagedStore(f"The kept sites in {self.folder} are damaged.")
            if found < VERSION:
                db.executescript(f"{_SCHEMA} PRAGMA user_version = {VERSION};")

    def _set_aside(self) -> Path:
        """Move a damaged database out of the way, for somebody who can read it; nothing of it is written over."""
        aside = self.folder / f"damaged {_now().replace(':', '')} {secrets.token_hex(2)}"
        with telling(self.folder):
            aside.mkdir()
            for ending in _BESIDE:
                part = self.folder / (_DATABASE + ending)
                if part.exists():
                    part.replace(aside / part.name)
        return aside

    def _sweep(self) -> None:
        """Take away what a killed program left half written; a file being written now is younger than that."""
        old = dt.datetime.now().timestamp() - _HALF_WRITTEN_S
        for part in (self.folder / "files").glob("*.part"):
            with suppress(OSError):
                if part.stat().st_mtime < old:
                    part.unlink()

    def create(self, site: Site) -> Kept:
        """Keep a new site under a new link."""
        link = secrets.token_urlsafe(9)
        with self._transaction() as db:
            self._insert(db, link, site)
        return self.open(link)

    def open(self, link: str) -> Kept:
        """A kept site by its link. Raises BadSiteFile where there is none."""
        with self._connection() as db:
            db.execute("BEGIN")
            found = db.execute("SELECT head, revision FROM site WHERE link = ?", (link,)).fetchone()
            if found is None:
                raise BadSiteFile(f"No site is kept under the link {link!r} on this computer: open a file instead.")
            head, revision = found
            site = _site(db.execute("SELECT key, json FROM row WHERE link = ? ORDER BY at", (link,)))
            labels = dict(
                db.execute("SELECT number, label FROM edit WHERE link = ? AND number IN (?, ?)", (link, head, head + 1))
            )
        return Kept(link, site, revision, labels.get(head), labels.get(head + 1))

    def put_back(self, held: Kept) -> Kept:
        """Keep a site again that was kept here and is here no more, under its link; its history is lost with it."""
        with self._transaction() as db:
            if db.execute("SELECT 1 FROM site WHERE link = ?", (held.link,)).fetchone() is None:
                self._insert(db, held.link, held.site)
        return self.open(held.link)

    def revision(self, link: str) -> int | None:
        """Number that grows with every change of a site; None where there is no such site."""
        with self._connection() as db:
            found = db.execute("SELECT revision FROM site WHERE link = ?", (link,)).fetchone()
        return None if found is None else int(found[0])

    def save(self, link: str, before: Site, after: Site, label: str) -> Kept:
        """Lay the difference from before to after on what is kept, as one edit that undo can take back."""
        old, new = _rows(before, but=after), _rows(after, but=before)
        touched = [key for key in {**new, **old} if old.get(key) != new.get(key)]  # new features in their own order
        with self._transaction() as db:
            head = self._head(db, link)
            changes = []
            for key in touched:
                row = _current(db, link, key)
                wanted = new.get(key)
                if wanted is not None and key.startswith(_FEATURE):
                    at = row[0] if row else _next_place(db, link)
                    wanted = (at, wanted[1])
                if row != wanted:
                    changes.append((key, row, wanted))
                    _lay(db, link, key, wanted)
            if changes:
                db.execute("DELETE FROM edit WHERE link = ? AND number > ?", (link, head))
                row_text = json.dumps(changes, ensure_ascii=False)
                db.execute("INSERT INTO edit VALUES (?, ?, ?, ?, ?)", (link, head + 1, _now(), label, row_text))
                self._moved(db, link, head + 1)
        return self.open(link)

    def undo(self, link: str) -> Kept:
        """Take the last edit back; nothing happens at the site's beginning."""
        with self._transaction() as db:
            head = self._head(db, link)
            for key, before, _ in reversed(_edit(db, link, head)):
                _lay(db, link, key, before)
            if head > 0:
                self._moved(db, link, head - 1)
        return self.open(link)

    def redo(self, link: str) -> Kept:
        """Do the edit again that was last taken back."""
        with self._transaction() as db:
            head = self._head(db, link)
            changes = _edit(db, link, head + 1)
            for key, _, after in changes:
                _lay(db, link, key, after)
            if changes:
                self._moved(db, link, head + 1)
        return self.open(link)

    def history(self, link: str, most: int = 200) -> tuple[tuple[int, str, str], ...]:
        """(number, time, label) of the edits, newest first."""
        with self._connection() as db:
            return tuple(
                db.execute(
                    "SELECT number, made, label FROM edit WHERE link = ? ORDER BY number DESC LIMIT ?", (link, most)
                )
            )

    def sites(self, most: int = 50, *, away: bool = False) -> tuple[Listed, ...]:
        """Kept sites, last used first; away : those that were put away instead."""
        query = (
            "SELECT site.link, COALESCE(row.json, '\"\"'), site.used FROM site LEFT JOIN row "
            "ON row.link = site.link AND row.key = 'member:name' "
            "WHERE (site.link IN (SELECT link FROM away)) = ? ORDER BY site.used DESC LIMIT ?"
        )
        with self._connection() as db:
            return tuple(
                Listed(link, str(json.loads(name) or "Site without a name"), used)
                for link, name, used in db.execute(query, (away, most))
            )

    def put_away(self, link: str) -> None:
        """Take a site out of the list: nothing of it is deleted, and it can be put back."""
        with self._transaction() as db:
            self._head(db, link)
            db.execute("INSERT OR REPLACE INTO away VALUES (?, ?)", (link, _now()))

    def bring_back(self, link: str) -> None:
        """Put a site back into the list."""
        with self._transaction() as db:
            db.execute("DELETE FROM away WHERE link = ?", (link,))

    def keep_file(self, content: bytes) -> str:
        """Keep a file that belongs to a site; its name is the sha256 of its content, which is returned."""
        digest = hashlib.sha256(content).hexdigest()
        path = self.folder / "files" / digest
        with telling(self.folder):
            if not path.exists():
                path.parent.mkdir(parents=True, exist_ok=True)
                part = path.with_suffix(f".{secrets.token_hex(4)}.part")
                try:
                    with part.open("wb") as out:
                        out.write(content)
                        out.flush()
                        os.fsync(out.fileno())
                    part.replace(path)
                finally:
                    part.unlink(missing_ok=True)
        return digest

    def file(self, digest: str) -> Path:
        """Path of a kept file. Raises BadFile where it is not kept here."""
        path = self.folder / "files" / digest
        if len(digest) != 64 or not all(c in "0123456789abcdef" for c in digest) or not path.is_file():
            raise BadFile("A file that belongs to the site is not kept on this computer: add it again.")
        return path

    @contextmanager
    def _connection(self) -> Iterator[sqlite3.Connection]:
        with telling(self.folder), closing(self._opened()) as db:
            db.execute("PRAGMA journal_mode=WAL")
            db.execute("PRAGMA synchronous=FULL")
            yield db

    def _opened(self) -> sqlite3.Connection:
        return sqlite3.connect(self.folder / _DATABASE, timeout=self.patience_s, isolation_level=None)

    @contextmanager
    def _transaction(self) -> Iterator[sqlite3.Connection]:
        with self._connection() as db:
            db.execute("BEGIN IMMEDIATE")
            try:
                yield db
            except BaseException:
                with suppress(sqlite3.Error):  # a full disk has rolled back by itself
                    db.execute("ROLLBACK")
                raise
            db.execute("COMMIT")

    @staticmethod
    def _insert(db: sqlite3.Connection, link: str, site: Site) -> None:
        now = _now()
        db.execute("INSERT INTO site VALUES (?, ?, ?, 0, 0)", (link, now, now))
        rows = [(link, key, at, text) for key, (at, text) in _rows(site).items()]
        db.executemany("INSERT INTO row VALUES (?, ?, ?, ?)", rows)

    @staticmethod
    def _head(db: sqlite3.Connection, link: str) -> int:
        found = db.execute("SELECT head FROM site WHERE link = ?", (link,)).fetchone()
        if found is None:
            raise BadSiteFile(f"No site is kept under the link {link!r} on this computer: open a file instead.")
        return int(found[0])

    @staticmethod
    def _moved(db: sqlite3.Connection, link: str, head: int) -> None:
        db.execute("UPDATE site SET head = ?, revision = revision + 1, used = ? WHERE link = ?", (head, _now(), link))


_Row = tuple[float, str]


def _rows(site: Site, but: Site | None = None) -> dict[str, _Row]:
    """Rows of a site; features and members that are the same object in `but` are passed over."""
    same = {id(feature) for feature in but.features} if but else set()
    rows: dict[str, _Row] = {
        _FEATURE + feature.id: (float(number), _text(feature_json(feature)))
        for number, feature in enumerate(site.features)
        if id(feature) not in same
    }
    for start, members, others in (
        (_MEMBER, site.member, but.member if but else FrozenDict()),
        (_TOP, site.members, but.members if but else FrozenDict()),
    ):
        rows |= {start + k: (-1.0, _text(v)) for k, v in members.items() if k not in others or others[k] is not v}
        # A key whose value is shared with the other site has not changed: it must not look deleted there either.
    return rows


def _site(rows: Iterator[tuple[str, str]]) -> Site:
    features, member, members = [], {}, {}
    for key, text in rows:
        value = json.loads(text)
        if key.startswith(_FEATURE):
            features.append(feature_of(value, value["id"]))
        elif key.startswith(_MEMBER):
            member[key[len(_MEMBER) :]] = value
        else:
            members[key[len(_TOP) :]] = value
    return Site(tuple(features), FrozenDict(member), FrozenDict(members))


def _current(db: sqlite3.Connection, link: str, key: str) -> _Row | None:
    found = db.execute("SELECT at, json FROM row WHERE link = ? AND key = ?", (link, key)).fetchone()
    return None if found is None else (float(found[0]), str(found[1]))


def _lay(db: sqlite3.Connection, link: str, key: str, row: Any) -> None:
    if row is None:
        db.execute("DELETE FROM row WHERE link = ? AND key = ?", (link, key))
    else:
        db.execute("INSERT OR REPLACE INTO row VALUES (?, ?, ?, ?)", (link, key, row[0], row[1]))


def _edit(db: sqlite3.Connection, link: str, number: int) -> list[Any]:
    found = db.execute("SELECT changes FROM edit WHERE link = ? AND number = ?", (link, number)).fetchone()
    return [] if found is None else list(json.loads(found[0]))


def _next_place(db: sqlite3.Connection, link: str) -> float:
    found = db.execute("SELECT MAX(at) FROM row WHERE link = ?", (link,)).fetchone()
    return float(found[0] if found[0] is not None else -1.0) + 1.0


def _text(value: Any) -> str:
    return json.dumps(thaw(value), ensure_ascii=False, allow_nan=False)


def _now() -> str:
    return dt.datetime.now(dt.UTC).isoformat(timespec="seconds")
