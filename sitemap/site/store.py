"""Nothing entered is ever lost: every edit goes to the database at once, with what it replaced.

The store keeps, for each site, its rows as they stand (one per feature and one per key of the `site` member) and every
edit as rows before and after. Undo and redo walk along the edits as far back as the site's beginning; an edit made
after an undo begins a line of its own, and what was taken back stays in the history. An edit is written in one
transaction; with SQLite's write-ahead log and `synchronous=FULL` a killed process or a power cut loses no
finished edit.

Two tabs on one site: an edit is the difference it made, laid field by field on what stands now, so that tabs do not
undo each other. Where both changed one field the edit that comes now stands, and `Kept.clashes` holds both values.

The database is an SQLite file in the folder, or a PostgreSQL server by its URL (`store_database.py`). What goes wrong
with either becomes one sentence (`BadStore`). A damaged file is moved aside, never written over; a newer one is left
alone; a folder that was taken away is made again.
"""

from __future__ import annotations

import datetime as dt
import json
import secrets
import sqlite3
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

import sqlalchemy as sql

from sitemap.errors import BadSiteFile, BadStore, Overtaken
from sitemap.reasons import Reason, reason
from sitemap.site import store_history as history
from sitemap.site.merging import Clash
from sitemap.site.model import Site
from sitemap.site.store_database import (
    AWAY,
    EDIT,
    FILE,
    ROW,
    SITE,
    VERSION,
    in_file,
    lift,
    on_server,
    using,
    version_of,
)
from sitemap.site.store_faults import DamagedStore, telling
from sitemap.site.store_files import Files
from sitemap.site.store_history import Edit
from sitemap.site.store_rows import FEATURE, Laid, Row, laid, rows_of, site_of

_DATABASE, _BESIDE = "sites.db", ("", "-wal", "-shm")  # what SQLite writes beside it belongs to it
_AT_ONCE = 500  # keys in one question: every database takes as many
_PATIENCE_S = 20.0  # for another program or tab that is writing


@dataclass(frozen=True)
class Kept:
    """A site as the store holds it.

    undo, redo : what the next undo or redo would take back or do again, or None
    number, next : the numbers of those two edits; 0 at the site's beginning, None where nothing can be done again
    clashes : of the edit just saved: values that were changed elsewhere since they were read; each path begins with
        the key of its row
    """

    link: str
    site: Site
    revision: int
    undo: str | None
    redo: str | None
    number: int = 0
    next: int | None = None
    clashes: tuple[Clash, ...] = ()


@dataclass(frozen=True)
class Listed:
    """One line of the list of kept sites.

    away : when it was put away, None where it was not
    edited : whether anything was ever changed in it since it was begun
    """

    link: str
    name: str
    used: str
    away: str | None = None
    edited: bool = True


