"""Gear in use: which kiln has pump, hose or machine until when, and how long it takes to bring it to the next."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

from sitemap.reasons import KilnName, Quantity, Reason, Term, reason, together
from sitemap.water import verdict
from sitemap.water.records import Gear
from sitemap.water.values import Need, WaterLine

WHOLE = 1.0 + 1e-6  # shares of one pump or of the hose on hand may add up to this
PUMP_MOVE_MIN = 30.0  # [min] a pump taken to another source, set up and primed: common practice, no source
_TOLD = dt.timedelta(minutes=1)  # a clock is told to the minute
HOSE_MOVE_MIN = 15.0  # [min] hose drained, taken to another kiln and laid anew: common practice, no source


@dataclass(frozen=True)
class Use:
    """A quench of the day with the gear it holds. turn : of its kiln, as `Need.turn`; until : None where its time is
    not known; needed_l_min [L/min]; runs : False for one that cannot, whose gear still hangs at its own kiln"""

    gear: tuple[Gear, ...]
    spot_id: str
    turn: str
    source_id: str
    whose: str
    until: dt.datetime | None
    needed_l_min: float
    runs: bool = True


@dataclass(frozen=True)
class Wait:
    """Gear a line must wait for. free : when it can be there, None where nobody knows"""

    free: dt.datetime | None
    gear: Gear
    use: Use


@dataclass
class Diary:
    """Every quench booked so far."""

    uses: list[Use] = field(default_factory=list)

    def wait_of(self, line: WaterLine, need: Need) -> Wait | None:
        """What a quench line waits for longest; None where all its gear is free in time."""
        found = [wait for gear in line.gear if (wait := self._wait(gear, line, need)) is not None]
        unknown = next((wait for wait in found if wait.free is None), None)
        return unknown or max(found, key=lambda wait: _stamp(wait.free), default=None)

    def _wait(self, gear: Gear, line: WaterLine, need: Need) -> Wait | None:
        held: list[tuple[Use, Gear]] = []
        for use in self.uses:
            other = next((each for each in use.gear if each.id == gear.id), None)
            if (
                other is not None
                and use.runs
                and not need.instead(use.spot_id, use.turn)
                and not _over(use, line, need)
            ):
                held.append((use, other))
        if not held or gear.share + sum(other.share for _, other in held) <= WHOLE:
            return None
        last, _ = max(held, key=lambda each: (each[0].until is None, _stamp(each[0].until)))
        free = None if last.until is None or need.water_on is None else last.until + _change(last, line, need)
        return Wait(free, gear, last)

    def book(self, line: WaterLine, need: Need, until: dt.datetime | None, runs: bool = True) -> None:
        """A quench takes its gear until it is done."""
        needed, whose = line.needed_l_min or 0.0, KilnName(need.name)
        self.uses.append(Use(line.gear, need.spot_id, need.turn, line.source or "", whose, until, needed, runs))

    def alone(self, attack: WaterLine, need: Need) -> Reason | None:
        """Why no line is left for an escape while a quench of the day runs; None where there is.

        An attack line has gear of its own, or pump and hose carry both: then the quench hose branches at the kiln.
        """
        for use in self.uses:
            shared = _clash(attack.gear, use.gear)
            elsewhere = need.instead(use.spot_id, use.turn) or not (use.runs or use.spot_id == need.spot_id)
            if shared is None or elsewhere:
                continue
            both_l_min = (attack.needed_l_min or 0.0) + use.needed_l_min
            carries = attack.carries_l_min is not None and both_l_min <= attack.carries_l_min
            hose_away = use.spot_id != need.spot_id and shared.id.startswith("hose ")
            if use.source_id != attack.source or hose_away or not carries:
                return reason("water.no_attack_beside", gear=shared.name, kiln=use.whose)
        return None


def holder(wait: Wait, need: Need) -> str | Term:
    """Who has the gear, as it is told at the kiln that waits: another kiln, or the quench before it at its own spot."""
    return Term("the quench before it") if wait.use.spot_id == need.spot_id else wait.use.whose


def comes_later(wait: Wait, need: Need, begins: dt.datetime, past_min: float) -> Reason:
    """How much later than by the clock the water of a quench begins, and what to do where it then steams past dusk."""
    later = 0.0 if need.water_on is None else (begins - need.water_on).total_seconds() / 60
    told = reason(
        "water.comes_later", kiln=holder(wait, need), gear=wait.gear.name, later=Quantity(later, "min", 2, "up")
    )
    # no time of day: it may be told of a kiln that is barred
    return together(told, reason("water.past_dusk", past=Quantity(past_min, "min", 2, "up"))) if past_min else told


def past_dusk_min(need: Need, out: dt.datetime | None) -> float:
    """Minutes a kiln steams beyond the moment none may; 0 where it is done in time, or a time is not known [min]."""
    past = dt.timedelta(0) if out is None or need.dusk is None else out - need.dusk
    return past.total_seconds() / 60 if past > _TOLD else 0.0


def too_long(wait: Wait, line: WaterLine, need: Need) -> Reason | None:
    """Why a quench line that waits is not in time; None where it is: on within 30 min, done within 60."""
    if wait.free is None or need.water_on is None:
        return reason("water.shared_when", kiln=holder(wait, need), gear=wait.gear.name)
    waits_min = (wait.free - need.water_on).total_seconds() / 60
    took = line.minutes_to_quench.likely if line.minutes_to_quench else 0.0
    if waits_min <= verdict.WATER_ON_MIN and waits_min + took <= verdict.COLD_MIN:
        return None
    return reason("water.in_use", kiln=holder(wait, need), gear=wait.gear.name, until=wait.free.time())


def _over(use: Use, line: WaterLine, need: Need) -> bool:
    """Whether a quench is done, and its gear brought here, before the water of a kiln is called for."""
    return use.until is not None and need.water_on is not None and use.until + _change(use, line, need) <= need.water_on


def _change(use: Use, line: WaterLine, need: Need) -> dt.timedelta:
    """Time to bring the gear of a quench to a line: at another kiln, or from another source."""
    same = (use.spot_id, use.source_id) == (need.spot_id, line.source)
    if same or "machine" in (each.id for each in line.gear) or "carriers" in (each.id for each in line.gear):
        return dt.timedelta(0)
    if _clash(line.gear, use.gear, "pump ") is not None and use.source_id != line.source:
        return dt.timedelta(minutes=PUMP_MOVE_MIN)
    laid_anew = _clash(line.gear, use.gear, "hose ") is not None
    return dt.timedelta(minutes=HOSE_MOVE_MIN if laid_anew else 0.0)


def _clash(ones: tuple[Gear, ...], others: tuple[Gear, ...], of: str = "") -> Gear | None:
    """The first gear that both ask for and that does not do for both; hoses before all else, as they lie on the way."""
    both = [one for one in ones for other in others if one.id == other.id and one.share + other.share > WHOLE]
    both = [gear for gear in both if gear.id.startswith(of)]
    return min(both, key=lambda gear: not gear.id.startswith("hose "), default=None)


def _stamp(when: dt.datetime | None) -> float:
    return float("-inf") if when is None else when.timestamp()
