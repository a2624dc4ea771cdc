"""The batches of a log: a row typed by hand is one, and the lines of a phone make one for each kiln and lighting."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from sitemap.errors import BadValue
from sitemap.kiln.reading import hour_minute
from sitemap.notes import Note
from sitemap.reasons import KilnName, Reason, reason
from sitemap.site.burned_places import burned_at
from sitemap.site.model import Entry, Site

_MOMENTS = ("lit", "fed_last", "water_on", "out")  # in their order
_COUNTED = ("buckets", "water_l", "uncharred", "water_loads", "water_min")  # added up over the lines of a batch
_KEPT = ("thickest_cm", "moisture_pct", "fed_kg", "bucket_kg")  # said once
_TOLD = (*_MOMENTS, *_COUNTED, *_KEPT, "event", "heaps", "heaps_done")  # without any of them a line is words alone
NO_KILN = ""
MOST_HOURS = 16.0  # [h] from lighting to water; longer is a slip of the pen: judgement
Place = tuple[str, str, str | None]  # where something burned, its name, id of the kiln spot where it is one
Places = Mapping[str, Place]  # by what they may be called, in small letters


@dataclass(frozen=True)
class Batch:
    """One batch of the log.

    place : where it burned: id of a kiln spot, else the name as said in small letters; empty where none was said
    name : of that place, as people read it
    spot : id of the kiln spot, or None where the name is none
    at : where it burned (longitude, latitude), None where no row of it says
    on : its day; None where that was not said
    times : of "lit", "fed_last", "water_on", "out" those that were said, by the clock of the site
    figures : of what was counted, measured or weighed what was said, in the unit of its name
    words : of what was chosen ("cause", "uncharred_where", "water_by", "water_machine") what was said
    heaps, done : ids of the heaps its wood came from; of those burned up with it
    sure : told by more than words, so that it counts as burned; else it may have been
    wrong : times that cannot be read, or cannot be
    """

    place: str
    name: str
    spot: str | None
    at: tuple[float, float] | None
    on: dt.date | None
    times: tuple[tuple[str, dt.datetime], ...]
    figures: tuple[tuple[str, float], ...]
    words: tuple[tuple[str, str], ...]
    heaps: tuple[str, ...]
    done: tuple[str, ...]
    sure: bool
    wrong: tuple[Reason, ...]

    def time(self, name: str) -> dt.datetime | None:
        """One of its times, or None."""
        return dict(self.times).get(name)

    def figure(self, name: str) -> float | None:
        """One of its figures, or None."""
        return dict(self.figures).get(name)

    def word(self, name: str) -> str | None:
        """One of its choices, or None."""
        return dict(self.words).get(name)

    @property
    def hours(self) -> float | None:
        """From lighting to water [h]; None where not said, or longer than a day's burn can be."""
        lit, water_on = self.time("lit"), self.time("water_on")
        if lit is None or water_on is None:
            return None
        hours = (water_on - lit).total_seconds() / 3600
        return hours if 0 < hours <= MOST_HOURS else None


def batches_of(site: Site) -> tuple[Batch, ...]:
    """Every batch of the log, in its order."""
    names = places_of(site)
    return tuple(_batch(group, names) for group in _groups(site.records("log")))


def burned_by(site: Site, today: dt.date | None) -> tuple[Batch, ...]:
    """The batches that burned: told by more than words, on a day that is said and not still to come. today : None, all
    days have come"""
    dated = [(batch, batch.on) for batch in batches_of(site) if batch.sure and batch.on is not None]
    return tuple(batch for batch, on in dated if today is None or on <= today)


def to_come(site: Site, today: dt.date | None) -> tuple[Note, ...]:
    """Batches dated after today: nobody learns from them, and no wood is taken off, until their day."""
    names = Counter(
        batch.name for batch in batches_of(site) if today is not None and batch.on is not None and batch.on > today
    )
    return tuple(
        Note("site", "log_to_come", reason("season.log_to_come", name=KilnName(name), count=count))
        for name, count in names.items()
        if name
    )


def of_no_kiln(site: Site) -> tuple[Note, ...]:
    """Batches of a kiln that is not, or no longer, on the site: their wood is taken off nothing."""
    known = {said.casefold() for kiln in site.equipment("kilns") for said in (kiln.id, kiln.name)}
    strange = [batch for batch in batches_of(site) if batch.sure and batch.spot is None and batch.place not in known]
    names = Counter(batch.name for batch in strange)
    return tuple(
        Note("site", "log_no_kiln", reason("season.log_no_kiln", name=KilnName(name), count=count))
        for name, count in names.items()
        if name
    )


