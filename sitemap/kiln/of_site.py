"""The burns of a site: every kiln spot with its kiln, heaps, batches, quench and clock, and the sums."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

from sitemap.geodesy.plane import Plane
from sitemap.kiln import burning, glow, quench
from sitemap.kiln.days import days_in_all, soak_and_burn_down, with_days
from sitemap.kiln.serving import Place, Share, shares
from sitemap.kiln.standing import Notes, Stand, figure, stands_of, value
from sitemap.kiln.values import Burns, CrewFacts, DayTimes, KilnRun, Stock
from sitemap.notes import Note, kiln_called, sentence
from sitemap.ranges import Drawn, fixed
from sitemap.site.model import Feature, Item
from sitemap.units import compared, text

_UNKNOWN = Burns(None, None, None, None, None, None, None, None, None, None, None, (), (), ())
_IN_THE_BIN = ("flooded", "unraked_or_machine_bin")


@lru_cache(maxsize=16)
def burns_of(
    spots: tuple[Feature, ...],
    kilns: tuple[Item, ...],
    stock: tuple[Stock, ...],
    crew: CrewFacts,
    day: DayTimes | None,
    plane: Plane | None = None,
    bucket_l: float = 20.0,
    system: str = "metric",
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
    bucket_l : size of a bucket [L]
    system : units of the sentences, "metric" or "us"

    Returns
    -------
    Burns; a spot whose kiln cannot be reckoned is left out and named in `unknowns`

    Notes
    -----
    Errors of the trade figures (yield, density, feed rate per area) are common to all kilns of a site and do not
    average out: each is drawn from one stream.
    """
    notes = Notes(system)
    stands = stands_of(spots, kilns, crew, notes)
    usable = {stand.spot.id for stand in stands}
    waiting = frozenset(heap for spot in spots if spot.id not in usable for heap in spot.names("serves"))
    places = [
        Place(stand.spot.id, stand.spot.name, _xy(stand.spot, plane), stand.spot.names("serves"), float(stand.rate[0]))
        for stand in stands
    ]
    given, assumed, unknowns = shares(places, stock, waiting)
    notes.assumed += assumed
    notes.unknowns += unknowns
    if not spots and stock:
        notes.unknowns.append(Note("site", "no_kiln_spot", "No kiln spot is placed: batches and water are not known."))
    runs = [run for stand in stands if (run := _run(stand, given[stand.spot.id], notes)) is not None]
    if not runs:
        return replace(_UNKNOWN, assumed=tuple(notes.assumed), unknowns=tuple(notes.unknowns))
    _crew_notes(crew, notes)
    counts = {stand.facts.item.id: stand.facts.count for stand in stands}
    timed, of_days, no_days = with_days(runs, counts, crew, day, {spot.id: spot.name for spot in spots})
    notes.assumed += of_days
    notes.unknowns += no_days
    return _sums(timed, bucket_l, notes)


def _xy(spot: Feature, plane: Plane | None) -> tuple[float, float] | None:
    if plane is None or spot.shape is None:
        return None
    middle = plane.forward(spot.shape).centroid
    return middle.x, middle.y


def _piece_cm(stand: Stand, heaps: Sequence[Share], notes: Notes) -> float:
    """Thickest piece that goes in, and what must be said of it."""
    limit, name = stand.facts.piece_limit_cm, stand.facts.item.name
    takes = text(limit, "cm", notes.system, 2)
    if not heaps:
        return limit
    if any(share.stock.thickest_cm is None for share in heaps):
        told = (
            f"{kiln_called(stand.spot.name)}: thickest piece not known, taken as the {takes} that {name} takes at most"
        )
        notes.assumed.append(Note(stand.spot.id, "thickest_piece", sentence(told)))
        return limit
    for share in heaps:
        if (share.stock.thickest_cm or 0) > limit:
            holds, takes = compared(share.stock.thickest_cm or 0.0, limit, "cm", notes.system)
            told = f"{share.stock.name} holds pieces of {holds}, {name} takes {takes}: split them or leave them out."
            notes.assumed.append(Note(share.stock.id, "oversize_pieces", told))
    return min(limit, max(share.stock.thickest_cm or 0 for share in heaps))


