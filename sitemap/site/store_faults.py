"""What a disk may refuse, as one sentence each: what is wrong, where, how to mend it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sitemap.errors import BadStore

_WAY_OUT = "Save the site as a file before you close this page."
_DAMAGED = ("SQLITE_CORRUPT", "SQLITE_NOTADB")
_WRONG = (  # the start of SQLite's own name of what happened, and what it means to a person
    ("SQLITE_FULL", "the disk is full; make room"),
    ("SQLITE_READONLY", "they may only be read there; give leave to write, or name another folder in PITSTEAD_DATA"),
    ("SQLITE_BUSY", "another program holds them; close it"),
    ("SQLITE_LOCKED", "another program holds them; close it"),
    ("SQLITE_CANTOPEN", "the folder is gone or may not be opened"),
    ("SQLITE_IOERR", "the disk does not answer as it should"),
)


class DamagedStore(BadStore):
    """The database is no database any more, or not a whole one."""


@contextmanager
def telling(folder: Path) -> Iterator[None]:
    """Turn what the database or the disk says inside the block into BadStore; a damaged database into DamagedStore."""
    try:
        yield
    except sqlite3.Error as error:
        name = getattr(error, "sqlite_errorname", None) or ""
        if name.startswith(_DAMAGED):
            raise DamagedStore(f"The kept sites in {folder} are damaged. {_WAY_OUT}") from error
        wrong = next((said for start, said in _WRONG if name.startswith(start)), str(error))
        raise BadStore(f"The sites in {folder} cannot be kept: {wrong}. {_WAY_OUT}") from error
    except OSError as error:
        raise BadStore(f"The folder {folder} cannot be written: {error.strerror or error}. {_WAY_OUT}") from error


def moved_aside(to: Path) -> str:
    """What to say once a damaged database was moved."""
    return (
        f"The sites kept on this computer were damaged; they lie in {to} as they were, for somebody who can read them. "
        "Open your own copy of a site file; what is open on a page is kept anew."
    )