def place_of(said: str | None, names: Places) -> Place:
    """Where a name leads: (place, name, id of the spot or None)."""
    word = (said or "").strip()
    return names.get(word.casefold(), (word.casefold(), word, None))


def places_of(site: Site) -> Places:
    """What the places of a log may be called: id and name of the spot; of the kiln, where it works at one alone."""
    spots = site.of_kind("kiln_spot")
    found: dict[str, Place] = {}
    for item in site.equipment("kilns"):
        at = [spot for spot in spots if spot.text("kiln") in (item.id, item.name)]
        if len(at) == 1:
            lead = (at[0].id, at[0].name, at[0].id)
            found |= {item.id.casefold(): lead, item.name.casefold(): lead}
    for spot in spots:
        found |= {spot.name.casefold(): (spot.id, spot.name, spot.id)}
    return found | {spot.id.casefold(): (spot.id, spot.name, spot.id) for spot in spots}


def _groups(rows: Iterable[Entry]) -> Iterator[list[Entry]]:
    """The rows of each batch. Lines of one kiln and day belong together; the next lighting begins another."""
    lines: dict[tuple[str, str], list[Entry]] = {}
    for row in rows:
        told = any(row.has(name) for name in _TOLD)
        line = row.has("event") or row.has("phone")
        if not row.has("kiln") and not told and (line or row.has("text") or not row.has("date")):
            continue  # words of the day, or readings of the weather
        if line:
            lines.setdefault(((row.text("kiln") or "").strip().casefold(), str(row.date("date"))), []).append(row)
        else:
            yield [row]
    for own in lines.values():
        group: list[Entry] = []
        for row in sorted(own, key=lambda row: row.text("at") or ""):
            lit, now = [moment for each in group if (moment := _lit(each)) is not None], _lit(row)
            if lit and now is not None and (not now or now not in lit):
                yield group
                group = []
            group.append(row)
        yield group


def _lit(row: Entry) -> str | None:
    """When a line says that the kiln was lit, as a moment or as one of a whole batch; "" where it does not say when."""
    return row.text("at") or "" if row.choice("event") == "lit" else row.text("lit")


def _batch(rows: list[Entry], names: Places) -> Batch:
    place, name, spot = place_of(rows[0].text("kiln"), names)
    on = rows[0].date("date")
    times, wrong = _times(rows, on, name)
    figures = {}
    for key in (*_COUNTED, *_KEPT):
        values = [value for row in rows if (value := row.number(key)) is not None]
        if values:
            figures[key] = sum(values) if key in _COUNTED else values[-1]
    words = {}
    for key in ("cause", "uncharred_where", "water_by", "water_machine"):
        read = Entry.text if key == "water_machine" else Entry.choice
        said = [word for row in rows if (word := read(row, key)) is not None]
        if said:
            words[key] = said[-1]
    return Batch(
        place=place,
        name=name,
        spot=spot,
        at=next((at for row in rows if (at := burned_at(row.values)) is not None), None),
        on=on,
        times=tuple(times.items()),
        figures=tuple(figures.items()),
        words=tuple(words.items()),
        heaps=_all(rows, "heaps"),
        done=_all(rows, "heaps_done"),
        sure=not all(row.has("phone") for row in rows) or any(row.has(key) for row in rows for key in _TOLD),
        wrong=tuple(wrong),
    )


def _all(rows: Iterable[Entry], name: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(each for row in rows for each in row.names(name)))


def _times(rows: list[Entry], on: dt.date | None, name: str) -> tuple[dict[str, dt.datetime], list[Reason]]:
    """The times said, each not before the one it follows: an earlier hour is of the next day."""
    said = {row.choice("event"): row.text("at") for row in rows if row.has("event")}
    said |= {key: value for key in _MOMENTS for row in rows if (value := row.text(key)) is not None}
    times: dict[str, dt.datetime] = {}
    wrong: list[Reason] = []
    last = None
    for key in _MOMENTS:
        text = said.get(key)
        if text is None or on is None:
            continue
        try:
            moment = dt.datetime.combine(on, hour_minute(text))
        except BadValue as bad:
            wrong.append(reason("season.log_times", name=KilnName(name), on=on, why=bad.reason))
            continue
        if last is not None and moment < last:
            moment += dt.timedelta(days=1)
        times[key] = last = moment
    if "lit" in times and "water_on" in times and times["water_on"] - times["lit"] > dt.timedelta(hours=MOST_HOURS):
        lit, water = (times[key].time() for key in ("lit", "water_on"))
        wrong.append(reason("season.log_long", name=KilnName(name), on=on, lit=lit, water=water))
    return times, wrong
