"""The tables of the store, in an SQLite file or on a PostgreSQL server: one schema, and how an older one is lifted."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import sqlalchemy as sql
from sqlalchemy import Column, Float, Integer, LargeBinary, String, Table
from sqlalchemy.pool import NullPool

VERSION = 2  # of the tables below, kept in the database; grows when they change
_LOCK = 7_158_301  # any number, the same for every program that lifts these tables on one server


class _Words(sql.types.TypeDecorator[str]):
    """Text of any characters: PostgreSQL refuses the one numbered 0, which a name out of a file may hold."""

    impl = String
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: Any) -> str | None:
        """Text as the database takes it."""
        plain = value is None or dialect.name == "sqlite"
        return value if plain else value.replace("\x1b", "\x1b1").replace("\x00", "\x1b0")  # type: ignore[union-attr]

    def process_result_value(self, value: str | None, dialect: Any) -> str | None:
        """Text as it was given."""
        plain = value is None or dialect.name == "sqlite"
        return value if plain else value.replace("\x1b0", "\x00").replace("\x1b1", "\x1b")  # type: ignore[union-attr]


def _text(name: str, **how: Any) -> Column[str]:
    return Column(name, _Words, nullable=False, **how)


_tables = sql.MetaData()
SITE = Table(
    "site",
    _tables,
    _text("link", primary_key=True),
    _text("made"),
    _text("used"),
    Column("head", Integer, nullable=False),  # number of the edit it stands at, 0 at its beginning
    Column("revision", Integer, nullable=False),
)
ROW = Table(
    "row",
    _tables,
    _text("link", primary_key=True),
    _text("key", primary_key=True),
    Column("at", Float, nullable=False),
    _text("json"),
)
EDIT = Table(
    "edit",
    _tables,
    _text("link", primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    _text("made"),
    _text("label"),
    _text("changes"),
    Column("parent", Integer, nullable=False),  # the edit it was laid on: what was taken back stays, beside the line
    sql.Index("edit_line", "link", "parent", "number"),
)
AWAY = Table("away", _tables, _text("link", primary_key=True), _text("at"))
FILE = Table("file", _tables, _text("digest", primary_key=True), Column("content", LargeBinary, nullable=False))
_ABOUT = Table("about", _tables, Column("version", Integer, primary_key=True, autoincrement=False))

_ON_SERVER = (FILE, _ABOUT)  # in a folder files lie beside the database, and SQLite keeps the version itself

#  version → what lifts the one before it to it, in words both databases know
_LIFTS: dict[int, tuple[str, ...]] = {
    2: (
        "ALTER TABLE edit ADD COLUMN parent INTEGER NOT NULL DEFAULT 0",
        "UPDATE edit SET parent = number - 1",
        "CREATE INDEX edit_line ON edit (link, parent, number)",
    ),
}


def in_file(opened: Callable[[], sqlite3.Connection]) -> sql.Engine:
    """The database in a file; each use opens it anew, so that a folder taken away or a full disk is seen at once."""

    def connected() -> sqlite3.Connection:
        db = opened()
        try:
            db.execute("PRAGMA journal_mode=WAL")
            db.execute("PRAGMA synchronous=FULL")
        except BaseException:
            db.close()
            raise
        return db

    engine = sql.create_engine("sqlite://", creator=connected, poolclass=NullPool)
    sql.event.listen(engine, "begin", _begin)
    return engine


def _begin(db: sql.Connection) -> None:
    """Begin at once: the driver itself would begin with the first word that writes, too late to read one moment."""
    db.exec_driver_sql("BEGIN IMMEDIATE" if db.get_execution_options().get("writes") else "BEGIN")


def on_server(url: str, patience_s: float) -> sql.Engine:
    """The database on a server; patience_s : how long to wait for the server, and for another who writes.

    Raises ArgumentError for an address that is none of a PostgreSQL server.
    """
    where = sql.make_url(url)
    if not where.drivername.startswith("postgres"):
        raise sql.exc.ArgumentError("it is no address of a PostgreSQL server")
    where = where.set(drivername="postgresql+psycopg")
    patience = {"connect_timeout": max(2, round(patience_s)), "options": f"-c lock_timeout={round(patience_s * 1000)}"}
    return sql.create_engine(where, pool_pre_ping=True, connect_args=patience)


@contextmanager
def using(engine: sql.Engine, *, writes: bool = False) -> Iterator[sql.Connection]:
    """One transaction: all reads in it see one moment, all it writes is there or nothing of it."""
    how: dict[str, Any] = {"writes": writes}
    if engine.dialect.name != "sqlite":
        how["isolation_level"] = "READ COMMITTED" if writes else "REPEATABLE READ"
    with engine.connect().execution_options(**how) as db, db.begin():
        yield db


def version_of(db: sql.Connection) -> int:
    """Version of the tables, 0 where there are none yet."""
    if db.dialect.name == "sqlite":
        return int(db.exec_driver_sql("PRAGMA user_version").scalar_one())
    db.execute(sql.select(sql.func.pg_advisory_xact_lock(_LOCK)))  # two programs may start at one time
    return int(db.execute(sql.select(_ABOUT.c.version)).scalar_one()) if sql.inspect(db).has_table("about") else 0


def lift(db: sql.Connection, found: int) -> None:
    """Make the tables, or bring those of an older version to this one."""
    in_file = db.dialect.name == "sqlite"
    for version in range(found + 1, VERSION + 1) if found else ():
        for statement in _LIFTS[version]:
            db.exec_driver_sql(statement)
    _tables.create_all(db, [each for each in _tables.sorted_tables if not (in_file and each in _ON_SERVER)])
    if in_file:
        db.exec_driver_sql(f"PRAGMA user_version = {VERSION}")
    else:
        db.execute(_ABOUT.delete())
        db.execute(_ABOUT.insert().values(version=VERSION))
