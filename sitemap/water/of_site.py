"""The water room applied to a site: every source, way and line of every kiln spot, and what each source must give."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache, partial

from sitemap.errors import BadValue
from sitemap.geodesy.measure import area_m2
from sitemap.geodesy.plane import Plane
from sitemap.notes import Note
from sitemap.reasons import KilnName, Reason, l_min, reason, together
from sitemap.site.model import Feature
from sitemap.site.on_plane import middle_of, near_shape
from sitemap.terrain.terrain import Terrain
from sitemap.water import verdict
from sitemap.water.advice import METRIC, Lengths, Situation, advice_for
from sitemap.water.allocation import Allocation, Turn
from sitemap.water.bucket import Bucket, bucket_of, doubt_of, doubted
from sitemap.water.budget import Gate, Stock, gated, stock_of
from sitemap.water.equipment import Rig, rig_of
from sitemap.water.hose_line import lift_of
from sitemap.water.hose_verdict import hose_lines, measured_line
from sitemap.water.pressure_source import NoLineError
from sitemap.water.reading import source_of
from sitemap.water.records import NO_GEAR, Kit, Link, Source, link_of
from sitemap.water.shuttle import haul_line
from sitemap.water.tested import other_gear
from sitemap.water.values import Lay, Need, SpotWater, Water, WaterLine
from sitemap.water.verdict import Line, Word


def sources_of(features: Iterable[Feature], plane: Plane) -> tuple[Source, ...]:
    """Every water source, read; a pond drawn as an area has that area where none was typed."""
    return tuple(_with_area(feature, plane) for feature in features)


def _with_area(feature: Feature, plane: Plane) -> Source:
    source = source_of(feature)
    shape = None if feature.has("area_m2") else near_shape(feature, plane)
    if shape is None or not shape.area:
        return source
    return replace(source, basin=replace(source.basin, area_m2=float(area_m2(shape))))


def altitude_m(features: tuple[Feature, ...], plane: Plane, terrain: Terrain | None) -> float | None:
    """Height of the sources above the sea, for what a pump can lift by suction [m]; None where nothing tells."""
    typed = [height for each in features if (height := source_of(each).elevation_m) is not None]
    if typed or terrain is None:
        return max(typed, default=None)
    places = [place for each in features if (place := middle_of(each, plane)) is not None]
    heights = [float(terrain.elevation(place.x, place.y)) for place in places]
    # up to the next 10 m, 1 cm of suction: a source moved a little must not have every hose line reckoned anew
    return max((10.0 * math.ceil(height / 10) for height in heights if not math.isnan(height)), default=None)


@dataclass(frozen=True)
class Given:
    """What the water of a day is worked out from.

    needs : one per kiln spot alight on the day; served by the time of their water, else in this order
    sources, kit, links : as read
    lays : ways by hose, haul and hand; a pair without one is not judged
    on : the day
    altitude_m : of the site above the sea [m]; None: sea level, and it is said
    lengths : gear one can borrow, for the advice
    """

    needs: tuple[Need, ...]
    sources: tuple[Source, ...]
    kit: Kit
    links: tuple[Link, ...]
    lays: tuple[Lay, ...]
    on: dt.date | None
    altitude_m: float | None = None
    lengths: Lengths = METRIC


def water_of(given: Given) -> Water:
    """Whether the water gets there.

    Returns
    -------
    Water. Each spot has every entry; its quench and attack line are the best over sources and ways, with what is left
    in the source when its turn comes.
    """
    stocks = {source.id: stock_of(source, given.on) for source in given.sources}
    rigs = {source.id: _rig(source, given.kit, given.altitude_m) for source in given.sources}
    served = _served(given, stocks, rigs)
    situation = Situation(given.kit, rigs, given.lays, given.links, given.sources, given.lengths)
    names = {source.id: source.name for source in given.sources}
    spots: list[SpotWater] = []
    reserves: dict[str, float] = {}
    for need in given.needs:
        own = served.entries[need.spot_id]
        entries = [served.allocation.reserve(line, need) if line.line == "attack" else line for line in own]
        attack = _best(entries, "attack", names)
        asked = attack.verdict != "not known" and (attack.verdict != "short" or attack.fails_first == "volume")
        if attack.source is not None and asked:
            reserves[attack.source] = max(need.reserve_l, reserves.get(attack.source, 0.0))
        best: dict[Line, WaterLine] = {"quench": served.quench[need.spot_id], "attack": attack}
        turn = Turn(stocks, served.before[need.spot_id], served.allocation)
        advise = partial(advice_for, served.hardest[need.spot_id], situation, turn, best)
        spots.append(SpotWater(need.spot_id, tuple(entries), best["quench"], attack, advise))
    budgets = served.allocation.budgets(reserves)
    return Water(tuple(spots), budgets, _assumed(given, stocks, rigs), _unknowns(given, stocks, rigs, served))


@dataclass(frozen=True, eq=False)
class _Served:
    """Every line of every kiln at its hardest quench of the day, the best of them, that quench, the allocation when its
    turn came, and at the end of the day."""

    entries: Mapping[str, tuple[WaterLine, ...]]
    quench: Mapping[str, WaterLine]
    hardest: Mapping[str, Need]
    before: Mapping[str, Allocation]
    allocation: Allocation
    unknowns: tuple[Note, ...]


def _served(given: Given, stocks: Mapping[str, Stock], rigs: Mapping[str, Rig | NoLineError]) -> _Served:
    """Every quench of the day in the order of its water; of a kiln with several the hardest counts."""
    names = {source.id: source.name for source in given.sources}
    every = [quench for need in given.needs for quench in need.each]
    allocation = Allocation(tuple(stocks.values()))
    found: dict[str, tuple[WaterLine, ...]] = {}
    best: dict[str, WaterLine] = {}
    hardest: dict[str, Need] = {}
    before: dict[str, Allocation] = {}
    lines = {need.spot_id: _lines_of(need, given, stocks, rigs) for need in given.needs}
    for quench in sorted(every, key=lambda each: each.water_on.timestamp() if each.water_on else float("inf")):
        spot, kept = quench.spot_id, allocation.as_it_stands()
        entries = [allocation.judged(line, quench) if line.line == "quench" else line for line in lines[spot]]
        taken = allocation.take(_best(entries, "quench", names), quench)
        if spot not in best or _rank(taken) >= _rank(best[spot]):
            before[spot], hardest[spot], best[spot] = kept, quench, taken
            found[spot] = tuple(_timed(entry, taken) for entry in entries)
    return _Served(found, best, hardest, before, allocation, tuple(_heights_not_known(given)))


def _lines_of(
    need: Need, given: Given, stocks: Mapping[str, Stock], rigs: Mapping[str, Rig | NoLineError]
) -> list[WaterLine]:
    """Every line of a kiln by every way to it, before anything is shared."""
    by_id = {source.id: source for source in given.sources}
    entries: list[WaterLine] = []
    for lay, source in _ways_to(need, given, by_id):
        link = link_of(given.links, lay.source_id, lay.spot_id)
        lines = _lines(need, lay, source, rigs[lay.source_id], given.kit, link)
        entries += [gated(line, stocks[lay.source_id].gate) for line in lines]
    if need.method_known:
        return entries
    return [gated(line, _METHOD_OPEN) if line.line == "quench" else line for line in entries]


_METHOD_OPEN = Gate("tight", reason("water.method_open"))


def _ways_to(need: Need, given: Given, by_id: Mapping[str, Source]) -> Iterable[tuple[Lay, Source]]:
    return ((lay, by_id[lay.source_id]) for lay in given.lays if lay.spot_id == need.spot_id and lay.source_id in by_id)


def _heights_not_known(given: Given) -> Iterable[Note]:
    by_id = {source.id: source for source in given.sources}
    for need in given.needs:
        for lay, source in _ways_to(need, given, by_id):
            if lay.way == "hose" and not lift_of(lay, link_of(given.links, lay.source_id, lay.spot_id)).known:
                why = reason("water.kiln_height_unknown", kiln=KilnName(need.name), at=source.name)
                yield Note(need.spot_id, "lift", why)


def _rank(line: WaterLine) -> int:
    return verdict.BEST_FIRST.index(line.verdict)


def _timed(entry: WaterLine, taken: WaterLine) -> WaterLine:
    """The entry that is taken, with its times; every other as it is."""
    same = (entry.source, entry.way, entry.line) == (taken.source, taken.way, taken.line)
    return replace(entry, water_on=taken.water_on, done=taken.done, reason=taken.reason) if same else entry


def _assumed(given: Given, stocks: Mapping[str, Stock], rigs: Mapping[str, Rig | NoLineError]) -> tuple[Note, ...]:
    rigged = [rig for rig in rigs.values() if isinstance(rig, Rig)]
    found = [note for stock in stocks.values() for note in stock.assumed]
    found += [note for rig in rigged for note in rig.assumed]
    if given.altitude_m is None and any(source.suction_lift_m is not None for source in given.sources):
        found.append(Note("site", "altitude", reason("water.sea_level")))
    return tuple(dict.fromkeys(found))


def _unknowns(
    given: Given, stocks: Mapping[str, Stock], rigs: Mapping[str, Rig | NoLineError], served: _Served
) -> tuple[Note, ...]:
    found = list(served.unknowns)
    found += [
        Note(source_id, "hose_line", rig.reason)
        for source_id, rig in rigs.items()
        if isinstance(rig, NoLineError) and rig.word == "not known"
    ]
    found += [note for stock in stocks.values() for note in stock.unknowns]
    if given.needs and not given.sources:
        found.append(Note("site", "water_source", reason("water.no_source")))
    found += [
        Note(need.spot_id, "quench_l", reason("water.quench_of_unknown", kiln=KilnName(need.name)))
        for need in given.needs
        if need.quench_l is None
    ]
    return tuple(dict.fromkeys(found))


@lru_cache(maxsize=64)
def _rig(source: Source, kit: Kit, altitude_m: float | None) -> Rig | NoLineError:
    try:
        return rig_of(source, kit, altitude_m)
    except NoLineError as fault:
        return fault


@lru_cache(maxsize=256)
def _lines(
    need: Need, lay: Lay, source: Source, rig: Rig | NoLineError, kit: Kit, link: Link | None
) -> tuple[WaterLine, ...]:
    try:
        if lay.way != "hose":
            return (_with_way(haul_line(need, lay, source, kit, link.trips if link else None), lay),)
        if isinstance(rig, NoLineError):
            raise rig
        other = partial(other_gear, NO_GEAR if link is None else link.bucket_gear, kit)
        found = hose_lines(need, rig, lay, lift_of(lay, link), bucket_of(link), other)
        return tuple(_with_way(line, lay) for line in found)
    except BadValue as fault:
        return _failed(need, lay, fault, link)


def _failed(need: Need, lay: Lay, fault: BadValue, link: Link | None) -> tuple[WaterLine, ...]:
    """Lines without a number; where a bucket was filled, that is the number of the quench line."""
    why = fault.reason
    word: Word = fault.word if isinstance(fault, NoLineError) else "not known"
    fails = fault.fails if isinstance(fault, NoLineError) else "equipment"
    lift, hose = lift_of(lay, link), lay.way == "hose"
    lift_m = lift.metres if hose and lift.known else lay.lift_m
    kinds: tuple[Line, ...] = ("quench", "attack") if hose else ("quench",)
    failed = [
        WaterLine(
            lay.source_id,
            lay.way,
            line,
            word,
            verdict.effect_of(word, line),
            why,
            route_m=lay.length_m,
            lift_m=lift_m,
            fails_first=fails,
        )
        for line in kinds
    ]
    bucket = bucket_of(link) if hose else None
    if bucket is None:
        return tuple(failed)
    if word == "not known":
        return (measured_line(need, lay, bucket, why, lift_m), *failed[1:])
    return tuple(_contradicted(line, bucket, fails) for line in failed)


def _contradicted(line: WaterLine, bucket: Bucket, fails: str) -> WaterLine:
    """A line that cannot work on paper and filled a bucket: where the paper may be wrong by the head, not known; a hose
    that ends before the kiln or a pump that stands too high is not mended by a bucket."""
    doubt = doubt_of(bucket, 0.0)
    if doubt is None:
        return line
    if fails == "lift":
        return doubted(replace(line, verdict="not known"), doubt)
    return doubted(line, reason("water.bucket_beside", flow=l_min(bucket.flow_l_min)))


def _with_way(line: WaterLine, lay: Lay) -> WaterLine:
    if lay.reason is None:
        return line
    return replace(line, reason=together(line.reason, reason("water.by_way", way=lay.reason)))


def _best(entries: Iterable[WaterLine], line: Line, names: Mapping[str, str]) -> WaterLine:
    """The best of a line: by verdict, then by the time it takes, then by flow. names : of the sources"""
    lines = [entry for entry in entries if entry.line == line]
    if not lines:
        why = reason("water.no_way" if line == "quench" else "water.no_hose_line")
        return WaterLine(None, None, line, "not known", verdict.effect_of("not known", line), why)

    def rank(entry: WaterLine) -> tuple[int, float, float]:
        minutes = entry.minutes_to_quench.likely if entry.minutes_to_quench else verdict.A_DAY_MIN
        return verdict.BEST_FIRST.index(entry.verdict), minutes, -(entry.flow_l_min.likely if entry.flow_l_min else 0.0)

    best = min(lines, key=rank)
    if best.verdict != "not known":
        return best
    short = [entry for entry in lines if entry.verdict == "short"]
    return replace(best, reason=together(best.reason, *(_besides(entry, names) for entry in short)))


def _besides(entry: WaterLine, names: Mapping[str, str]) -> Reason:
    """A way that cannot work, told beside one that is not known."""
    at = names.get(entry.source or "", "")
    if entry.way == "hose":
        return reason("water.besides_hose", at=at, why=entry.reason)
    return reason("water.besides_machine" if entry.way == "haul" else "water.besides_hand", at=at, why=entry.reason)