class Store(Files):
    """Sites kept in one database; files that belong to them (rasters, images) in a folder beside it."""

    def __init__(self, folder: str | Path, patience_s: float = _PATIENCE_S, url: str | None = None) -> None:
        """Open the store of a folder; where there is none it is made.

        patience_s : how long to wait for another program that holds the database
        url : of a PostgreSQL server that keeps the sites instead, "postgresql+psycopg://name@host/database"
        moved_aside : where a damaged database went, None where it was sound

        Raises BadStore where nothing can be kept there.
        """
        self.folder, self.patience_s = Path(folder), patience_s
        self.moved_aside: Path | None = None
        with telling(self.folder, url):
            self._engine = in_file(lambda: self._opened()) if url is None else on_server(url, patience_s)
        self._url = url
        try:
            self._made()
        except DamagedStore:
            self.moved_aside = self._set_aside()
            self._made()
        except BadStore:
            self._engine.dispose()
            raise
        self.sweep()

    def _made(self) -> None:
        self.make_folder()
        with self._connection() as db:
            found = version_of(db)
            if found > VERSION:
                raise BadStore(self._newer())
            if self._url is None and db.exec_driver_sql("PRAGMA quick_check(1)").scalar_one() != "ok":
                raise DamagedStore(reason("store.damaged", folder=str(self.folder)))
        if found < VERSION:
            with self._transaction() as db:
                found = version_of(db)  # another program may have come first
                if found < VERSION:
                    lift(db, found)

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

    def create(self, site: Site) -> Kept:
        """Keep a new site under a new link."""
        link = secrets.token_urlsafe(9)
        with self._transaction() as db:
            _insert(db, link, site)
        return self.open(link)

    def open(self, link: str) -> Kept:
        """A kept site by its link. Raises BadSiteFile where there is none."""
        with self._connection() as db:
            return _kept(db, link)

    def put_back(self, held: Kept) -> Kept:
        """Keep a site again that was kept here and is here no more, under its link; its history is lost with it."""
        with self._transaction() as db:
            if db.execute(sql.select(SITE.c.link).where(SITE.c.link == held.link)).first() is None:
                _insert(db, held.link, held.site)
        return self.open(held.link)

    def revision(self, link: str) -> int | None:
        """Number that grows with every change of a site; None where there is no such site."""
        with self._connection() as db:
            return db.execute(sql.select(SITE.c.revision).where(SITE.c.link == link)).scalar_one_or_none()

    def save(self, link: str, before: Site, after: Site, label: str) -> Kept:
        """Lay the difference from before to after on what is kept, as one edit that undo can take back.

        before : the site as whoever made the edit had it before them
        """
        old, new = rows_of(before, but=after), rows_of(after, but=before)
        touched = [key for key in {**new, **old} if old.get(key) != new.get(key)]  # new features in their own order
        clashes: list[Clash] = []
        with self._transaction() as db:
            head = _head(db, link)
            edits: Laid = []
            end = _next_place(db, link)
            for key, now in _now_of(db, link, touched).items():
                wanted, found = laid(key, old.get(key), new.get(key), now, end if key.startswith(FEATURE) else -1.0)
                clashes += found
                if wanted != now:
                    edits.append((key, now, wanted))
                    end += wanted is not None and wanted[0] == end
            _keep(db, link, head, label, edits)
            return replace(_kept(db, link), clashes=tuple(clashes))

    def undo(self, link: str, number: int | None = None) -> Kept:
        """Take an edit back, and nothing else; nothing happens at the site's beginning.

        number : of the edit; without it the last one. One that others have edited after is taken back by an edit of
            its own. Raises Overtaken where it is taken back already, or what it changed was changed again.
        """
        with self._transaction() as db:
            head = _head(db, link)
            if number is None or number == head:
                _lay(db, link, [(key, after, before) for key, before, after in history.laid_by(db, link, head)])
                if head > 0:
                    _moved(db, link, history.parent(db, link, head))
            elif number:
                label = _label(db, link, number)
                if number not in history.line(db, link, head):
                    raise Overtaken(reason("store.taken_back_already", label=label))
                edits: Laid = []
                for key, before, after in history.laid_by(db, link, number):
                    (now,) = _now_of(db, link, [key]).values()
                    wanted, clashes = laid(key, after, before, now, before[0] if before else -1.0)
                    if clashes:
                        raise Overtaken(reason("store.not_taken_back", label=label))
                    edits.append((key, now, wanted))
                _keep(db, link, head, f"Taken back: {label}", edits)
            return _kept(db, link)

    def redo(self, link: str, number: int | None = None) -> Kept:
        """Do the edit again that was last taken back.

        number : of that edit, as it was shown. Raises Overtaken where the site does not stand before it any more.
        """
        with self._transaction() as db:
            head = _head(db, link)
            following, label = history.following(db, link, head)
            if number is not None and number != following:
                label = _label(db, link, number)
                raise Overtaken(reason("store.not_done_again", label=label))
            if following is not None:
                _lay(db, link, history.laid_by(db, link, following))
                _moved(db, link, following)
            return _kept(db, link)

    def history(self, link: str, most: int = 200) -> tuple[Edit, ...]:
        """The edits, newest first, with those that were taken back."""
        with self._connection() as db:
            return history.edits(db, link, _head(db, link), most)

    def at(self, link: str, number: int) -> Site:
        """The site as it stood after an edit, also one that was taken back; 0 : as it was begun."""
        with self._connection() as db:
            rows = history.rows_at(db, link, _head(db, link), number)
        return site_of((key, row[1]) for key, row in sorted(rows.items(), key=lambda each: each[1][0]))

    def restore(self, link: str, number: int, label: str) -> Kept:
        """Let the site stand as after an edit, as a new edit: all later ones stay in the history."""
        with self._transaction() as db:
            head = _head(db, link)
            now, wanted = history.rows_at(db, link, head, head), history.rows_at(db, link, head, number)
            keys = [key for key in {**now, **wanted} if now.get(key) != wanted.get(key)]
            _keep(db, link, head, label, [(key, now.get(key), wanted.get(key)) for key in keys])
            return _kept(db, link)

    def sites(self, most: int = 10_000, *, away: bool = False) -> tuple[Listed, ...]:
        """Kept sites, last used first; away : those that were put away instead, last put away first."""
        name = sql.and_(ROW.c.link == SITE.c.link, ROW.c.key == "member:name")
        query = (
            sql.select(SITE.c.link, ROW.c.json, SITE.c.used, AWAY.c.at, SITE.c.revision)
            .select_from(SITE.outerjoin(ROW, name).outerjoin(AWAY, AWAY.c.link == SITE.c.link))
            .where(AWAY.c.at.is_not(None) if away else AWAY.c.at.is_(None))
            .order_by((AWAY.c.at if away else SITE.c.used).desc())
            .limit(most)
        )
        with self._connection() as db:
            return tuple(
                Listed(link, str(json.loads(name or '""') or "Site without a name"), used, at, revision > 0)
                for link, name, used, at, revision in db.execute(query)
            )

    def put_away(self, link: str) -> None:
        """Take a site out of the list: nothing of it is deleted, ever, and it can be put back."""
        with self._transaction() as db:
            _head(db, link)
            db.execute(AWAY.delete().where(AWAY.c.link == link))
            db.execute(AWAY.insert().values(link=link, at=_now()))

    def is_away(self, link: str) -> bool:
        """Whether a site was taken out of the list."""
        with self._connection() as db:
            return db.execute(sql.select(AWAY.c.at).where(AWAY.c.link == link)).first() is not None

    def bring_back(self, link: str) -> None:
        """Put a site back into the list."""
        with self._transaction() as db:
            db.execute(AWAY.delete().where(AWAY.c.link == link))

    def keep_file(self, content: bytes) -> str:
        """Keep a file that belongs to a site; its name is the sha256 of its content, which is returned."""
        digest = super().keep_file(content)
        if self._url is not None:  # others on the server have other folders
            with self._transaction() as db:
                if db.execute(sql.select(FILE.c.digest).where(FILE.c.digest == digest)).first() is None:
                    db.execute(FILE.insert().values(digest=digest, content=content))
        return digest

    def file(self, digest: str) -> Path:
        """Path of a kept file. Raises BadFile where it is not kept here."""
        if self._url is not None and not (self.folder / "files" / digest).is_file():
            with self._connection() as db:
                content = db.scalar(sql.select(FILE.c.content).where(FILE.c.digest == digest))
            if content is not None:
                super().keep_file(content)
        return super().file(digest)

    def _newer(self) -> Reason:
        if self._url is None:
            return reason("store.newer_in_folder", where=str(self.folder))
        return reason("store.newer_on_server", where=sql.make_url(self._url).render_as_string())

    @contextmanager
    def _connection(self, *, writes: bool = False) -> Iterator[sql.Connection]:
        with telling(self.folder, self._url), using(self._engine, writes=writes) as db:
            yield db

    def _opened(self) -> sqlite3.Connection:
        return sqlite3.connect(self.folder / _DATABASE, timeout=self.patience_s, isolation_level=None)

    def _transaction(self) -> AbstractContextManager[sql.Connection]:
        return self._connection(writes=True)

    beside = _transaction  # for tables that stand beside the sites: whose a site is


