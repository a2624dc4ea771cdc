"""What two people made of the same values, laid together field by field; where both changed one field, it is told.

Values are plain JSON. Objects are taken apart by their names, lists of things by their ids, other lists of records by
their rows; a shape on the ground, a curve, a number or a text is one value that is changed as a whole.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any, Final

Path = tuple[str | int, ...]  # names of objects, ids of things, numbers of rows; () is the whole
WHOLE = ("geometry",)  # names whose value is never taken apart


class _Nothing:
    """Where there is no value: not even null."""

    def __repr__(self) -> str:
        return "nothing"


NOTHING: Final = _Nothing()


@dataclass(frozen=True)
class Change:
    """One value that became another.

    path : where it stands within the whole
    before, after : what it was and is, or NOTHING
    """

    path: Path
    before: Any
    after: Any


@dataclass(frozen=True)
class Clash:
    """One value that two people changed, each in another way.

    path : where it stands within the whole
    read : what both had before them
    mine, theirs : what each made of it, or NOTHING
    """

    path: Path
    read: Any
    mine: Any
    theirs: Any


def same(one: Any, other: Any) -> bool:
    """Whether two values say the same: the order of names does not matter, and true is not 1.

    >>> same({"a": 1, "b": 2}, {"b": 2, "a": 1}), same(True, 1), same(NOTHING, None)
    (True, False, False)
    """
    return one is other or (NOTHING not in (one, other) and _text(one) == _text(other))


def changes(before: Any, after: Any, path: Path = ()) -> Iterator[Change]:
    """Every value that differs, as small as values are taken apart.

    >>> [(each.path, each.after) for each in changes({"a": {"b": 1, "c": 2}}, {"a": {"b": 3, "c": 2}})]
    [(('a', 'b'), 3)]
    """
    if same(before, after):
        return
    parts = _parts(before, path), _parts(after, path)
    if parts[0] is None or parts[1] is None:
        yield Change(path, before, after)
        return
    for name in _names(*parts):
        yield from changes(parts[0].get(name, NOTHING), parts[1].get(name, NOTHING), (*path, name))


def merged(read: Any, mine: Any, theirs: Any, path: Path = ()) -> tuple[Any, list[Clash]]:
    """What two people made of one value, together; in a clash mine stands.

    read : what both had before them

    >>> merged({"high": 2, "name": "P1"}, {"high": 3, "name": "P1"}, {"high": 2, "name": "Oak"})
    ({'high': 3, 'name': 'Oak'}, [])
    >>> merged(2, 3, 4)[1]
    [Clash(path=(), read=2, mine=3, theirs=4)]
    """
    if same(mine, read) or same(mine, theirs):
        return theirs, []
    if same(theirs, read):
        return mine, []
    if _records(read) and _records(mine) and _records(theirs):
        laid = _rows(list(read), list(mine), list(theirs), path)
        if laid is not None:
            return laid
    read = {} if read is NOTHING and isinstance(mine, dict) else read  # both began it
    was, own, other = (_parts(value, path) for value in (read, mine, theirs))
    if was is None or own is None or other is None:
        return mine, [Clash(path, read, mine, theirs)]
    result, clashes = {}, []
    for name in _names(other, own):
        one, two, three = (part.get(name, NOTHING) for part in (was, own, other))
        value, found = merged(one, two, three, (*path, name))
        clashes += found
        if value is not NOTHING:
            result[name] = value
    return (list(result.values()) if isinstance(mine, list) else result), clashes


def value_at(whole: Any, path: Path) -> Any:
    """The value at a path, NOTHING where there is none."""
    for step in path:
        parts = _steps(whole)
        whole = NOTHING if parts is None else parts.get(step, NOTHING)
    return whole


def put_at(whole: Any, path: Path, value: Any) -> Any:
    """The whole with another value at a path; NOTHING takes it away.

    >>> put_at({"pumps": [{"id": "a", "head": 3}]}, ("pumps", "a", "head"), 4)
    {'pumps': [{'id': 'a', 'head': 4}]}
    """
    if not path:
        return value
    parts = dict(_steps(whole) or {})
    parts[path[0]] = put_at(parts.get(path[0], NOTHING), path[1:], value)
    left = {name: each for name, each in parts.items() if each is not NOTHING}
    return list(left.values()) if isinstance(whole, list) else left


def _text(value: Any) -> str:
    return json.dumps(value, sort_keys=True)


def _names(*parts: Any) -> dict[Any, None]:
    return dict.fromkeys(name for part in parts for name in part or ())


def _records(value: Any) -> bool:
    """Whether this is a list of records without ids: rows, told apart by what they say."""
    return isinstance(value, list) and _parts(value, ()) is None and all(isinstance(each, dict) for each in value)


def _steps(value: Any) -> dict[Any, Any] | None:
    """The parts of a value as a path names them: a list without ids by its rows' numbers."""
    parts = _parts(value, ())
    return dict(enumerate(value)) if parts is None and isinstance(value, list) else parts


def _parts(value: Any, path: Path) -> dict[Any, Any] | None:
    """A value taken apart by names or ids; None for one that is not."""
    if path and path[-1] in WHOLE:
        return None
    if isinstance(value, dict):
        return value
    if isinstance(value, list) and value:
        ids = [each.get("id") if isinstance(each, dict) else None for each in value]
        if all(isinstance(each, str) and each for each in ids) and len(set(ids)) == len(ids):
            return dict(zip(ids, value, strict=True))
    return None


def _rows(read: list[Any], mine: list[Any], theirs: list[Any], path: Path) -> tuple[list[Any], list[Clash]] | None:
    """Rows added, changed and taken away on both sides; None where that cannot be told apart row by row."""
    hunks = sorted(
        [(low, high, 0, rows) for low, high, rows in _hunks(read, theirs)]
        + [(low, high, 1, rows) for low, high, rows in _hunks(read, mine)],
        key=lambda hunk: hunk[:3],
    )
    result: list[Any] = []
    clashes: list[Clash] = []
    at = 0
    while hunks:
        low, high, _, rows = hunks.pop(0)
        result += read[at:low]
        if hunks and hunks[0][0] < high:  # both changed the same rows
            *where, _, own = hunks.pop(0)
            if where != [low, high] or (not same(rows, own) and not len(rows) == len(own) == high - low):
                return None
            for number, (one, two) in enumerate(zip(own, rows, strict=True), start=low):
                value, found = merged(read[number], one, two, (*path, len(result)))
                clashes += found
                result.append(value)
        else:
            result += rows
        at = high
    return result + read[at:], clashes


def _hunks(before: list[Any], after: list[Any]) -> Iterator[tuple[int, int, list[Any]]]:
    """(first row, row after the last, what stands there now) of each change; rows changed in place one by one."""
    matcher = SequenceMatcher(None, [_text(row) for row in before], [_text(row) for row in after], autojunk=False)
    for tag, low, high, start, end in matcher.get_opcodes():
        if tag == "replace" and high - low == end - start:
            yield from ((low + row, low + row + 1, [after[start + row]]) for row in range(high - low))
        elif tag != "equal":
            yield low, high, after[start:end]
