"""How much is in each source, whether it may be used on the day, and who gets it in which order."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from sitemap.errors import BadValue
from sitemap.notes import Note, kiln_called, sentence
from sitemap.ranges import Array, Drawn, draw, draw_cv, fixed
from sitemap.site.model import Feature
from sitemap.units import compared, restated, text
from sitemap.water import sources, verdict
from sitemap.water.values import Need, SourceBudget, WaterLine
from sitemap.water.verdict import Word

POND_CV = 0.3  # depth by a stick and an unknown shape, judgement
DUG_SIDE_SLOPE = 2.0  # horizontal per vertical of a dug pond of unknown sides, as in the handbook example (P)
WITHOUT_END = ("tap", "hydrant", "stream")


@dataclass(frozen=True, eq=False)
class Stock:
    """What one source holds and whether it may be used.

    litres : (draws,) one may take [L]; None where not known; infinite for what runs by itself
    best : the best verdict it allows, and why it is not better
    """

    id: str
    name: str
    litres: Array | None
    refill_l_min: float
    best: Word
    because: str
    fails: str | None
    assumed: tuple[Note, ...]
    unknowns: tuple[Note, ...]


def stock_of(source: Feature, on: dt.date, system: str = "metric") -> Stock:
    """Water, permission and season of one source on a day; its sentences in the units of a system."""
    assumed: list[Note] = []
    unknowns: list[Note] = []
    best, because, fails = _gate(source, on, unknowns)
    try:
        litres = _litres(source, assumed)
    except BadValue as fault:
        litres = None
        unknowns.append(Note(source.id, "water_volume", f"{source.name}: {restated(str(fault), system)}"))
    if litres is None:
        unknowns.append(Note(source.id, "water_volume", f"How much water is in {source.name} is not known."))
    elif litres[0] <= 0:
        best, because, fails = "short", f"there is no water in {source.name}", "volume"
    refill = source.number("refill_l_min") or 0.0
    if litres is not None and not np.isfinite(litres[0]):
        refill = 0.0  # what does not run out needs no refilling: all that is drawn counts as needed
    elif source.choice("source") == "well":
        refill = max(refill, source.number("yield_l_min") or 0.0)
    return Stock(source.id, source.name, litres, refill, best, because, fails, tuple(assumed), tuple(unknowns))


def _gate(source: Feature, on: dt.date, unknowns: list[Note]) -> tuple[Word, str, str | None]:
    days = source.date("usable_from"), source.date("usable_to")
    try:
        usable = sources.usable_on(on, source.flag("usable_on_date"), *days)
    except BadValue as fault:
        usable = None
        unknowns.append(Note(source.id, "usable_dates", f"{source.name}: {fault}"))
    permission = source.choice("permission")
    if usable is False:
        return "short", f"{source.name} cannot be used on {on.isoformat()}", "date"
    if permission == "no":
        return "short", f"permission to take water from {source.name} was refused", "permission"
    missing = []
    if usable is None:
        missing.append("whether it has water on the burn date")
        unknowns.append(
            Note(source.id, "usable_on_date", f"Whether {source.name} can be used on the day is not known.")
        )
    if permission != "yes":
        missing.append("permission to take water")
        unknowns.append(
            Note(source.id, "water_permission", f"Permission to take water from {source.name} is not given.")
        )
    if missing:
        return "enough on paper", f"{' and '.join(missing)} is still to be had at {source.name}", None
    return "enough, proved", "", None


def _litres(source: Feature, assumed: list[Note]) -> Array | None:
    kind = source.choice("source")
    if kind in WITHOUT_END:
        return fixed(np.inf)
    whole = _whole_litres(source, kind, assumed)
    if whole is None:
        # a well of unknown storage is held to its yield, which the hose line already is
        return fixed(np.inf) if kind == "well" else None
    share = source.number("usable_fraction")
    if share is None and kind == "pond":
        share = sources.POND_USABLE
        assumed.append(Note(source.id, "usable_fraction", f"Half of {source.name} is taken as usable."))
    return whole * (1.0 if share is None else share)


def _whole_litres(source: Feature, kind: str | None, assumed: list[Note]) -> Array | None:
    typed = source.measured("volume_l")
    if typed is not None:
        low, high = (typed.likely if end is None else end for end in (typed.low, typed.high))
        return draw(typed.likely, low, high, about=source.id, quantity="volume_l", floor=0.0)
    length, width, depth = (source.number(name) for name in ("length_m", "width_m", "depth_m"))
    if kind == "pond" and depth is not None:
        area = source.number("area_m2")
        if area is not None:
            likely = float(sources.pond_l(area, depth))
            told = f"{source.name} is taken as a bowl: a third of its area times its depth."
        elif length is not None and width is not None:
            likely = float(sources.dug_pond_l(length, width, depth, DUG_SIDE_SLOPE))
            told = f"The sides of {source.name} are taken as sloping 2 to 1."
        else:
            return None
        assumed.append(Note(source.id, "pond_shape", told))
        return draw_cv(likely, POND_CV, about=source.id, quantity="volume_l")
    litres = _tank_litres(source)
    return None if litres is None else fixed(litres)


def _tank_litres(source: Feature) -> float | None:
    shape, water = source.choice("tank_shape"), source.number("depth_of_water_m")
    diameter, length, width, height = (source.number(f"{side}_m") for side in ("diameter", "length", "width", "height"))
    if water is None or shape is None:
        return None
    if shape == "horizontal_cylinder" and diameter is not None and length is not None:
        return float(sources.lying_cylinder_l(diameter, length, water))
    if shape == "vertical_cylinder" and diameter is not None and height is not None:
        return float(sources.standing_cylinder_l(diameter, height, water))
    if shape == "box" and length is not None and width is not None and height is not None:
        return float(sources.box_l(length, width, height, water))
    return None


def gated(line: WaterLine, stock: Stock) -> WaterLine:
    """The line, never better than its source allows on the day."""
    word = verdict.at_best(line.verdict, stock.best)
    shut = stock.best == "short"  # no water may be had: a line short by itself shows no figures either
    if word == line.verdict and not shut:
        return line
    nothing = dict.fromkeys(("flow_l_min", "nozzle_kpa", "minutes_to_quench", "litres", "loads") if shut else ())
    return replace(
        line,
        verdict=word,
        effect=verdict.effect_of(word, line.line),
        reason=stock.because if shut else f"{line.reason}; {stock.because}",
        fails_first=stock.fails or line.fails_first,
        **nothing,  # type: ignore[arg-type]
    )


class Ledger:
    """Litres left in each source while the kilns of the day are served one after another."""

    def __init__(self, stocks: Sequence[Stock], system: str = "metric") -> None:
        self._system = system
        self._stocks: Mapping[str, Stock] = {stock.id: stock for stock in stocks}
        self._taken: dict[str, Array] = {}
        self._last: dict[str, dt.datetime | None] = {}
        self._busy: dict[tuple[str, str], tuple[dt.datetime, str]] = {}

    def judged(self, line: WaterLine, need: Need) -> WaterLine:
        """A quench line, held to what its source still has for every quench of this kiln on the day."""
        stock = self._stocks.get(line.source or "")
        if stock is None or line.litres is None or line.verdict in ("short", "not known"):
            return line
        if stock.litres is None:
            return _worse(line, "tight", f"how much water is in {stock.name} is not known", None)
        minutes = line.minutes_to_quench.likely if line.minutes_to_quench else 0.0
        asked = need.quenches * (line.litres.values - stock.refill_l_min * minutes)
        left = stock.litres - self._taken.get(stock.id, 0.0) - asked
        if left[0] < 0:
            told = f"{stock.name} lacks {self._litres(-left[0])} for this kiln after those before it"
            return _worse(line, "short", told, "volume")
        if float(np.mean(left[1:] >= 0)) < 0.9:
            return _worse(line, "tight", f"{stock.name} may run out before this kiln is quenched", "volume")
        until, whose = self._busy.get(_gear(line), (None, ""))
        wait = 0.0 if until is None or need.water_on is None else (until - need.water_on).total_seconds() / 60
        if until is not None and (wait > verdict.WATER_ON_MIN or wait + minutes > verdict.COLD_MIN):
            what = {"hose": "the same pump and hose", "haul": "the same machine"}.get(line.way or "", "the same people")
            return _worse(line, "tight", f"{what} quench {whose} until {until:%H:%M}", None)
        return line

    def take(self, line: WaterLine, need: Need) -> None:
        """Book the quenches of a kiln on the source of its line."""
        if line.source is None or line.litres is None or line.verdict == "short":
            return
        stock = self._stocks[line.source]
        minutes = line.minutes_to_quench.likely if line.minutes_to_quench else 0.0
        asked = need.quenches * np.maximum(line.litres.values - stock.refill_l_min * minutes, 0.0)
        self._taken[line.source] = self._taken.get(line.source, fixed(0.0)) + asked
        end = None if need.water_on is None else need.water_on + dt.timedelta(minutes=minutes)
        if end is not None:
            quench, waits = dt.timedelta(minutes=minutes), self._busy.get(_gear(line))
            begins = end - quench if waits is None else max(waits[0], end - quench)
            self._busy[_gear(line)] = (begins + quench, kiln_called(need.name))
        known = self._last.get(line.source, end)
        self._last[line.source] = None if end is None or known is None else max(end, known)

    def reserve(self, line: WaterLine, need: Need) -> WaterLine:
        """An attack line, held to what is left for the reserve when every quench is done."""
        stock = self._stocks.get(line.source or "")
        if stock is None or line.verdict in ("short", "not known"):
            return line
        if stock.litres is None:
            return _worse(line, "tight", f"how much water is in {stock.name} is not known", None)
        left = stock.litres - self._taken.get(stock.id, 0.0) - need.reserve_l
        if left[0] < 0:
            told = f"{stock.name} lacks {self._litres(-left[0])} for the reserve after the quenches"
            return _worse(line, "short", told, "volume")
        if float(np.mean(left[1:] >= 0)) < 0.9:
            return _worse(line, "tight", f"{stock.name} may lack water for the reserve", "volume")
        return line

    def budgets(self, reserves: Mapping[str, float]) -> tuple[SourceBudget, ...]:
        """Every source over the day. reserves : id of the source → escape water kept there [L]."""
        return tuple(self._budget(stock, reserves.get(stock.id, 0.0)) for stock in self._stocks.values())

    def _budget(self, stock: Stock, reserve_l: float) -> SourceBudget:
        taken = self._taken.get(stock.id)
        there = None if stock.litres is None or not np.isfinite(stock.litres[0]) else float(stock.litres[0])
        endless = stock.litres is not None and not np.isfinite(stock.litres[0])
        if taken is None and not reserve_l:
            idle: Word = stock.best if stock.best != "enough, proved" else "enough on paper"
            told = sentence(stock.because or "no kiln draws from it")
            return SourceBudget(stock.id, None, there, None, idle, told, endless)
        needed = (fixed(0.0) if taken is None else taken) + reserve_l
        last = self._last.get(stock.id)
        if stock.litres is None:
            told = f"How much water is in {stock.name} is not known."
            return SourceBudget(stock.id, Drawn(needed), None, last, "not known", told)
        word = verdict.at_best(verdict.word_of(needed <= stock.litres, True, False), stock.best)
        asked, held = self._litres(needed[0]), "it does not run out"
        if there is not None:
            asked, held = compared(needed[0], there, "l", self._system)
            held = f"it holds {held}"
        told = f"{asked} are asked of it" + (f", {self._litres(reserve_l)} of that the reserve" if reserve_l else "")
        because = f"; {stock.because}" if stock.because else ""
        told = sentence(f"{told}; {held}{because}")
        return SourceBudget(stock.id, Drawn(needed), there, last, word, told, endless)

    def _litres(self, litres: float) -> str:
        return text(litres, "l", self._system, 2)


def _gear(line: WaterLine) -> tuple[str, str]:
    """What is busy while a line runs: a hose line is its source's own, machine and people serve every source."""
    return line.way or "", (line.source or "") if line.way == "hose" else ""


def _worse(line: WaterLine, word: Word, because: str, fails: str | None) -> WaterLine:
    held = verdict.at_best(line.verdict, word)
    return replace(
        line,
        verdict=held,
        effect=verdict.effect_of(held, line.line),
        reason=f"{line.reason}; {because}",
        fails_first=fails or line.fails_first,
    )