def _method(stand: Stand, notes: Notes) -> str:
    said = stand.spot.choice("quench_method")
    if said == "flooded" and not stand.facts.has_floor:
        told = f"{stand.facts.item.name} has no floor and cannot be flooded: taken as tipped out, raked and sprayed."
        notes.assumed.append(Note(stand.spot.id, "cannot_flood", told))
        return "raked_and_sprayed"
    if said is not None:
        return said
    by_machine = stand.facts.machine_feed_kg_h is not None
    how = "sprayed in the bin, not raked, as a machine feeds it" if by_machine else "tipped out, raked and sprayed"
    told = sentence(f"{kiln_called(stand.spot.name)}: quench taken as {how}")
    notes.assumed.append(Note(stand.spot.id, "quench_method", told))
    return "unraked_or_machine_bin" if by_machine else "raked_and_sprayed"


def _run(stand: Stand, heaps: Sequence[Share], notes: Notes) -> KilnRun | None:
    facts, hollow, rate = stand.facts, stand.facts.hollow, stand.rate
    piece_cm = _piece_cm(stand, heaps, notes)
    if hollow.narrowest_m * 100 < piece_cm:
        narrow, piece = compared(hollow.narrowest_m * 100, piece_cm, "cm", notes.system)
        told = (
            f"{facts.item.name} is {narrow} at its narrowest, smaller than one piece of {piece}: "
            "correct its size or its piece limit."
        )
        notes.unknowns.append(Note(stand.spot.id, "kiln_smaller_than_piece", told))
        return None
    char_yield = figure("kiln_burning", "char_yield", 0.05, 0.4)
    density = figure("kiln_burning", "char_density", 60, 400)
    measured_fill = facts.fill_fraction
    fill = figure("kiln_burning", "fill_fraction", None, 1) if measured_fill is None else fixed(measured_fill)
    char_m3 = burning.char_volume_per_batch(hollow.volume_m3, fill)
    feed_kg = burning.feed_per_batch(char_m3, density, char_yield)
    stock_kg = sum((share.stock.char_stock_dry_t.values * share.fraction * 1000 for share in heaps), start=fixed(0.0))
    soak, burn_down = soak_and_burn_down(piece_cm)
    feeding = stand.feeding_hours(char_m3, feed_kg)
    hours = burning.batch_hours(figure("kiln_burning", "start_up"), feeding, burn_down, soak)
    method = _method(stand, notes)
    char_kg, char_c = char_m3 * density, figure("quench", "char_temperature", quench.BOILING_C, 1400)
    loss = figure("quench", "glowing_loss")
    floor = quench.boiled_water(
        char_kg,
        char_c,
        facts.steel_kg,
        value("quench", "steel_temperature"),
        value("quench", "water_temperature"),
    )
    minutes = value("quench", "no_steam_within")
    leak = facts.leak_l_min if method in _IN_THE_BIN else 0.0
    working = quench.working_water(char_m3, figure("quench", method), floor, leak, minutes)
    flood = quench.working_water(char_m3, figure("quench", "flooded"), floor, facts.leak_l_min, minutes)
    area = hollow.open_area_m2
    heat = burning.heat_release(rate, char_yield, figure("kiln_burning", "feed_moisture", 0, 1))
    return KilnRun(
        id=facts.item.id,
        name=facts.item.name,
        spot=stand.spot.id,
        units=stand.units,
        moved=stand.sharing,
        heaps=tuple(share.stock.id for share in heaps),
        method=method,
        thickest_cm=piece_cm,
        char_stock_dry_t=Drawn(stock_kg / 1000),
        batches=Drawn(burning.batches(stock_kg, feed_kg)),
        hours_per_batch=Drawn(hours),
        feed_dry_t_per_batch=Drawn(feed_kg / 1000),
        feed_dry_t_per_h=Drawn(rate / 1000),
        char_m3_per_batch=Drawn(char_m3),
        char_t_per_batch=Drawn(char_kg / 1000),
        quench_l_per_batch=Drawn(working),
        quench_floor_l=Drawn(floor),
        quench_ceiling_l=Drawn(quench.pore_water(char_m3, density, value("quench", "char_solid_density"))),
        steel_kg=facts.steel_kg,
        open_area_m2=area,
        glowing_area_m2=area,
        hold_l_min=Drawn(area * figure("quench", "hold")),
        flood_l=Drawn(flood) if facts.has_floor else None,
        burn_out_h=Drawn(glow.burn_out_hours(char_kg, area, loss)),
        lost_in_an_hour=Drawn(glow.glowing_loss(char_kg, area, loss, 60) / char_kg),
        glow_kw_m2=Drawn(
            glow.glow_heat(
                np.sqrt(area / np.pi),
                value("quench", "stand_off"),
                char_c,
                value("quench", "face_height"),
                value("quench", "char_emissivity"),
            )
        ),
        soak_min=soak,
        charring_min=float(burning.charring_minutes(piece_cm, value("kiln_burning", "charring_rate"))),
        heat_kw=Drawn(heat),
        heat_peak_kw=Drawn(heat * value("kiln_burning", "pulse")),
        batches_per_day=None,
        days=None,
        clocks=(),
    )


