"""Which kiln stands where, and how fast it can be fed, before the heaps are given out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from sitemap import tables
from sitemap.kiln import burning
from sitemap.kiln.values import CrewFacts, Kiln, KilnSpot
from sitemap.named import Named, named
from sitemap.notes import Note
from sitemap.ranges import Array, Drawn, Numbers, draw, fixed
from sitemap.reasons import KilnName, Quantity, metres, reason
from sitemap.tables import value

FEED_WITHIN_M = 10.0  # [m] of wood carried by hand at the usual feed rate: common practice, no source


@dataclass
class Notes:
    """What is said while kilns are reckoned."""

    assumed: list[Note] = field(default_factory=list)
    unknowns: list[Note] = field(default_factory=list)


@dataclass(frozen=True)
class Stand:
    """A kiln spot with its kiln.

    units : kilns working there
    sharing : whether they work at other spots too, in turn
    feeders : people who feed each kiln, or one who drives the machine
    handled : wood brought [kg dry/h]
    per_area : wood the opening burns [kg dry/h m²], or None where the feed rate of the kiln itself was measured
    """

    spot: KilnSpot
    facts: Kiln
    units: int
    sharing: bool
    feeders: int
    handled: Array
    per_area: Array | None

    @property
    def rate(self) -> Array:
        """Dry wood burned an hour [kg/h]."""
        if self.per_area is None:
            return self.handled
        return np.asarray(burning.feed_rate(self.facts.hollow.open_area_m2, self.per_area, self.handled))

    def hours_by_opening(self, char_m3: Array) -> Array:
        """Hours from lighting to water that the opening needs for a batch; 0 where the feed rate was measured."""
        if self.per_area is None:
            return fixed(0.0)
        usual = burning.feed_per_batch(
            char_m3, value("kiln_burning", "char_density"), value("kiln_burning", "char_yield")
        )
        return np.asarray(burning.hours_by_opening(usual, self.facts.hollow.open_area_m2, self.per_area))


def figure(table: str, key: str, floor: float | None = None, ceiling: float | None = None) -> Array:
    """Draws of a row of a table; its error is common to the site.

    table, key : name of the table and of its row; floor, ceiling : hard limits, or None [unit of the row]
    """
    row = tables.load(table)[key]
    return draw(row["value"], row["low"], row["high"], about="site", quantity=key, floor=floor, ceiling=ceiling)


def drawn(values: Numbers) -> Drawn:
    """What a formula gave for draws, as a result with its range."""
    return Drawn(np.asarray(values, dtype=float))


def stands_of(
    spots: Sequence[KilnSpot], kilns: Sequence[Kiln], listed: Sequence[Named], crew: CrewFacts, notes: Notes
) -> list[Stand]:
    """Every kiln spot whose kiln can be reckoned, in file order; what stands against the others is noted.

    spots : as read; kilns : those of the list that can be reckoned; listed : all of them; crew : who
    works; notes : what is said is added to them
    """
    known = {kiln.id: kiln for kiln in kilns}
    standing: dict[str, list[KilnSpot]] = {}
    for spot in spots:
        here = named(listed, spot.kiln)
        if here is None:
            why = reason("kiln.not_in_the_list" if spot.kiln else "kiln.no_kiln_chosen", spot=spot.name)
            notes.unknowns.append(Note(spot.id, "kiln_not_known", why))
        elif here.id in known:
            standing.setdefault(here.id, []).append(spot)
    made = {stand.spot.id: stand for key, at in standing.items() for stand in _shared_out(known[key], at, crew, notes)}
    return [made[spot.id] for spot in spots if spot.id in made]


def _shared_out(facts: Kiln, at: Sequence[KilnSpot], crew: CrewFacts, notes: Notes) -> list[Stand]:
    """The kilns of one sort at the spots that name it: one after the other where there are fewer kilns than spots."""
    each, over = divmod(facts.count, len(at))
    if each == 0:
        why = reason("kiln.moved", kiln=facts.name, spots=len(at), count=facts.count)
        notes.assumed.append(Note(facts.id, "kiln_moved", why))
    made = []
    for number, spot in enumerate(at):
        people = _feeders(spot, facts, crew, notes)
        if people:
            measured = facts.machine_feed_kg_h if facts.feed_kg_h is None else facts.feed_kg_h
            by_hands = people * figure("kiln_burning", "feed_per_person")
            handled = np.asarray(by_hands if measured is None else fixed(measured))
            by = "feed_per_area" if facts.machine_feed_kg_h is None else "feed_per_area_by_machine"
            per_area = None if facts.feed_kg_h is not None else figure("kiln_burning", by)
            units = max(1, each + (number < over))
            made.append(Stand(spot, facts, units, each == 0, people, handled, per_area))
            _opening(made[-1], notes)
    return made


def _feeders(spot: KilnSpot, facts: Kiln, crew: CrewFacts, notes: Notes) -> int:
    """People who feed a kiln, or one who drives the machine; 0 where nobody does."""
    if facts.machine_feed_kg_h is not None:
        return 1
    people = next((number for number in (spot.feeders, facts.feeders, crew.feeders) if number is not None), None)
    if people is None:
        people = int(value("kiln_burning", "people_feeding"))
        why = reason("kiln.feeders", kiln=KilnName(spot.name), people=people, near=metres(FEED_WITHIN_M, 2))
        notes.assumed.append(Note(spot.id, "feeders", why))
    if people == 0:
        why = reason("kiln.nobody_feeds", kiln=KilnName(spot.name))
        notes.unknowns.append(Note(spot.id, "nobody_feeds", why))
    return people


def _opening(stand: Stand, notes: Notes) -> None:
    """Say where the opening, not the machine, is taken to set the rate."""
    brings, burns = stand.facts.machine_feed_kg_h, float(stand.rate[0])
    if brings is None or stand.per_area is None or burns >= brings:
        return
    why = reason(
        "kiln.opening_limits",
        kiln=KilnName(stand.spot.name),
        brings=Quantity(brings, "kg_h", 2, apart=burns),
        burns=Quantity(burns, "kg_h", 2, apart=brings),
    )
    notes.assumed.append(Note(stand.spot.id, "opening_limits", why))
