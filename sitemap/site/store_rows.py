"""A site as the rows the store keeps: one for each thing on the ground and for each key of the `site` member."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any
from weakref import WeakValueDictionary

from sitemap.site.file import feature_json, feature_of
from sitemap.site.frozen import FrozenDict, thaw
from sitemap.site.merging import NOTHING, Change, Clash, Path, changes, merged, put_at, same, value_at
from sitemap.site.model import Feature, Site

FEATURE, MEMBER, TOP = "feature:", "member:", "top:"
Row = tuple[float, str]  # its place in the order of things, and its value as JSON
_HELD: WeakValueDictionary[str, Feature] = WeakValueDictionary()  # by their rows, as long as somebody holds them
Laid = list[tuple[str, Row | None, Row | None]]  # key, row before, row after


def rows_of(site: Site, but: Site | None = None) -> dict[str, Row]:
    """Rows of a site; features and members that are the same object in `but` are passed over."""
    same_things = {id(feature) for feature in but.features} if but else set()
    rows: dict[str, Row] = {
        FEATURE + feature.id: (float(number), text_of(feature_json(feature)))
        for number, feature in enumerate(site.features)
        if id(feature) not in same_things
    }
    for start, members, others in (
        (MEMBER, site.member, but.member if but else FrozenDict()),
        (TOP, site.members, but.members if but else FrozenDict()),
    ):
        rows |= {start + k: (-1.0, text_of(v)) for k, v in members.items() if k not in others or others[k] is not v}
        # A key whose value is shared with the other site has not changed: it must not look deleted there either.
    return rows


def site_of(rows: Iterable[tuple[str, str]]) -> Site:
    """The site of (key, JSON) pairs, things in their order."""
    features, member, members = [], {}, {}
    for key, text in rows:
        if key.startswith(FEATURE):
            features.append(_thing(text))
        elif key.startswith(MEMBER):
            member[key[len(MEMBER) :]] = json.loads(text)
        else:
            members[key[len(TOP) :]] = json.loads(text)
    return Site(tuple(features), FrozenDict(member), FrozenDict(members))


def _thing(text: str) -> Feature:
    """A thing from its row: the very one somebody holds already where its row says the same, so that an edit of another
    thing leaves all that was read of it as it is."""
    held = _HELD.get(text)
    if held is None:
        value = json.loads(text)
        held = _HELD[text] = feature_of(value, value["id"])
    return held


def laid(key: str, read: Row | None, mine: Row | None, now: Row | None, end: float) -> tuple[Row | None, list[Clash]]:
    """The change from read to mine laid on what stands now, field by field; in a clash mine stands.

    end : the place of a thing that is not there any more or not yet
    """
    place = now[0] if now else end
    if (now and now[1]) == (read and read[1]):  # nobody else touched it
        return (None if mine is None else (place, mine[1])), []
    before, wanted, stands = map(_value, (read, mine, now))
    if read is None and mine and now and key.startswith(FEATURE):  # two things that came by one id are not mixed
        return (now[0], mine[1]), [] if same(wanted, stands) else [Clash((key,), before, wanted, stands)]
    value, clashes = merged(before, wanted, stands, (key,))
    return (None if value is NOTHING else (place, text_of(value))), clashes


def with_value(site: Site, path: Path, value: Any) -> Site:
    """The site with another value at a path, whose first step is the key of a row; NOTHING takes it away."""
    key, *inner = str(path[0]), *path[1:]
    new = put_at(value_in(site, path[:1]), tuple(inner), value)
    if key.startswith(FEATURE):
        id_ = key[len(FEATURE) :]
        return site.without(id_) if new is NOTHING else site.put(feature_of(new, id_))
    if key.startswith(MEMBER):
        return site.with_member(key[len(MEMBER) :], None if new is NOTHING else new)
    members = {**site.members, key[len(TOP) :]: new}
    return Site(site.features, site.member, FrozenDict({k: v for k, v in members.items() if v is not NOTHING}))


def value_in(site: Site, path: Path) -> Any:
    """The value at a path, whose first step is the key of a row; NOTHING where there is none."""
    key = str(path[0])
    if key.startswith(FEATURE):
        feature = site.get(key[len(FEATURE) :])
        whole = NOTHING if feature is None else thaw(feature_json(feature))
    else:
        start, members = (MEMBER, site.member) if key.startswith(MEMBER) else (TOP, site.members)
        whole = thaw(members[key[len(start) :]]) if key[len(start) :] in members else NOTHING
    return value_at(whole, path[1:])


def changes_of(edits: Laid) -> Iterator[Change]:
    """What an edit changed, value by value; each path begins with the key of its row."""
    for key, before, after in edits:
        yield from changes(_value(before), _value(after), (key,))


def text_of(value: Any) -> str:
    """A value as JSON text."""
    return json.dumps(thaw(value), ensure_ascii=False, allow_nan=False)


def _value(row: Row | None) -> Any:
    return NOTHING if row is None else json.loads(row[1])
