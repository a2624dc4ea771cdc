"""What one room hands to the next: the stock of the heaps, the kilns at their spots, slopes, the need for water."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache

from sitemap.geodesy.plane import Plane
from sitemap.kiln.days import turn_key
from sitemap.kiln.reading import read_kiln
from sitemap.kiln.values import Burns, Kiln, KilnRun, Stock
from sitemap.progress import counted
from sitemap.ranges import Drawn
from sitemap.safety.of_site import Around, SpotFacts, around
from sitemap.safety.rules import Rule
from sitemap.site.model import Feature, Site
from sitemap.site.on_plane import middle_of, near_shape
from sitemap.site.seen import Day
from sitemap.slash.reading import wettest
from sitemap.slash.result import Slash
from sitemap.tables import value
from sitemap.terrain.terrain import Terrain
from sitemap.water.values import Need

ONE_KILN_M = 10.0  # [m] from the middle of a kiln: what is staged nearer is staged for it; ours (C)
PAD_RADIUS_M = 3.0  # [m] ground a kiln and the people round it stand on


@lru_cache(maxsize=16)
def stock_of(
    slash: Slash, heaps: tuple[Feature, ...], lines: tuple[Feature, ...], plane: Plane | None
) -> tuple[Stock, ...]:
    """The char stock of each heap, with the place and the thickest piece; scattered slash lies where its lines are."""
    by_id = {heap.id: heap for heap in heaps}
    line_ids = tuple(line.id for line in lines)
    found = []
    for item in counted("stock", slash.items):
        heap = by_id.get(item.id)
        if heap is not None:
            found.append(heap.on((item.name, item.char_stock_dry_t, plane), _stock_of_heap))
            continue
        place = _middle(lines[0], plane) if lines else None
        found.append(Stock(item.id, item.name, place, item.char_stock_dry_t, None, line_ids, None))
    return tuple(found)


def _stock_of_heap(heap: Feature, told: tuple[str, Drawn, Plane | None]) -> Stock:
    name, char_t, plane = told
    return Stock(heap.id, name, _middle(heap, plane), char_t, heap.number("thickest_cm"), (), heap.once(wettest))


def _middle(feature: Feature, plane: Plane | None) -> tuple[float, float] | None:
    middle = None if plane is None else middle_of(feature, plane)
    return None if middle is None else (middle.x, middle.y)


def kilns_at(site: Site) -> dict[str, Kiln]:
    """What is known of the kiln at each kiln spot, by the id of the spot; spots without a usable kiln are left out."""
    found = {}
    for spot in site.of_kind("kiln_spot"):
        item = site.item("kilns", spot.text("kiln"))
        facts = item.once(read_kiln)[0] if item is not None else None
        if facts is not None:
            found[spot.id] = facts
    return found


def piece_limit_cm(site: Site) -> float | None:
    """Thickest piece that any kiln at a spot of the site takes [cm]; None without a usable kiln."""
    return max((facts.piece_limit_cm for facts in kilns_at(site).values()), default=None)


def kiln_radius_m(facts: Kiln) -> float:
    """Radius of the circle through the corners of the kiln's open top [m]: which way it is turned is not known."""
    hollow = facts.hollow
    return hollow.length_m / 2 if hollow.is_round else math.hypot(hollow.length_m, hollow.width_m) / 2


def slopes_of(spots: Iterable[Feature], plane: Plane, terrain: Terrain | None) -> tuple[tuple[str, float | None], ...]:
    """(spot id, slope of its pad by the terrain [%], NaN where it has none to give); nothing without a terrain."""
    if terrain is None:
        return ()
    found = []
    for spot in spots:
        slope, place = math.nan, middle_of(spot, plane)
        if place is not None and not terrain.coarse:
            slope = round(terrain.pad_slope_at(place.x, place.y, PAD_RADIUS_M), 3)
        found.append((spot.id, math.nan if math.isnan(slope) else slope))  # one NaN, so that a memo knows it again
    return tuple(found)


