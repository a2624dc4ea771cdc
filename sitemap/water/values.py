"""What the water room is handed, and what it hands back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal

from sitemap.notes import Note
from sitemap.ranges import Drawn
from sitemap.reasons import Reason, reason
from sitemap.water.actions import action_of
from sitemap.water.records import NO_GEAR, Gear, LineGear
from sitemap.water.segments import Stretch
from sitemap.water.verdict import Effect, Line, SourceWord, Word

Way = Literal["hose", "haul", "hand"]


@dataclass(frozen=True)
class Need:
    """What one kiln spot asks of the water.

    quench_l : water of one quench at an ample flow [L]; None where not known
    hold_l_min : flow that only keeps pace with the glow [L/min]; None: taken from the glowing area
    glowing_area_m2 : [m²], or None
    floods : the kiln is flooded, not raked and sprayed
    reserve_l : escape water of its own [L]
    quenches : how many on the day
    no_steam_by : when it is raked and steams no more, by the clock of the day
    dusk : by when no kiln may steam any more: an hour before sunset, or what ends the day before that
    rake_min : to rake a batch [min]: the hose stays that long at least; 0 where it is not raked
    water_on : when the water of its last quench begins; quenches are served in the order of these times, else as listed
    method_known : whether somebody said how it is quenched; where not, the figures are those of the wettest way
    stands : whether a kiln may burn there; where not, its water is asked for and its gear left to the others
    turns : (water_on, no_steam_by) of every quench of the day where there are several, the last as above
    shares : what the spots have in common that one kiln works in turn: only one of them burns on a day; "" for none
    """

    spot_id: str
    name: str
    quench_l: Drawn | None
    hold_l_min: Drawn | None = None
    glowing_area_m2: float | None = None
    floods: bool = False
    reserve_l: float = 400.0
    quenches: int = 1
    water_on: dt.datetime | None = None
    no_steam_by: dt.datetime | None = None
    dusk: dt.datetime | None = None
    rake_min: float = 0.0
    turns: tuple[tuple[dt.datetime, dt.datetime], ...] = ()
    stands: bool = True
    method_known: bool = True
    shares: str = ""

    def out_at(self, begins: dt.datetime, minutes: float) -> dt.datetime:
        """When a quench that begins then, and whose water runs so long, is done: no earlier than the clock has it."""
        took = dt.timedelta(minutes=max(minutes, self.rake_min))  # the hose wets what is raked
        if self.no_steam_by is not None and self.water_on is not None:
            took = max(took, self.no_steam_by - self.water_on)
        return begins + took

    @property
    def turn(self) -> str:
        """The kiln that takes its turn here, on the day at this spot or at another."""
        return self.shares or self.spot_id

    def instead(self, spot_id: str, turn: str) -> bool:
        """Whether what burns at a spot is this same kiln, which is then not here."""
        return turn == self.turn and spot_id != self.spot_id

    @property
    def each(self) -> tuple[Need, ...]:
        """Every quench of the day by itself; all of them as one where their times are not known."""
        if len(self.turns) < 2:
            return (self,)
        return tuple(replace(self, quenches=1, water_on=on, no_steam_by=by, turns=()) for on, by in self.turns)


@dataclass(frozen=True)
class Lay:
    """One way from a source to a kiln spot, drawn by the crew or found.

    length_m : along the ground [m], without slack; None where there is no way or none is known
    profile : ((distance [m], height above the water [m]), …) or None
    lift_m, lift_error_m : kiln above the water by the elevations [m]; a link typed by the crew wins over them
    steepest_pct, side_pct : steepest stretch along and across [%]; None where not known
    drawn : by the crew
    barred : it was looked for and there is no way through
    reason : how the length was found, or why there is none; None where nothing is to be said
    """

    source_id: str
    spot_id: str
    way: Way
    length_m: float | None
    profile: tuple[tuple[float, float], ...] | None = None
    lift_m: float | None = None
    lift_error_m: float | None = None
    steepest_pct: float | None = None
    side_pct: float | None = None
    drawn: bool = False
    barred: bool = False
    reason: Reason | None = None


@dataclass(frozen=True)
class LinePicture:
    """A hose line as a picture.

    distance_m, height_m, pressure_kpa : along the lay, heights above the water
    rated_kpa : of the weakest hose, or None
    shut_kpa : greatest pressure with the nozzle shut
    curve_l_min, supply_m, system_m : head the supply gives and the line asks, over the flow; they cross at flow_l_min
    needed_l_min : flow the quench asks
    """

    distance_m: tuple[float, ...]
    height_m: tuple[float, ...]
    pressure_kpa: tuple[float, ...]
    rated_kpa: float | None
    shut_kpa: float
    curve_l_min: tuple[float, ...]
    supply_m: tuple[float, ...]
    system_m: tuple[float, ...]
    flow_l_min: float
    needed_l_min: float | None


@dataclass(frozen=True)
class WaterLine:
    """One line (quench or attack) by one way from one source.

    flow_l_min : what arrives; None where nothing does or it is not known
    needed_l_min : what the quench asks for, likely
    litres : what the quench takes at this flow
    route_m, hose_m, lift_m, lift_error_m : way, hose on it in whole lengths, kiln above the water and its ± for a hose
    loads : bucket loads of one quench
    minutes_to_quench : from the call for water; not shown longer than a day
    flip_m : how much higher the kiln might stand before the flow no longer arrives (below 0: how much too high it is)
    fails_first : what limits it: "friction", "lift", "yield", "hose length", "suction", "pressure", "slope", "speed",
        "volume", "date", "permission", "nozzle", "equipment"
    gear : in use while it runs
    made_of : its pumps, hoses and tip; empty where nothing is known of them
    carries_l_min : of an attack line: what it brings with the nozzle at its pressure
    stretches : a hose in its steady state, two with a relay tank between them
    water_on, done : when the hardest quench of the day begins and ends, once hose and pump are free for it; of
        several as hard the last
    past_min : so long the kiln steams beyond the moment none may, for its water waits for gear [min]; else 0
    look_again : what to do about a fact it rests on that does not stand for the day; None where all stand
    """

    source: str | None
    way: Way | None
    line: Line
    verdict: Word
    effect: Effect
    reason: Reason
    flow_l_min: Drawn | None = None
    needed_l_min: float | None = None
    litres: Drawn | None = None
    nozzle_kpa: float | None = None
    route_m: float | None = None
    hose_m: float | None = None
    lift_m: float | None = None
    lift_error_m: float | None = None
    loads: int | None = None
    minutes_to_quench: Drawn | None = None
    flip_m: float | None = None
    fails_first: str | None = None
    picture: LinePicture | None = None
    gear: tuple[Gear, ...] = ()
    made_of: LineGear = NO_GEAR
    carries_l_min: float | None = None
    stretches: tuple[Stretch, ...] = field(default=(), compare=False, repr=False)
    water_on: dt.datetime | None = None
    done: dt.datetime | None = None
    past_min: float = 0.0
    look_again: Reason | None = None

    @property
    def action(self) -> Reason | None:
        """What to do about it where it does not pass; None where its verdict says all."""
        if self.effect == "passes":
            return None
        on_paper = self.way in ("haul", "hand") and self.verdict in ("enough on paper", "tight")
        return self.look_again or action_of(self.reason) or (reason("water.do_time_trips") if on_paper else None)


@dataclass(frozen=True)
class Advice:
    """One change that turns a verdict, found by solving the changed line.

    what : "stand_by_water", "more_hose", "second_pump", "bigger_hose", "smaller_nozzle", "open_end", "tank_above"
    """

    spot_id: str
    line: Line
    what: str
    before: Word
    after: Word
    text: Reason


@dataclass(frozen=True)
class SpotWater:
    """Water of one kiln spot: every entry, and the best of each line.

    advise : finds what would turn a verdict
    """

    spot_id: str
    entries: tuple[WaterLine, ...]
    quench: WaterLine
    attack: WaterLine
    advise: Callable[[], tuple[Advice, ...]] = field(default=tuple, compare=False, repr=False)

    @cached_property
    def advice(self) -> tuple[Advice, ...]:
        """What would turn a verdict, the least work first; every change is solved, so at the first look."""
        return self.advise()


@dataclass(frozen=True)
class SourceBudget:
    """One source over all kilns of the day.

    litres_needed : quenches given to it and the reserve, if kept there; None where nobody draws from it
    litres_there : likely, None where not known or without end (tap, stream)
    last_finish : when its last quench is done, None where the clock is not known
    endless : it does not run out (tap, stream); its flow is the limit, not its litres
    """

    id: str
    litres_needed: Drawn | None
    litres_there: float | None
    last_finish: dt.datetime | None
    verdict: SourceWord
    reason: Reason
    endless: bool = False


@dataclass(frozen=True)
class Water:
    """Everything the water room says."""

    spots: tuple[SpotWater, ...]
    sources: tuple[SourceBudget, ...]
    assumed: tuple[Note, ...]
    unknowns: tuple[Note, ...]

    def of_spot(self, spot_id: str) -> SpotWater | None:
        """Water of one kiln spot."""
        return next((spot for spot in self.spots if spot.spot_id == spot_id), None)
