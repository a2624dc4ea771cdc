"""The burns of a site: every kiln spot with its kiln, heaps, batches, quench and clock, and the sums."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

from sitemap.geodesy.plane import Plane
from sitemap.kiln import packing_out, quench
from sitemap.kiln.days import days_in_all, with_days
from sitemap.kiln.reading import read_kiln, read_spot
from sitemap.kiln.run import run_at
from sitemap.kiln.serving import Place, shares
from sitemap.kiln.standing import Notes, drawn, figure, stands_of
from sitemap.kiln.values import Burns, CrewFacts, DayTimes, Kiln, KilnRun, Stock
from sitemap.notes import Note
from sitemap.ranges import fixed
from sitemap.reasons import KilnName, Quantity, reason
from sitemap.site.model import Feature, Item
from sitemap.tables import value

_UNKNOWN = Burns(None, None, None, None, None, None, None, None, None, None, None, (), (), ())


@lru_cache(maxsize=16)
def burns_of(  # noqa: PLR0913 (what is remembered is told by these)
    spots: tuple[Feature, ...],
    kilns: tuple[Item, ...],
    stock: tuple[Stock, ...],
    crew: CrewFacts,
    day: DayTimes | None,
    plane: Plane | None = None,
    barred: frozenset[str] = frozenset(),
    by_log: tuple[tuple[str, float, float], ...] = (),
) -> Burns:
    """All burns of a site.

    Parameters
    ----------
    spots : features of kind kiln_spot
    kilns : equipment of the list "kilns"
    stock : char stock of every heap
    crew : who works
    day : light and hours of the burn day, or None where date, place or time zone is not known
    plane : the plane `Stock.xy_m` lies in; without it only heaps that are named in `serves`, or a lone kiln spot, count
    barred : as for `days.with_days`
    by_log : id of a spot, hours and quench water of a batch as its log tells, times those reckoned

    Returns
    -------
    Burns; a spot whose kiln cannot be reckoned is left out and named in `unknowns`

    Notes
    -----
    Errors of the trade figures (yield, density, feed rate per area) are common to all kilns of a site and do not
    average out: each is drawn from one stream.
    """
    runs, counts, assumed, unknowns = _runs_of(spots, kilns, stock, crew, plane)
    notes = Notes(list(assumed), list(unknowns))
    if not runs:
        return replace(_UNKNOWN, assumed=assumed, unknowns=unknowns)
    told = {spot: (hours, water) for spot, hours, water in by_log}
    names = {spot.id: spot.name for spot in spots}
    runs = tuple(run.told(*told[run.spot]) if run.spot in told else run for run in runs)
    notes.assumed += [_by_log(run, names[run.spot]) for run in runs if run.spot in told]
    _crew_notes(crew, notes)
    timed, of_days, no_days = with_days(runs, dict(counts), crew, day, names, barred)
    notes.assumed += of_days
    notes.unknowns += no_days
    return _sums(timed, crew.bucket_l, notes)


@lru_cache(maxsize=8)
def _runs_of(
    spots: tuple[Feature, ...], kilns: tuple[Item, ...], stock: tuple[Stock, ...], crew: CrewFacts, plane: Plane | None
) -> tuple[tuple[KilnRun, ...], tuple[tuple[str, int], ...], tuple[Note, ...], tuple[Note, ...]]:
    """Whatever the day and whoever is barred: what is burned at each spot, how many there are of each kiln, what was
    assumed and what is not known."""
    notes = Notes()
    where = {spot.id: spot for spot in spots}
    read = tuple(spot.once(read_spot) for spot in spots)
    stands = stands_of(read, _known(kilns, notes), kilns, crew, notes)
    usable = {stand.spot.id for stand in stands}
    waiting = frozenset(heap for spot in read if spot.id not in usable for heap in spot.serves)
    places = [
        Place(at.spot.id, at.spot.name, _xy(where[at.spot.id], plane), at.spot.serves, float(at.rate[0]))
        for at in stands
    ]
    given, assumed, unknowns = shares(places, stock, waiting)
    notes.assumed += assumed
    notes.unknowns += unknowns
    if not spots and stock:
        notes.unknowns.append(Note("site", "no_kiln_spot", reason("kiln.no_kiln_spot")))
    runs = tuple(run for stand in stands if (run := run_at(stand, given[stand.spot.id], notes)) is not None)
    counts = {stand.facts.id: stand.facts.count for stand in stands}
    return runs, tuple(counts.items()), tuple(notes.assumed), tuple(notes.unknowns)


def _by_log(run: KilnRun, name: str) -> Note:
    hours, water = Quantity(run.hours_per_batch.likely, "h", 2), Quantity(run.quench_l_per_batch.likely, "l", 2)
    return Note(run.spot, "by_log", reason("kiln.by_log", name=KilnName(name), hours=hours, water=water))


def _known(kilns: Sequence[Item], notes: Notes) -> list[Kiln]:
    """The kilns of the list that can be reckoned; what was assumed of them and what the others lack is noted."""
    found = []
    for item in kilns:
        kiln, assumed, unknowns = item.once(read_kiln)
        notes.unknowns += unknowns
        if kiln is not None:
            found.append(kiln)
            notes.assumed += assumed
    return found


def _xy(spot: Feature, plane: Plane | None) -> tuple[float, float] | None:
    if plane is None or spot.shape is None:
        return None
    middle = plane.forward(spot.shape).centroid
    return middle.x, middle.y


def _crew_notes(crew: CrewFacts, notes: Notes) -> None:
    if crew.adults is None:
        notes.unknowns.append(Note("site", "adults_not_known", reason("kiln.adults_not_known")))
    elif crew.adults < 2:
        notes.unknowns.append(Note("site", "too_few_adults", reason("kiln.too_few_adults", adults=crew.adults)))
    if crew.rakers == 0:
        notes.unknowns.append(Note("site", "nobody_rakes", reason("kiln.nobody_rakes")))


def _sums(runs: Sequence[KilnRun], bucket_l: float, notes: Notes) -> Burns:
    batches = sum((run.batches.values for run in runs), start=fixed(0.0))
    char_kg = sum((run.char_t.values for run in runs), start=fixed(0.0)) * 1000
    density = figure("kiln_burning", "char_density", 60, 400)
    char_m3 = char_kg / density
    bag_l = value("kiln_burning", "bulk_bag")
    bag = packing_out.dry_weight(bag_l, density)
    held = value("kiln_burning", "soaked_water_per_char")
    quench_l = sum((run.batches.values * run.quench_l_per_batch.values for run in runs), start=fixed(0.0))
    largest = np.max([run.quench_l_per_batch.values for run in runs], axis=0)
    return Burns(
        batches=drawn(batches),
        days=days_in_all(runs),
        char_m3=drawn(char_m3),
        char_t=drawn(char_kg / 1000),
        buckets=drawn(packing_out.containers(char_m3, bucket_l)),
        bags=drawn(packing_out.containers(char_m3, bag_l)),
        bag_dry_kg=drawn(bag),
        bag_damp_kg=drawn(packing_out.wet_weight(bag, value("kiln_burning", "damp_water_share"))),
        bag_soaked_kg=drawn(packing_out.wet_weight(bag, held / (1 + held))),
        quench_l=drawn(quench_l),
        reserve_l=drawn(quench.reserve(largest, value("quench", "least_reserve"))),
        kilns=tuple(runs),
        assumed=tuple(notes.assumed),
        unknowns=tuple(notes.unknowns),
    )