def _unknown(link: str) -> Reason:
    return reason("store.no_such_link", link=link)


def _kept(db: sql.Connection, link: str) -> Kept:
    found = db.execute(sql.select(SITE.c.head, SITE.c.revision).where(SITE.c.link == link)).one_or_none()
    if found is None:
        raise BadSiteFile(_unknown(link))
    head, revision = found
    rows = db.execute(sql.select(ROW.c.key, ROW.c.json).where(ROW.c.link == link).order_by(ROW.c.at)).all()
    following, redo = history.following(db, link, head)
    return Kept(link, site_of(rows), revision, _label(db, link, head), redo, head, following)


def _insert(db: sql.Connection, link: str, site: Site) -> None:
    now = _now()
    db.execute(SITE.insert().values(link=link, made=now, used=now, head=0, revision=0))
    rows = [{"link": link, "key": key, "at": at, "json": text} for key, (at, text) in rows_of(site).items()]
    if rows:
        db.execute(ROW.insert(), rows)


def _head(db: sql.Connection, link: str) -> int:
    """The edit a site stands at; who writes holds the site from here on."""
    head = db.execute(sql.select(SITE.c.head).where(SITE.c.link == link).with_for_update()).scalar_one_or_none()
    if head is None:
        raise BadSiteFile(_unknown(link))
    return int(head)


