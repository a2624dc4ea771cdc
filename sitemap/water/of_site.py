"""The water room applied to a site: every source, way and line of every kiln spot, and what each source must give."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache

from sitemap.errors import BadValue
from sitemap.notes import Note, kiln_called, sentence
from sitemap.site.model import Entry, Feature
from sitemap.units import restated
from sitemap.water import verdict
from sitemap.water.advice import advice_for
from sitemap.water.allocation import Ledger, Turn
from sitemap.water.budget import gated, stock_of
from sitemap.water.equipment import Rig, rig_of
from sitemap.water.hose_line import lift_of
from sitemap.water.hose_verdict import bucket_flow_l_min, hose_lines, measured_line
from sitemap.water.pressure_source import NoLineError
from sitemap.water.shuttle import haul_line
from sitemap.water.values import Kit, Lay, Need, SpotWater, Water, WaterLine, link_of
from sitemap.water.verdict import Line, Word


def water_of(
    needs: tuple[Need, ...],
    sources: tuple[Feature, ...],
    kit: Kit,
    links: tuple[Entry, ...],
    lays: tuple[Lay, ...],
    on: dt.date,
    altitude_m: float | None = None,
    system: str = "metric",
) -> Water:
    """Whether the water gets there.

    Parameters
    ----------
    needs : one per kiln spot alight on the day; served by the time of their water, else in this order
    sources : features of kind water_source
    kit : pumps, hoses, nozzles, machines, tanks and who can carry
    links : records of source and kiln spot together (lift ±, bucket test)
    lays : ways by hose, haul and hand; a pair without one is not judged
    on : the day
    altitude_m : of the site above the sea [m]; None: sea level, and it is said
    system : units of the sentences, "metric" or "us"

    Returns
    -------
    Water. Each spot has every entry; its quench and attack line are the best over sources and ways, with what is left
    in the source when its turn comes.
    """
    stocks = tuple(stock_of(source, on, system) for source in sources)
    rigs = {source.id: _rig(source, kit, altitude_m, system) for source in sources}
    by_id = {source.id: source for source in sources}
    stock_by_id = {stock.id: stock for stock in stocks}
    in_order = sorted(needs, key=lambda need: need.water_on.timestamp() if need.water_on else float("inf"))
    ledger = Ledger(stocks, system)
    found: dict[str, tuple[WaterLine, ...]] = {}
    quench: dict[str, WaterLine] = {}
    unknowns: list[Note] = []
    before: dict[str, Ledger] = {}
    for need in in_order:
        before[need.spot_id] = ledger.as_it_stands()
        entries: list[WaterLine] = []
        for lay in lays:
            if lay.spot_id != need.spot_id or lay.source_id not in by_id:
                continue
            link = link_of(links, lay.source_id, lay.spot_id)
            lines = _lines(need, lay, by_id[lay.source_id], rigs[lay.source_id], kit, link, system)
            entries += [gated(line, stock_by_id[lay.source_id]) for line in lines]
            if lay.way == "hose" and not lift_of(lay, link).known:
                kiln, water = kiln_called(need.name), by_id[lay.source_id].name
                text = f"How high {kiln} stands above the water at {water} is not known."
                unknowns.append(Note(need.spot_id, "lift", text))
        entries = [ledger.judged(entry, need) if entry.line == "quench" else entry for entry in entries]
        quench[need.spot_id] = _best(entries, "quench")
        ledger.take(quench[need.spot_id], need)
        found[need.spot_id] = tuple(entries)
    spots: list[SpotWater] = []
    reserves: dict[str, float] = {}
    for need in needs:
        entries = [ledger.reserve(line, need) if line.line == "attack" else line for line in found[need.spot_id]]
        attack = _best(entries, "attack")
        asked = attack.verdict != "not known" and (attack.verdict != "short" or attack.fails_first == "volume")
        if attack.source is not None and asked:
            reserves[attack.source] = max(need.reserve_l, reserves.get(attack.source, 0.0))
        best: dict[Line, WaterLine] = {"quench": quench[need.spot_id], "attack": attack}
        turn = Turn(stock_by_id, before[need.spot_id], ledger)
        advice = advice_for(need, kit, rigs, lays, links, by_id, turn, best, system)
        lines = (_said(quench[need.spot_id]), _said(attack))
        spots.append(SpotWater(need.spot_id, tuple(_said(entry) for entry in entries), *lines, advice))
    rigged = [rig for rig in rigs.values() if isinstance(rig, Rig)]
    assumed = [note for stock in stocks for note in stock.assumed] + [note for rig in rigged for note in rig.assumed]
    if altitude_m is None and any(source.number("suction_lift_m") is not None for source in sources):
        assumed.append(Note("site", "altitude", "The altitude is not known: suction is reckoned at sea level."))
    unknowns += [
        Note(source_id, "hose_line", sentence(str(rig)))
        for source_id, rig in rigs.items()
        if isinstance(rig, NoLineError) and rig.word == "not known"
    ]
    unknowns += [note for stock in stocks for note in stock.unknowns] + list(_missing(needs, sources))
    return Water(tuple(spots), ledger.budgets(reserves), tuple(dict.fromkeys(assumed)), tuple(dict.fromkeys(unknowns)))


@lru_cache(maxsize=64)
def _rig(source: Feature, kit: Kit, altitude_m: float | None, system: str) -> Rig | NoLineError:
    try:
        return rig_of(source, kit, altitude_m, system)
    except NoLineError as fault:
        return fault


@lru_cache(maxsize=256)
def _lines(
    need: Need, lay: Lay, source: Feature, rig: Rig | NoLineError, kit: Kit, link: Entry | None, system: str
) -> tuple[WaterLine, ...]:
    try:
        if lay.way != "hose":
            line = haul_line(need, lay, source, kit, system)
            return (replace(line, reason=_with_way(line.reason, lay)),)
        if isinstance(rig, NoLineError):
            raise rig
        found = hose_lines(need, rig, lay, lift_of(lay, link), bucket_flow_l_min(link), system)
        return tuple(replace(line, reason=_with_way(line.reason, lay)) for line in found)
    except BadValue as fault:
        said = str(fault) if isinstance(fault, NoLineError) else restated(str(fault), system)
        word: Word = fault.word if isinstance(fault, NoLineError) else "not known"
        fails = fault.fails if isinstance(fault, NoLineError) else "equipment"
        lift = lift_of(lay, link)
        kinds: tuple[Line, ...] = ("quench", "attack") if lay.way == "hose" else ("quench",)
        failed = [
            WaterLine(
                lay.source_id,
                lay.way,
                line,
                word,
                verdict.effect_of(word, line),
                said,
                route_m=lay.length_m,
                lift_m=lift.metres if lay.way == "hose" and lift.known else lay.lift_m,
                fails_first=fails,
            )
            for line in kinds
        ]
        measured = bucket_flow_l_min(link)
        if lay.way == "hose" and measured is not None:
            failed[0] = measured_line(need, lay, measured, said, failed[0].lift_m, system)
        return tuple(failed)


def _with_way(reason: str, lay: Lay) -> str:
    return f"{reason}; way {lay.reason}" if lay.reason else reason


def _said(line: WaterLine) -> WaterLine:
    """The line with its reason as a sentence."""
    return replace(line, reason=sentence(line.reason))


def _best(entries: Iterable[WaterLine], line: Line) -> WaterLine:
    """The best of a line: by verdict, then by the time it takes, then by flow."""
    lines = [entry for entry in entries if entry.line == line]
    if not lines:
        what = "no way from a water source is known" if line == "quench" else "no hose line is known"
        return WaterLine(None, None, line, "not known", verdict.effect_of("not known", line), what)

    def rank(entry: WaterLine) -> tuple[int, float, float]:
        minutes = entry.minutes_to_quench.likely if entry.minutes_to_quench else verdict.A_DAY_MIN
        return verdict.BEST_FIRST.index(entry.verdict), minutes, -(entry.flow_l_min.likely if entry.flow_l_min else 0.0)

    return min(lines, key=rank)


def _missing(needs: tuple[Need, ...], sources: tuple[Feature, ...]) -> Iterable[Note]:
    if needs and not sources:
        yield Note("site", "water_source", "No water source has been entered.")
    for need in needs:
        if need.quench_l is None:
            yield Note(
                need.spot_id, "quench_l", f"How much water the quench of {kiln_called(need.name)} takes is not known."
            )
