"""What a disk may refuse, as one sentence each: what is wrong, where, how to mend it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import sqlalchemy as sql

from sitemap.errors import BadStore
from sitemap.reasons import Reason, Term, reason

_DAMAGED = ("SQLITE_CORRUPT", "SQLITE_NOTADB")
_WRONG = (  # the start of SQLite's own name of what happened, and what it means to a person
    ("SQLITE_FULL", reason("store.disk_full")),
    ("SQLITE_READONLY", reason("store.read_only_folder")),
    ("SQLITE_BUSY", reason("store.held")),
    ("SQLITE_LOCKED", reason("store.held")),
    ("SQLITE_CANTOPEN", reason("store.folder_gone")),
    ("SQLITE_IOERR", reason("store.disk_silent")),
)
_SERVER = (  # the start of PostgreSQL's own code of what happened (appendix A of its manual), and what it means
    ("53", reason("store.server_full")),
    ("55P03", reason("store.server_held")),
    ("57", reason("store.server_stopping")),
    ("25006", reason("store.read_only")),
    ("42501", reason("store.no_leave")),
)


class DamagedStore(BadStore):
    """The database is no database any more, or not a whole one."""


@contextmanager
def telling(folder: Path, url: str | None = None) -> Iterator[None]:
    """Turn what the database or the disk says inside the block into BadStore; a damaged database into DamagedStore.

    url : of the server that keeps the sites, where one does
    """
    try:
        yield
    except (sqlite3.Error, sql.exc.DBAPIError) as error:
        said = error.orig if isinstance(error, sql.exc.DBAPIError) else error
        if url is not None:
            raise BadStore(_of_server(url, said)) from error
        name = getattr(said, "sqlite_errorname", None) or ""
        if name.startswith(_DAMAGED):
            raise DamagedStore(reason("store.damaged_here", folder=str(folder))) from error
        wrong: Reason | str = next((found for start, found in _WRONG if name.startswith(start)), str(said))
        raise BadStore(reason("store.not_kept", folder=str(folder), wrong=wrong)) from error
    except (sql.exc.ArgumentError, ImportError) as error:
        raise BadStore(_of_url(str(error))) from error
    except OSError as error:
        raise BadStore(reason("store.folder", folder=str(folder), why=str(error.strerror or error))) from error


def _of_server(url: str, said: BaseException | None) -> Reason:
    """What a server that does not keep the sites says, in its first line; the password stays out of it."""
    code = str(getattr(said, "sqlstate", None) or "")
    own = str(said).strip().partition("\n")[0]
    wrong: Reason | str = next((found for start, found in _SERVER if code.startswith(start)), own)
    where = sql.make_url(url)
    host = where.host or str(where.query.get("host") or "") or Term("of this computer")
    return reason("store.server", host=host, wrong=wrong)


def _of_url(said: str) -> Reason:
    return reason("store.database_address", why=said.partition(chr(10))[0])


def moved_aside(to: Path) -> Reason:
    """What to say once a damaged database was moved."""
    return reason("store.moved_aside", to=str(to))