def spots_of(site: Site, plane: Plane, terrain: Terrain | None, burns: Burns) -> tuple[SpotFacts, ...]:
    """Every kiln spot with what the kiln, its fire and the terrain say of it."""
    facts, spots = kilns_at(site), site.of_kind("kiln_spot")
    heats = {run.spot: run.heat_peak_kw.high for run in burns.kilns}
    slopes = dict(slopes_of(spots, plane, terrain))
    return tuple(
        SpotFacts(
            spot,
            kiln_radius_m(facts[spot.id]) if spot.id in facts else None,
            facts[spot.id].hollow.open_area_m2 if spot.id in facts else None,
            heats.get(spot.id),
            slopes.get(spot.id),
            _size_m(facts[spot.id]) if spot.id in facts else None,
        )
        for spot in spots
    )


def _size_m(kiln: Kiln) -> tuple[float, float, float]:
    return kiln.hollow.length_m, kiln.hollow.width_m, kiln.hollow.height_m


def around_of(
    site: Site,
    plane: Plane,
    rules: tuple[Rule, ...],
    day: Day,
    supply_min: tuple[tuple[str, float], ...],
    slash: Slash,
) -> Around:
    """What the kilns of a site must keep clear of: its features near enough to be reckoned with, or without a place.

    supply_min : `feed_minutes`; slash : says how large each heap is
    """
    features = (each for each in site.features if each.shape is None or near_shape(each, plane) is not None)
    others = tuple(each for each in features if each.kind != "kiln_spot")
    volumes = tuple((item.id, *item.large_m3) for item in slash.items if item.large_m3 is not None)
    return around(site, others, rules, plane, day, supply_min, volumes)


def feed_minutes(site: Site, plane: Plane, slash: Slash, burns: Burns) -> tuple[tuple[str, float], ...]:
    """How long each heap would feed the slowest kiln of the plan, as it may be at most: (id, [min]).

    A heap whose packing nobody entered is left out: it may hold three times the wood of a loose one. What is staged at
    one kiln adds up: several small heaps round it are one large one.
    """
    heaps = site.of_kind("pile", "windrow")
    rates = [run.feed_dry_t_per_h.likely for run in burns.kilns if run.feed_dry_t_per_h.likely > 0]
    dry_t = {item.id: item.large_t for item in slash.items if item.large_t is not None}
    packed = [heap.id for heap in heaps if heap.once(_packing_known)]
    alone = {heap: dry_t[heap] / min(rates) * 60 for heap in packed if rates and heap in dry_t}
    staged = [(heap.id, middle_of(heap, plane)) for heap in heaps if heap.once(_staged)]
    together = dict(alone)
    for spot in site.of_kind("kiln_spot"):
        kiln = middle_of(spot, plane)
        near = [heap for heap, at in staged if kiln and at and heap in alone and at.distance(kiln) <= ONE_KILN_M]
        minutes = sum(alone[heap] for heap in near)
        together |= {heap: max(together[heap], minutes) for heap in near}
    return tuple(together.items())


def _packing_known(heap: Feature) -> bool:
    return bool(heap.choice("packing")) or heap.number("packing_ratio") is not None


def _staged(heap: Feature) -> bool:
    return heap.kind == "pile" and bool(heap.flag("staged_feed"))


@lru_cache(maxsize=256)
def need_of(spot: Feature, run: KilnRun | None, burns: Burns, stands: bool = True) -> Need:
    """What one kiln spot asks of the water, by what is burned there. stands : whether a kiln may burn there"""
    reserve_l = burns.reserve_l.likely if burns.reserve_l is not None else value("quench", "least_reserve")
    if run is None:
        return Need(spot.id, spot.name, None, reserve_l=reserve_l, stands=stands)
    return Need(
        spot.id,
        spot.name,
        run.quench_l_per_batch,
        run.hold_l_min,
        run.glowing_area_m2,
        run.method == "flooded",
        reserve_l,
        quenches=run.batches_per_day or 1,
        water_on=run.clock.water_on if run.clock else None,
        no_steam_by=run.clock.no_steam_by if run.clock else None,
        dusk=run.clock.call_by if run.clock else None,
        rake_min=run.rake_min.likely,
        turns=tuple((clock.water_on, clock.no_steam_by) for clock in run.clocks),
        stands=stands,
        method_known=run.method_known,
        shares=turn_key(run) if run.never_twice else "",
    )