def _label(db: sql.Connection, link: str, number: int) -> str | None:
    return db.scalar(sql.select(EDIT.c.label).where(EDIT.c.link == link, EDIT.c.number == number))


def _now_of(db: sql.Connection, link: str, keys: list[str]) -> dict[str, Row | None]:
    """The rows of some keys as they stand, in the order asked for."""
    found: dict[str, Row | None] = dict.fromkeys(keys)
    for start in range(0, len(keys), _AT_ONCE):
        some = ROW.c.key.in_(keys[start : start + _AT_ONCE])
        for key, at, text in db.execute(sql.select(ROW.c.key, ROW.c.at, ROW.c.json).where(ROW.c.link == link, some)):
            found[key] = (at, text)
    return found


def _keep(db: sql.Connection, link: str, head: int, label: str, edits: Laid) -> None:
    """Write a new edit down, where it changes anything, and lay it."""
    if edits:
        last = db.execute(sql.select(sql.func.max(EDIT.c.number)).where(EDIT.c.link == link)).scalar_one() or 0
        changes = json.dumps(edits, ensure_ascii=False)
        edit = {"link": link, "number": last + 1, "made": _now(), "label": label, "changes": changes, "parent": head}
        db.execute(EDIT.insert().values(**edit))
        _lay(db, link, edits)
        _moved(db, link, last + 1)


def _lay(db: sql.Connection, link: str, edits: Laid) -> None:
    if edits:
        this = sql.and_(ROW.c.link == link, ROW.c.key == sql.bindparam("k"))
        db.execute(ROW.delete().where(this), [{"k": key} for key, *_ in edits])
    rows = [{"link": link, "key": key, "at": row[0], "json": row[1]} for key, _, row in edits if row]
    if rows:
        db.execute(ROW.insert(), rows)


def _next_place(db: sql.Connection, link: str) -> float:
    last = db.execute(sql.select(sql.func.max(ROW.c.at)).where(ROW.c.link == link)).scalar_one()
    return float(last if last is not None else -1.0) + 1.0


def _moved(db: sql.Connection, link: str, head: int) -> None:
    db.execute(SITE.update().where(SITE.c.link == link).values(head=head, revision=SITE.c.revision + 1, used=_now()))


def _now() -> str:
    return dt.datetime.now(dt.UTC).isoformat(timespec="seconds")
