"""Who gets the water of each source, and its pump, hose or machine, in which order, and what is asked of it in all."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from sitemap.ranges import Array, Drawn, fixed
from sitemap.reasons import Reason, litres, needed_and_there, reason, together
from sitemap.water import verdict
from sitemap.water.budget import Gate, Stock, gated
from sitemap.water.sharing import Diary, comes_later, past_dusk_min, too_long
from sitemap.water.values import Need, SourceBudget, WaterLine
from sitemap.water.verdict import SourceWord, Word


@dataclass
class Given:
    """Litres given to each kiln.

    litres : (id of the source, turn of the kiln, id of its spot) → litres (draws,) [L]
    """

    litres: dict[tuple[str, str, str], Array] = field(default_factory=dict)

    def book(self, source: str, need: Need, litres_l: Array) -> None:
        """Give so much of a source to a kiln [L]."""
        key = (source, need.turn, need.spot_id)
        self.litres[key] = self.litres.get(key, fixed(0.0)) + litres_l

    def out_of(self, source: str, beside: Need | None = None) -> Array | None:
        """All that is given out of a source, as far as it is beside what a kiln gets [L]; None where nothing is.

        A kiln that is moved between spots draws at one of them on a day: the most of them counts.
        """
        by_turn: dict[str, Array] = {}
        for (of, turn, spot), litres_l in self.litres.items():
            if of == source and not (beside is not None and beside.instead(spot, turn)):
                by_turn[turn] = np.maximum(by_turn[turn], litres_l) if turn in by_turn else litres_l
        return sum(by_turn.values(), start=fixed(0.0)) if by_turn else None


@dataclass
class _Book:
    """What has been given out so far.

    taken : litres promised
    lacking : and what was asked beyond them
    last : when its last quench is done, None where the clock is not known
    diary : the quenches with the gear they hold
    """

    taken: Given = field(default_factory=Given)
    lacking: Given = field(default_factory=Given)
    last: dict[str, dt.datetime | None] = field(default_factory=dict)
    diary: Diary = field(default_factory=Diary)


class Allocation:
    """Litres left in each source while the kilns of the day are served one after another."""

    def __init__(self, stocks: Sequence[Stock]) -> None:
        self._stocks: Mapping[str, Stock] = {stock.id: stock for stock in stocks}
        self._book = _Book()

    def as_it_stands(self) -> Allocation:
        """The same allocation, to ask what would be when later kilns have not been served yet."""
        kept = Allocation(tuple(self._stocks.values()))
        book = self._book
        kept._book = _Book(
            Given(dict(book.taken.litres)),
            Given(dict(book.lacking.litres)),
            dict(book.last),
            Diary(list(book.diary.uses)),
        )
        return kept

    def judged(self, line: WaterLine, need: Need) -> WaterLine:
        """A quench line, held to what its source still has for every quench of this kiln on the day, and to when its
        gear is free."""
        stock = self._stocks.get(line.source or "")
        if stock is None or line.litres is None or line.verdict in ("short", "not known"):
            return line
        line = self._held_to_stock(line, need, stock)
        wait = self._book.diary.wait_of(line, need) if line.verdict != "short" else None
        late = None if wait is None else too_long(wait, line, need)
        return line if late is None else _worse(line, "tight", late, None)

    def _held_to_stock(self, line: WaterLine, need: Need, stock: Stock) -> WaterLine:
        if stock.litres is None:
            return _worse(line, "tight", stock.not_known, None)
        taken = self._book.taken.out_of(stock.id, beside=need)
        left = stock.litres - (0.0 if taken is None else taken) - _asked(line, need, stock)
        if left[0] < 0:
            lacks, alone = litres(-float(left[0]), 2, "up"), taken is None
            why = reason("water.lacks" if alone else "water.lacks_after", at=stock.name, litres=lacks)
            return _worse(line, "short", why, "volume")
        if float(np.mean(left[1:] >= 0)) < 0.9:
            return _worse(line, "tight", reason("water.may_run_out", at=stock.name), "volume")
        return line

    def take(self, line: WaterLine, need: Need) -> WaterLine:
        """Book the quenches of a kiln on the source of its line; what the source lacks is booked as lacking.

        Returns the line with the time its last quench begins and ends, where that is known.
        """
        if line.source is None or line.litres is None:
            self._book.diary.book(line, need, None, runs=False)
            return line
        stock, book = self._stocks[line.source], self._book
        given = line.verdict != "short"
        if given or line.fails_first == "volume":
            into = book.taken if given else book.lacking
            into.book(stock.id, need, np.maximum(_asked(line, need, stock), 0.0))
        if not given or not need.stands:
            book.diary.book(line, need, None, runs=False)
            return line
        begins, end = need.water_on, None
        wait = book.diary.wait_of(line, need)
        if wait is not None and begins is not None:
            begins = None if wait.free is None else max(wait.free, begins)
        if begins is not None:
            hose_min = max(_minutes(line), need.rake_min)  # the hose wets what is raked
            book.diary.book(line, need, begins + dt.timedelta(minutes=hose_min))
            end = need.out_at(begins, hose_min)
        else:
            book.diary.book(line, need, None)
        if wait is not None and begins is not None and need.water_on is not None and begins > need.water_on:
            past_min = past_dusk_min(need, end)
            later = comes_later(wait, need, begins, past_min)
            line = replace(line, reason=together(line.reason, later), past_min=past_min)
        known = book.last.get(stock.id, end)
        book.last[stock.id] = None if end is None or known is None else max(end, known)
        return replace(line, water_on=begins, done=end)

    def reserve(self, line: WaterLine, need: Need) -> WaterLine:
        """An attack line, held to what is left for the reserve when every quench is done, and to the gear that is left
        while one runs."""
        stock = self._stocks.get(line.source or "")
        if stock is None or line.verdict in ("short", "not known"):
            return line
        held = self._book.diary.alone(line, need)
        if held is not None:
            line = _worse(line, "tight", held, "equipment")
        if stock.litres is None:
            return _worse(line, "tight", stock.not_known, None)
        taken = self._book.taken.out_of(stock.id, beside=need)
        left = stock.litres - (0.0 if taken is None else taken) - need.reserve_l
        if left[0] < 0:
            why = reason("water.lacks_reserve", at=stock.name, litres=litres(-float(left[0]), 2, "up"))
            return _worse(line, "short", why, "volume")
        if float(np.mean(left[1:] >= 0)) < 0.9:
            return _worse(line, "tight", reason("water.may_lack_reserve", at=stock.name), "volume")
        return line

    def budgets(self, reserves: Mapping[str, float]) -> tuple[SourceBudget, ...]:
        """Every source over the day. reserves : id of the source → escape water asked of it [L]."""
        return tuple(self._budget(stock, reserves.get(stock.id, 0.0)) for stock in self._stocks.values())

    def _budget(self, stock: Stock, reserve_l: float) -> SourceBudget:
        taken, lacking = self._book.taken.out_of(stock.id), self._book.lacking.out_of(stock.id)
        there = None if stock.litres is None or not np.isfinite(stock.litres[0]) else float(stock.litres[0])
        endless = stock.litres is not None and not np.isfinite(stock.litres[0])
        if taken is None and lacking is None and not reserve_l:
            word, why = _idle(stock)
            return SourceBudget(stock.id, None, there, None, word, why, endless)
        needed = sum((part for part in (taken, lacking) if part is not None), fixed(reserve_l))
        last = self._book.last.get(stock.id)
        if stock.litres is None:
            return SourceBudget(stock.id, Drawn(needed), None, last, "not known", stock.not_known)
        word = _holds(verdict.word_of(needed <= stock.litres, True, False), stock.gate)
        told = _asked_and_held(float(needed[0]), reserve_l, there)
        why = told if stock.gate.because is None else together(told, stock.gate.because)
        return SourceBudget(stock.id, Drawn(needed), there, last, word, why, endless)


def _holds(on_paper: Word, gate: Gate) -> SourceWord:
    """The word for what a source holds against what is asked of it: it must be there, and one must be let to take it.

    >>> _holds("enough on paper", Gate("enough, proved")), _holds("enough on paper", Gate("short"))
    ('holds enough', 'short')
    """
    held = verdict.at_best(on_paper, gate.best)
    if held != "enough on paper":
        return held
    return "holds enough" if gate.because is None else "not known"


def _idle(stock: Stock) -> tuple[SourceWord, Reason]:
    """What is said of a source nobody draws from: never enough where it is not known what it holds or may give."""
    nobody = reason("water.nobody_draws")
    if stock.gate.best == "short":
        return "short", stock.gate.because or nobody
    if stock.litres is None:
        return "not known", together(*((stock.gate.because,) if stock.gate.because else ()), stock.not_known)
    if stock.gate.because is not None:
        return "not known", stock.gate.because
    return "holds enough", nobody


def _asked_and_held(needed_l: float, reserve_l: float, there_l: float | None) -> Reason:
    """What is asked of a source, of that the reserve, and what it holds [L]; None where it does not run out."""
    asked, held = litres(needed_l, 2, "up"), reason("water.does_not_run_out")
    if there_l is not None:
        asked, holds = needed_and_there(needed_l, there_l, "l")
        held = reason("water.holds", litres=replace(holds, digits=3))  # as tables say it
    if not reserve_l:
        return together(reason("water.asked", litres=asked), held)
    return together(reason("water.asked_with_reserve", litres=asked, reserve=litres(reserve_l, 2, "up")), held)


@dataclass(frozen=True, eq=False)
class Turn:
    """What a changed line of one kiln would be held to when its turn comes.

    stocks : by id of the source
    before : the allocation when the kiln's quench is due
    after : the allocation when all kilns are quenched
    """

    stocks: Mapping[str, Stock]
    before: Allocation
    after: Allocation

    def held(self, line: WaterLine, need: Need) -> WaterLine:
        """The line, held to its source on the day and to what is left of it."""
        line = gated(line, self.stocks[line.source or ""].gate)
        return self.before.judged(line, need) if line.line == "quench" else self.after.reserve(line, need)


def _minutes(line: WaterLine) -> float:
    return line.minutes_to_quench.likely if line.minutes_to_quench else 0.0


def _asked(line: WaterLine, need: Need, stock: Stock) -> Array:
    """Litres all quenches of a kiln take out of a source, less what runs back in meanwhile; below 0 where more does."""
    each = np.zeros(1) if line.litres is None else line.litres.values
    # where a draw never puts the char out the rate decides, as the line itself says: no volume would do
    each = np.where(each < verdict.MOST_L, each, each[0])
    return need.quenches * (each - stock.refill_l_min * _minutes(line))


def _worse(line: WaterLine, word: Word, because: Reason, fails: str | None) -> WaterLine:
    held = verdict.at_best(line.verdict, word)
    return replace(
        line,
        verdict=held,
        effect=verdict.effect_of(held, line.line),
        reason=together(line.reason, because),
        fails_first=fails or line.fails_first,
    )
