"""Which kiln stands where, and how fast it can be fed, before the heaps are given out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from sitemap import tables
from sitemap.kiln import burning
from sitemap.kiln.reading import KilnFacts, read_kiln
from sitemap.kiln.values import CrewFacts
from sitemap.notes import Note, kiln_called, sentence
from sitemap.ranges import Array, draw, fixed
from sitemap.site.model import Feature, Item
from sitemap.units import compared, text

FEED_WITHIN_M = 10.0  # [m] of wood carried by hand at the usual feed rate: common practice, no source


@dataclass
class Notes:
    """What is said while kilns are reckoned.

    system : units of the sentences, "metric" or "us"
    """

    system: str
    assumed: list[Note] = field(default_factory=list)
    unknowns: list[Note] = field(default_factory=list)


@dataclass(frozen=True)
class Stand:
    """A kiln spot with its kiln.

    handled : wood brought [kg dry/h]
    per_area : wood the opening burns [kg dry/h m²], or None where the feed rate of the kiln itself was measured
    """

    spot: Feature
    facts: KilnFacts
    units: int
    sharing: bool
    handled: Array
    per_area: Array | None

    @property
    def rate(self) -> Array:
        """Dry wood burned an hour [kg/h]."""
        if self.per_area is None:
            return self.handled
        return np.asarray(burning.feed_rate(self.facts.hollow.open_area_m2, self.per_area, self.handled))

    def feeding_hours(self, char_m3: Array, feed_kg: Array) -> Array:
        """Hours of feeding for a batch."""
        if self.per_area is None:
            return np.asarray(feed_kg / self.handled)
        usual = burning.feed_per_batch(
            char_m3, value("kiln_burning", "char_density"), value("kiln_burning", "char_yield")
        )
        area = self.facts.hollow.open_area_m2
        return np.asarray(burning.feeding_hours(feed_kg, self.handled, usual, area, self.per_area))


def figure(table: str, key: str, floor: float | None = None, ceiling: float | None = None) -> Array:
    """Draws of a row of a table; its error is common to the site.

    table, key : name of the table and of its row; floor, ceiling : hard limits, or None [unit of the row]
    """
    row = tables.load(table)[key]
    return draw(row["value"], row["low"], row["high"], about="site", quantity=key, floor=floor, ceiling=ceiling)


def value(table: str, key: str) -> float:
    """The likely figure of a row of a table."""
    return float(tables.load(table)[key]["value"])


def stands_of(spots: Sequence[Feature], kilns: Sequence[Item], crew: CrewFacts, notes: Notes) -> list[Stand]:
    """Every kiln spot whose kiln can be reckoned, in file order; what stands against the others is noted."""
    read: dict[str, KilnFacts] = {}
    for item in kilns:
        facts, assumed, unknowns = read_kiln(item, notes.system)
        notes.unknowns += unknowns
        if facts is not None:
            read[item.id] = facts
            notes.assumed += assumed
    standing: dict[str, list[Feature]] = {}
    for spot in spots:
        here = _kiln_at(spot, kilns)
        if here is None:
            why = "names a kiln that is not in the list" if spot.text("kiln") else "has no kiln chosen"
            told = f"The kiln spot {spot.name} {why}: its batches are not known."
            notes.unknowns.append(Note(spot.id, "kiln_not_known", told))
        elif here.id in read:
            standing.setdefault(here.id, []).append(spot)
    made: dict[str, Stand] = {}
    for kiln_id, at in standing.items():
        facts = read[kiln_id]
        each, over = divmod(facts.count, len(at))
        if each == 0:
            many = "there is only 1" if facts.count == 1 else f"there are only {facts.count}"
            told = f"{facts.item.name} stands at {len(at)} kiln spots and {many}: taken as moved between them."
            notes.assumed.append(Note(kiln_id, "kiln_moved", told))
        for number, spot in enumerate(at):
            handled = _handled(spot, facts, crew, notes)
            if handled is not None:
                per_area = None if facts.feed_kg_h is not None else figure("kiln_burning", "feed_per_area")
                units = max(1, each + (number < over))
                made[spot.id] = Stand(spot, facts, units, each == 0, handled, per_area)
                _opening(made[spot.id], notes)
    return [made[spot.id] for spot in spots if spot.id in made]


def _kiln_at(spot: Feature, kilns: Sequence[Item]) -> Item | None:
    reference = spot.text("kiln")
    for item in kilns:
        if item.id == reference:
            return item
    named = [item for item in kilns if reference and item.name.casefold() == reference.casefold()]
    return named[0] if len(named) == 1 else None


def _handled(spot: Feature, facts: KilnFacts, crew: CrewFacts, notes: Notes) -> Array | None:
    """Wood brought to a kiln [kg dry/h]; None where nobody and no machine brings any."""
    measured = facts.machine_feed_kg_h if facts.feed_kg_h is None else facts.feed_kg_h
    if measured is not None:
        return fixed(measured)
    said = (spot.integer("feeders"), facts.feeders, crew.feeders)
    people = next((number for number in said if number is not None), None)
    if people is None:
        people = int(value("kiln_burning", "people_feeding"))
        near = text(FEED_WITHIN_M, "m", notes.system, 2)
        told = f"{kiln_called(spot.name)}: {people} people taken to feed it, wood within {near}"
        notes.assumed.append(Note(spot.id, "feeders", sentence(told)))
    if people == 0:
        told = f"{kiln_called(spot.name)} has nobody and no machine to feed it: its batches are not known"
        notes.unknowns.append(Note(spot.id, "nobody_feeds", sentence(told)))
        return None
    return np.asarray(people * figure("kiln_burning", "feed_per_person"))


def _opening(stand: Stand, notes: Notes) -> None:
    """Say where the opening, not the machine, is taken to set the rate."""
    machine = stand.facts.machine_feed_kg_h
    if machine is None or stand.per_area is None or stand.rate[0] >= machine:
        return
    brings, burns = compared(machine, float(stand.rate[0]), "kg_h", notes.system)
    told = (
        f"{kiln_called(stand.spot.name)}: the machine brings {brings}, the opening is taken to burn {burns} as in "
        "small kilns: where it burns more, enter the feed rate measured"
    )
    notes.assumed.append(Note(stand.spot.id, "opening_limits", sentence(told)))