def _crew_notes(crew: CrewFacts, notes: Notes) -> None:
    if crew.adults is None:
        notes.unknowns.append(
            Note("site", "adults_not_known", "How many adults will be on site is not known: it takes two at least.")
        )
    elif crew.adults < 2:
        told = f"Fewer than two adults on site ({crew.adults}): do not light."
        notes.unknowns.append(Note("site", "too_few_adults", told))
    if crew.rakers == 0:
        told = "Nobody on site can rake: the clock is reckoned with one crew, find it before lighting."
        notes.unknowns.append(Note("site", "nobody_rakes", told))


def _sums(runs: Sequence[KilnRun], bucket_l: float, notes: Notes) -> Burns:
    batches = sum((run.batches.values for run in runs), start=fixed(0.0))
    char_kg = sum((run.char_stock_dry_t.values for run in runs), start=fixed(0.0)) * 1000
    char_kg = char_kg * figure("kiln_burning", "char_yield", 0.05, 0.4)
    density = figure("kiln_burning", "char_density", 60, 400)
    char_m3 = char_kg / density
    bag_l = value("kiln_burning", "bulk_bag")
    bag = burning.dry_weight(bag_l, density)
    held = value("kiln_burning", "soaked_water_per_char")
    quench_l = sum((run.batches.values * run.quench_l_per_batch.values for run in runs), start=fixed(0.0))
    largest = np.max([run.quench_l_per_batch.values for run in runs], axis=0)
    return Burns(
        batches=Drawn(batches),
        days=days_in_all(runs),
        char_m3=Drawn(char_m3),
        char_t=Drawn(char_kg / 1000),
        buckets=Drawn(burning.containers(char_m3, bucket_l)),
        bags=Drawn(burning.containers(char_m3, bag_l)),
        bag_dry_kg=Drawn(bag),
        bag_damp_kg=Drawn(burning.wet_weight(bag, value("kiln_burning", "damp_water_share"))),
        bag_soaked_kg=Drawn(burning.wet_weight(bag, held / (1 + held))),
        quench_l=Drawn(quench_l),
        reserve_l=Drawn(quench.reserve(largest, value("quench", "least_reserve"))),
        kilns=tuple(runs),
        assumed=tuple(notes.assumed),
        unknowns=tuple(notes.unknowns),
    )
