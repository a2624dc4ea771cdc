"""Whose site is whose, and the word by which a person comes back to them: two tables beside the sites.

Of a word only a slow hash is kept (scrypt, RFC 7914, with a salt of its own). A site nobody owns was made while the
program was not shared: it belongs to who started the program.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import sqlalchemy as sql
from sqlalchemy import Boolean, Column, LargeBinary, String, Table

from sitemap.errors import BadValue
from sitemap.reasons import reason
from sitemap.site.store import Store

_tables = sql.MetaData()
_PERSON = Table(
    "person",
    _tables,
    Column("key", String, primary_key=True),
    Column("name", String, nullable=False),
    Column("salt", LargeBinary, nullable=False),
    Column("hash", LargeBinary, nullable=False),
)
_OWNER = Table(
    "owner",
    _tables,
    Column("link", String, primary_key=True),
    Column("key", String, nullable=False),
    Column("shared", Boolean, nullable=False),
)
SHORTEST, LONGEST = 6, 60  # letters of a word, of a name; ours


@dataclass(frozen=True)
class Owned:
    """Who owns a site, and whether everybody let in may use it."""

    key: str
    shared: bool

    def by(self, name: str) -> bool:
        """Whether the owner goes by a name."""
        return self.key == _key(name)


class People:
    """The people of a store."""

    def __init__(self, store: Store) -> None:
        self._store, self._made = store, False

    def known_as(self, name: str, word: str) -> str | None:
        """The name of a person, as first written, by name and word; a new name takes the word for its own.

        None where the name belongs to somebody with another word. Raises BadValue for a name or a word that is none.
        """
        name = " ".join(name.split())
        if not 1 <= len(name) <= LONGEST or not name.isprintable():
            raise BadValue(reason("store.say_who", most=LONGEST))
        if not SHORTEST <= len(word) <= 200:
            raise BadValue(reason("store.own_word", least=SHORTEST))
        with self._tables() as db:
            found = db.execute(sql.select(_PERSON).where(_PERSON.c.key == _key(name))).one_or_none()
            if found is None:
                salt = secrets.token_bytes(16)
                person = {"key": _key(name), "name": name, "salt": salt, "hash": _hash(word, salt)}
                db.execute(_PERSON.insert().values(person))
                return name
        return str(found.name) if hmac.compare_digest(_hash(word, found.salt), found.hash) else None

    def of(self, link: str) -> Owned | None:
        """Who owns a site; None where nobody does."""
        return self.owned(link).get(link)

    def owned(self, *links: str) -> dict[str, Owned]:
        """Link → owner, of some sites; of all where none is named."""
        wanted = sql.select(_OWNER)
        with self._tables() as db:
            found = db.execute(wanted.where(_OWNER.c.link.in_(links)) if links else wanted).all()
        return {str(each.link): Owned(str(each.key), bool(each.shared)) for each in found}

    def own(self, link: str, name: str) -> None:
        """A site that nobody owns belongs to a person."""
        with self._tables() as db:
            if db.execute(sql.select(_OWNER.c.key).where(_OWNER.c.link == link)).first() is None:
                db.execute(_OWNER.insert().values(link=link, key=_key(name), shared=False))

    def share(self, link: str, shared: bool) -> None:
        """Let everybody who is let in use a site, or only its owner again."""
        with self._tables() as db:
            db.execute(_OWNER.update().where(_OWNER.c.link == link).values(shared=shared))

    @contextmanager
    def _tables(self) -> Iterator[sql.Connection]:
        with self._store.beside() as db:
            if not self._made:
                _tables.create_all(db)
            yield db
        self._made = True


def _key(name: str) -> str:
    return " ".join(name.split()).casefold()


def _hash(word: str, salt: bytes) -> bytes:
    return hashlib.scrypt(word.encode(), salt=salt, n=2**14, r=8, p=1)
