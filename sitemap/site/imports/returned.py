"""What the phone page sent back from the landing, taken into ticks and log: nothing is overwritten, nothing doubled."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sitemap.errors import BadFile
from sitemap.reasons import Term, reason
from sitemap.site.attributes import Attribute
from sitemap.site.frozen import FrozenDict, thaw
from sitemap.site.log_values import BAGS, EVENTS, LOG
from sitemap.site.model import Site
from sitemap.units import SYSTEMS, from_display

MARK = "pitstead_from_the_landing"  # the member a returned file is known by, its value the format
FORMAT = 1
_LONGEST = 2000  # letters of a text; nobody types more on a phone
_MOST = 5000  # entries
_LOG, _BAGS = ({attribute.name: attribute for attribute in each} for each in (LOG, BAGS))
_OURS = ("what", "who", "when", "time", "found", "phone", *_LOG, *_BAGS)
_LOOKS = ("cold", "warm")  # what a line says of a cold check
_EVENTS = tuple(key for key, _ in EVENTS)


@dataclass(frozen=True)
class Returned:
    """A returned file against a site.

    ticks, log, cold, bags : records that the site does not hold yet; doubles : how many it holds already
    """

    name: str
    site: str
    ticks: tuple[Mapping[str, Any], ...]
    log: tuple[Mapping[str, Any], ...]
    doubles: int
    cold: tuple[Mapping[str, Any], ...] = ()
    bags: tuple[Mapping[str, Any], ...] = ()

    @property
    def count(self) -> int:
        """How many records are new."""
        return len(self.ticks) + len(self.log) + len(self.cold) + len(self.bags)


def plan_id(site_name: str, on: dt.date | None) -> str:
    """Names a plan: the site and its day. What is typed on a phone is kept under it."""
    return hashlib.sha256(f"{site_name}\n{on.isoformat() if on is not None else ''}".encode()).hexdigest()[:16]


def is_returned(text: str) -> bool:
    """Whether a text is a file of the phone page, whole or not."""
    return text.lstrip().startswith("{") and f'"{MARK}"' in text[:2000]


def read_returned(name: str, text: str, site: Site) -> Returned:
    """Read a returned file.

    Raises
    ------
    BadFile : it is not whole, of a newer format, of another site, or an entry in it cannot be read
    """
    try:
        raw = json.loads(text)
    except (json.JSONDecodeError, RecursionError) as error:
        raise BadFile(reason("returned.not_whole", name=name)) from error
    if not isinstance(raw, dict) or raw.get(MARK) != FORMAT:
        raise BadFile(reason("returned.newer", name=name))
    own = str(site.member.get("name") or "")
    if raw.get("site") != own:
        raise BadFile(reason("returned.other_site", theirs=str(raw.get("site"))[:80], own=own, name=name))
    units = raw.get("units")
    if units not in SYSTEMS:
        raise BadFile(reason("returned.no_units", name=name))
    entries = [_entries(name, raw, key) for key in ("ticks", "log")]
    ticks = [_tick(name, entry) for entry in entries[0]]
    log = [_line(name, entry, units) for entry in entries[1] if entry.get("event") not in _LOOKS]
    cold = [_cold(name, entry) for entry in entries[1] if entry.get("event") in _LOOKS]
    bags = [_bags(name, entry, units) for entry in (_entries(name, raw, "bags") if "bags" in raw else ())]
    made = {"ticks": ticks, "log": log, "cold": cold, "bags": bags}
    new = {key: _new(records, _held(site, key)) for key, records in made.items()}
    doubles = sum(map(len, made.values())) - sum(map(len, new.values()))
    return Returned(name, own, new["ticks"], new["log"], doubles, new["cold"], new["bags"])


def with_returned(site: Site, returned: Returned) -> Site:
    """The site with what it lacked, behind what it holds."""
    for key in ("ticks", "log", "cold", "bags"):
        records = getattr(returned, key)
        if records:
            before = site.member.get(key)
            kept = thaw(before) if isinstance(before, tuple) else []
            site = site.with_member(key, [*kept, *(dict(record) for record in records)])
    return site


def _entries(name: str, raw: dict[str, Any], key: str) -> list[dict[str, Any]]:
    found = raw.get(key)
    if not isinstance(found, list) or not all(isinstance(each, dict) for each in found) or len(found) > _MOST:
        raise BadFile(reason("returned.no_list", key=key, name=name))
    return found


def _tick(name: str, entry: dict[str, Any]) -> dict[str, Any]:
    made = {key: _words(name, entry, key) for key in ("what", "who", "when")}
    return {**made, "phone": _words(name, entry, "id")}


def _line(name: str, entry: dict[str, Any], units: str) -> dict[str, Any]:
    """A line of the log: hour and name stand before what was written."""
    date = _date(name, entry)
    event = _words(name, entry, "event") or None
    if event is not None and event not in _EVENTS:
        raise BadFile(reason("returned.strange_line", event=event[:20], name=name))
    head = " ".join(filter(None, (_words(name, entry, "at"), _words(name, entry, "who"))))
    said = _words(name, entry, "text")
    made: dict[str, Any] = {"date": date, "kiln": _words(name, entry, "kiln") or None}
    made["text"] = f"{head}: {said}" if said else head
    made |= {"event": event, "at": _words(name, entry, "at") if event else None}
    made["buckets"] = _number(name, entry, "buckets")
    water = _number(name, entry, "water")
    made["water_l"] = None if water is None else round(from_display(water, "l", units), 3)
    more = _more(name, entry, _LOG, units)
    made |= {"at": more.get("lit") or made["at"], **more}
    return {key: value for key, value in {**made, "phone": _words(name, entry, "id")}.items() if value is not None}


def _bags(name: str, entry: dict[str, Any], units: str) -> dict[str, Any]:
    """Bags counted and weighed."""
    made = {"bagged": _date(name, entry), "kiln": _words(name, entry, "kiln")} | _more(name, entry, _BAGS, units)
    return {**{key: value for key, value in made.items() if value}, "phone": _words(name, entry, "id")}


def _more(name: str, entry: dict[str, Any], known: Mapping[str, Attribute], units: str) -> dict[str, Any]:
    """What was typed in folded fields, under the names of the log, in its units."""
    more = entry.get("more", {})
    if not isinstance(more, dict):
        raise BadFile(reason("returned.strange_fields", name=name))
    found: dict[str, Any] = {}
    for key, typed in more.items():
        attribute = known.get(key)
        if attribute is None:
            raise BadFile(reason("returned.strange_field", key=key[:20], name=name))
        value: Any = _words(name, more, key) if isinstance(typed, str) else _number(name, more, key)
        if attribute.type == "references":
            value = (value,)
        elif isinstance(value, float):
            value = round(from_display(value, attribute.unit, units), 4) if attribute.unit else value
            value = int(value) if attribute.type == "integer" and value.is_integer() else value
        fault = attribute.fault(value)
        if fault is not None:
            label = Term(attribute.label)
            raise BadFile(reason("returned.bad_value", name=name, what=label, typed=str(typed)[:20], why=fault))
        found[key] = list(value) if isinstance(value, tuple) else value
    return found


def _cold(name: str, entry: dict[str, Any]) -> dict[str, Any]:
    """What a look found."""
    made = {"kiln": _words(name, entry, "kiln"), "date": _date(name, entry), "time": _words(name, entry, "at")}
    made |= {"who": _words(name, entry, "who"), "found": _words(name, entry, "event")}
    return {**{key: value for key, value in made.items() if value}, "phone": _words(name, entry, "id")}


def _date(name: str, entry: dict[str, Any]) -> str:
    date = _words(name, entry, "date")
    try:
        dt.date.fromisoformat(date)
    except ValueError as error:
        raise BadFile(reason("returned.no_date", date=date[:20], name=name)) from error
    return date


def _words(name: str, entry: dict[str, Any], key: str) -> str:
    value = entry.get(key, "")
    if not isinstance(value, str) or len(value) > _LONGEST:
        raise BadFile(reason("returned.no_short_text", key=key, name=name))
    return value.strip()


def _number(name: str, entry: dict[str, Any], key: str) -> float | None:
    value = entry.get(key)
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value) or value < 0:
        raise BadFile(reason("returned.no_amount", key=key, value=str(value)[:20], name=name))
    return float(value)


def _held(site: Site, key: str) -> list[dict[str, Any]]:
    found = site.member.get(key)
    return [thaw(each) for each in found if isinstance(each, FrozenDict)] if isinstance(found, tuple) else []


def _new(records: list[dict[str, Any]], held: list[dict[str, Any]]) -> tuple[dict[str, Any], ...]:
    """Records that are not held yet, by what they say or by the mark the phone gave them."""
    known = {_said(record) for record in held}
    marks = {record["phone"] for record in held if record.get("phone")}
    new = []
    for record in records:
        if _said(record) not in known and record.get("phone") not in marks:
            new.append(record)
            known.add(_said(record))
            marks.add(record.get("phone"))
    return tuple(new)


def _said(record: Mapping[str, Any]) -> str:
    return json.dumps({key: record.get(key) for key in _OURS if key != "phone"}, sort_keys=True)
