"""The edits of a site: the line it stands on, what was taken back beside it, and the site as it was at any of them."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cached_property

import sqlalchemy as sql

from sitemap.site.merging import Change
from sitemap.site.store_database import EDIT, ROW
from sitemap.site.store_rows import Laid, Row, changes_of


@dataclass(frozen=True)
class Edit:
    """One edit of a site.

    made : when, in universal time, by the clock of the computer that kept it
    stands : whether the site has it now; False where it was taken back
    laid : the rows it changed
    """

    number: int
    made: str
    label: str
    stands: bool
    laid: Laid

    @cached_property
    def changes(self) -> tuple[Change, ...]:
        """What it changed, value by value; each path begins with the key of its row."""
        return tuple(changes_of(self.laid))


def edits(db: sql.Connection, link: str, head: int, most: int) -> tuple[Edit, ...]:
    """The edits, newest first."""
    stands = set(line(db, link, head))
    query = (
        sql.select(EDIT.c.number, EDIT.c.made, EDIT.c.label, EDIT.c.changes)
        .where(EDIT.c.link == link)
        .order_by(EDIT.c.number.desc())
        .limit(most)
    )
    return tuple(
        Edit(number, made, label, number in stands, _read(text)) for number, made, label, text in db.execute(query)
    )


def laid_by(db: sql.Connection, link: str, number: int) -> Laid:
    """The rows an edit changed; none where there is no such edit."""
    return _read(db.scalar(sql.select(EDIT.c.changes).where(EDIT.c.link == link, EDIT.c.number == number)))


def following(db: sql.Connection, link: str, head: int) -> tuple[int | None, str | None]:
    """Number and label of what redo would do: the newest edit that was laid on this one."""
    query = sql.select(EDIT.c.number, EDIT.c.label).where(EDIT.c.link == link, EDIT.c.parent == head)
    found = db.execute(query.order_by(EDIT.c.number.desc()).limit(1)).one_or_none()
    return (None, None) if found is None else (found.number, found.label)


def parent(db: sql.Connection, link: str, number: int) -> int:
    """The edit another one was laid on; 0 : the site's beginning."""
    query = sql.select(EDIT.c.parent).where(EDIT.c.link == link, EDIT.c.number == number)
    return int(db.execute(query).scalar_one())


def line(db: sql.Connection, link: str, number: int) -> list[int]:
    """An edit and all those it stands on, newest first; the site's beginning (0) comes last."""
    query = sql.select(EDIT.c.number, EDIT.c.parent).where(EDIT.c.link == link)
    parents: dict[int, int] = {each.number: each.parent for each in db.execute(query)}
    found = [number]
    while found[-1]:
        found.append(parents[found[-1]])
    return found


def rows_at(db: sql.Connection, link: str, head: int, number: int) -> dict[str, Row]:
    """The rows of a site as they stood after an edit: back to where the two lines part, then forward."""
    query = sql.select(ROW.c.key, ROW.c.at, ROW.c.json).where(ROW.c.link == link)
    rows: dict[str, Row] = {key: (float(at), str(text)) for key, at, text in db.execute(query)}
    here, there = line(db, link, head), line(db, link, number)
    for each in here:
        if each not in there:
            _step(rows, [(key, before) for key, before, _ in reversed(laid_by(db, link, each))])
    for each in reversed(there):
        if each not in here:
            _step(rows, [(key, after) for key, _, after in laid_by(db, link, each)])
    return rows


def _step(rows: dict[str, Row], new: list[tuple[str, Row | None]]) -> None:
    for key, row in new:
        rows.pop(key, None)
        if row is not None:
            rows[key] = row


def _read(text: str | None) -> Laid:
    rows = json.loads(text) if text else []
    return [(key, before and tuple(before), after and tuple(after)) for key, before, after in rows]
