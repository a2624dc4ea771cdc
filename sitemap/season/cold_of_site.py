"""What of a site is not proved cold: where it burned, who looked, what is due, and which kilns it bars."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shapely.geometry import Point

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.geodesy.plane import Plane
from sitemap.kiln.reading import hour_minute
from sitemap.reasons import KilnName, Reason, Term, reason
from sitemap.safety.permission import Check, checked
from sitemap.season.batches import NO_KILN, Batch, batches_of, places_of
from sitemap.season.beds import beds_of, looks_of
from sitemap.season.cold import Cold, Due, Look, Since, cold_after
from sitemap.site.burned_places import stood_at
from sitemap.site.model import Entry, Feature, Site
from sitemap.site.on_plane import near_shape
from sitemap.site.seen import lonlat_of

SAID_BURNED = ("burned", "cold")  # of a kiln spot, a word without a day: the log says when, and who looked
_LOOSE_PLACE_M = 10.0  # [m] error of a place nobody said the error of, as under trees
DUE_WORDS = {
    "first": "two hours after the water",
    "next_morning": "next morning",
    "day_3": "day 3",
    "day_7": "day 7",
    "day_14": "day 14",
}


@dataclass(frozen=True)
class Burned:
    """One place where something burned.

    place, name, spot : as of a `Batch`; of several places of one kiln the name says which
    at : where it burned, each place (longitude, latitude); empty where nobody knows
    on : day of its last batch; None where one has no day, or none that can be
    cold : what the looks say; None where the day is not known
    told : how it stands, a sentence
    """

    place: str
    name: str
    spot: str | None
    at: tuple[tuple[float, float], ...]
    on: dt.date | None
    cold: Cold | None
    told: Reason

    @property
    def proved(self) -> bool:
        """Whether it is proved cold."""
        return self.cold is not None and self.cold.proved

    def open(self, today: dt.date) -> tuple[Due, ...]:
        """Looks due that nobody did."""
        return () if self.cold is None else self.cold.open(today)


def burned_of(site: Site, today: dt.date | None, before: dt.date | None = None) -> tuple[Burned, ...]:
    """Every place where something burned, in the order of the log; a kiln that burned at two has two.

    site : as entered; today : what is dated later has not been seen, None: everything has; before : batches of this
    day and later are left out; a batch without a day, or of a day still to come, stays
    """
    batches, looks, names = batches_of(site), _looks(site), places_of(site)
    found: dict[str, list[Batch]] = {}
    for batch in batches:
        to_come = batch.on is not None and today is not None and batch.on > today
        if before is None or batch.on is None or to_come or batch.on < before:
            found.setdefault(batch.place, []).append(batch)
    logged = {batch.place for batch in batches}
    for each in site.of_kind("kiln_spot"):
        if each.choice("status") in SAID_BURNED and each.id not in logged:
            found[each.id] = []
    made = []
    for place, own in found.items():
        name, spot = _named(site, place, own)
        beds = beds_of(own, _standing(site, spot))
        for bed in beds:
            said, seen = bed.named(name) if len(beds) > 1 else name, looks_of(bed, beds, place, looks, names)
            made.append(_burned(place, said, spot, bed.at, bed.batches, seen, today))
    return tuple(made)


def _standing(site: Site, spot_id: str | None) -> tuple[tuple[float, float], ...]:
    """Where a kiln spot stands, and once stood."""
    spot = None if spot_id is None else site.get(spot_id)
    if spot is None:
        return ()
    now = lonlat_of(site, spot)
    return (*(() if now is None else ((now[0], now[1]),)), *stood_at(spot))


def cold_checks(
    site: Site, plane: Plane | None, on: dt.date | None, today: dt.date | None
) -> dict[str, tuple[Check, ...]]:
    """What bars each kiln because of what is not proved cold beside it, by id of its spot; nothing else has an entry.

    What burns on the burn date itself is part of its plan: it bars nothing unless somebody found it warm.
    """
    open_ = [each for each in burned_of(site, today or on, on) if not each.proved]
    running = {(each.place, each.at) for each in open_}
    open_ += [
        each
        for each in burned_of(site, today or on)
        if (each.place, each.at) not in running
        and each.cold is not None
        and each.cold.warm is not None
        and not each.proved
    ]
    found, heaps = {}, _heaps_untold(site)
    for spot in site.of_kind("kiln_spot"):
        bars = tuple(_bar(each) for each in open_ if _beside(site, plane, spot, each))
        bars += tuple(_heap_bar(heap) for heap in heaps if _heap_beside(plane, spot, heap))
        if bars:
            found[spot.id] = bars
    return found


def _bar(burned: Burned) -> Check:
    verdict = "not known" if burned.cold is None else "not proved cold"
    action = reason("action.prove_cold" if burned.cold is not None else "action.say_when_burned")
    return checked("cold", verdict, burned.spot or "site", burned.told, action)


def _heaps_untold(site: Site) -> tuple[Feature, ...]:
    """Heaps that are said to be burned, in no kiln the log tells of: they may have burned where they lie."""
    batches = [batch for batch in batches_of(site) if batch.sure]
    burned_at = {batch.spot for batch in batches}
    told = {heap for batch in batches for heap in (*batch.heaps, *batch.done)}
    told |= {heap for spot in site.of_kind("kiln_spot") if spot.id in burned_at for heap in spot.names("serves")}
    heaps = site.of_kind("pile", "windrow")
    return tuple(heap for heap in heaps if heap.choice("status") == "burned" and heap.id not in told)


def _heap_bar(heap: Feature) -> Check:
    told = reason("after.heap_burned", name=heap.name)
    return checked("cold", "not known", heap.id, told, reason("action.say_heap_burned"))


def _heap_beside(plane: Plane | None, spot: Feature, heap: Feature) -> bool:
    """Whether a heap lies so near that it bars the kiln; what has no place may lie anywhere."""
    shapes = [None if plane is None else near_shape(each, plane) for each in (spot, heap)]
    if shapes[0] is None or shapes[1] is None:
        return True
    near_m = tables.value("cold", "beside") + _error_m(spot) + _error_m(heap)
    return bool(shapes[0].distance(shapes[1]) < near_m)


def _beside(site: Site, plane: Plane | None, spot: Feature, burned: Burned) -> bool:
    """Whether it lies so near that it bars the kiln; what has no place may lie anywhere."""
    if burned.spot == spot.id:
        return True
    shape = None if plane is None else near_shape(spot, plane)
    if plane is None or shape is None or not burned.at:
        return True
    other = None if burned.spot is None else site.get(burned.spot)
    near_m = tables.value("cold", "beside") + _error_m(spot) + _error_m(other)
    return any(shape.distance(Point(*(float(part) for part in plane.xy(*at)))) < near_m for at in burned.at)


def _error_m(spot: Feature | None) -> float:
    said = None if spot is None else spot.number("position_error_m")
    return _LOOSE_PLACE_M if said is None else said


def _named(site: Site, place: str, own: list[Batch]) -> tuple[str, str | None]:
    if own:
        return own[-1].name, own[-1].spot
    spot = site.get(place)
    return (place, None) if spot is None else (spot.name, spot.id)


def _burned(
    place: str,
    name: str,
    spot: str | None,
    at: tuple[tuple[float, float], ...],
    own: Sequence[Batch],
    looks: Iterable[Look],
    today: dt.date | None,
) -> Burned:
    days = [batch.on for batch in own]
    if not days or None in days:
        why = reason("after.burned_no_day", name=_kiln(name))
        return Burned(place, name, spot, at, None, None, why)
    last = max(own, key=_end)
    on = last.on
    assert on is not None
    if today is not None and on > today:
        why = reason("after.burned_to_come", name=_kiln(name), on=on)
        return Burned(place, name, spot, at, None, None, why)
    moment = last.time("out") if last.time("water_on") is None else last.time("water_on")
    cold = cold_after(Since(on if moment is None else moment.date(), moment), looks, today)
    return Burned(place, name, spot, at, on, cold, _told(name, on, cold))


def _end(batch: Batch) -> tuple[dt.date, dt.datetime]:
    on = batch.on
    assert on is not None
    known = [moment for _, moment in batch.times]
    return on, max(known, default=dt.datetime.combine(on, dt.time.max))


def _told(name: str, on: dt.date, cold: Cold) -> Reason:
    if cold.proved:
        last = cold.counted[-1]
        return reason("after.proved_cold", name=_kiln(name), on=last.on, who=last.who)
    least, done = int(tables.load("cold")["least_checks"]["value"]), len(cold.counted)
    if cold.warm is None:
        return reason("after.not_cold", name=_kiln(name), on=on, done=done, least=least)
    day = reason("after.day_not_said") if cold.warm.on is None else reason("after.on_day", on=cold.warm.on)
    return reason("after.found_warm", name=_kiln(name), day=day, done=done, least=least)


def _kiln(name: str) -> KilnName | Term:
    return Term("a kiln nobody named") if name == NO_KILN else KilnName(name)


def due_told(due: Due) -> Reason:
    """Which look is due, and when."""
    what = Term(DUE_WORDS[due.what])
    if due.at is None:
        return reason("after.check_due", what=what, on=due.on)
    return reason("after.check_due_at", what=what, on=due.on, at=due.at)


def _looks(site: Site) -> list[tuple[str, Look]]:
    """Every look: of the cold checks, and what a phone page ticked ("cold first K1")."""
    found = [(entry.text("kiln") or "", _look(entry)) for entry in site.records("cold")]
    for entry in site.records("ticks"):
        word, _, rest = (entry.text("what") or "").strip().partition(" ")
        what, _, kiln = rest.partition(" ")
        if word == "cold" and what in DUE_WORDS and kiln:
            day, _, hour = (entry.text("when") or "").strip().partition(" ")
            found.append((kiln, Look(_day(day), _hour(hour), entry.text("who") or "", "cold")))
    return found


def _look(entry: Entry) -> Look:
    return Look(entry.date("date"), _hour(entry.text("time")), (entry.text("who") or "").strip(), entry.choice("found"))


def _day(text: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        return None


def _hour(text: str | None) -> dt.time | None:
    try:
        return hour_minute(text) if text else None
    except BadValue:
        return None
