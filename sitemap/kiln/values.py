"""What the kiln room is handed, and what it hands back."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from typing import Literal

from sitemap.kiln.shapes import Hollow
from sitemap.notes import Note
from sitemap.ranges import Drawn
from sitemap.reasons import Reason


@dataclass(frozen=True)
class Stock:
    """The char stock of one heap, or of the slash that lies scattered.

    xy_m : its middle on the local plane [m], or None where it has no place
    char_stock_dry_t : [t dry]
    thickest_cm : thickest piece in it [cm], or None where not known
    lines : of scattered slash the ids of the lines that tell of it; empty for a heap
    moisture : water per dry wood [kg/kg], or None where not known
    """

    id: str
    name: str
    xy_m: tuple[float, float] | None
    char_stock_dry_t: Drawn
    thickest_cm: float | None = None
    lines: tuple[str, ...] = ()
    moisture: float | None = None


@dataclass(frozen=True)
class Kiln:
    """A kiln that can be reckoned with.

    has_floor : whether water can stand in it
    floor_known : whether that was said
    steel_kg : [kg]
    leak_l_min : of the bin when water stands in it [L/min]; 0 without a floor, which holds none
    leak_known : whether the leak was measured or the bin is tight, not assumed
    piece_limit_cm : thickest piece it takes [cm]
    fill_fraction : char at the end, share of the volume [0–1], or None where not measured
    feed_kg_h, machine_feed_kg_h : dry wood [kg/h], or None
    feeders : people feeding it, or None
    count : kilns like it; counted : whether somebody said so, where not it is taken as one
    """

    id: str
    name: str
    hollow: Hollow
    has_floor: bool
    floor_known: bool
    steel_kg: float
    leak_l_min: float
    leak_known: bool
    piece_limit_cm: float
    fill_fraction: float | None
    feed_kg_h: float | None
    machine_feed_kg_h: float | None
    feeders: int | None
    count: int
    counted: bool = False


@dataclass(frozen=True)
class KilnSpot:
    """What a kiln spot says of the kiln that works there.

    kiln : id or name of the kiln, or None
    serves : ids of the heaps it was given
    method : how it is quenched, a row of the table quench, or None
    feeders : people feeding it there, or None
    """

    id: str
    name: str
    kiln: str | None
    serves: tuple[str, ...]
    method: str | None
    feeders: int | None


@dataclass(frozen=True)
class CrewFacts:
    """Who works; None where nothing was said.

    adults : on site
    rakers : crews that can rake at one time
    feeders : people feeding each kiln
    carriers : who can carry water
    bucket_l : of the buckets char is counted in [L]
    """

    adults: int | None = None
    rakers: int | None = None
    feeders: int | None = None
    carriers: int | None = None
    bucket_l: float = 20.0


@dataclass(frozen=True)
class DayTimes:
    """The light and the working hours of the burn day, all with time zone.

    kind : "normal", "no_sunset" (the sun stays up) or "no_sunrise" (it stays down)
    sunrise, sunset : None unless kind is "normal"
    work_starts, work_ends : the crew's own hours, or None
    out_by : the moment by which the permit wants every fire out, or None
    unread : why typed hours could not be read
    """

    kind: Literal["normal", "no_sunset", "no_sunrise"]
    sunrise: dt.datetime | None = None
    sunset: dt.datetime | None = None
    work_starts: dt.datetime | None = None
    work_ends: dt.datetime | None = None
    unread: tuple[Reason, ...] = ()
    out_by: dt.datetime | None = None


@dataclass(frozen=True)
class Check:
    """One look at the char until it is cold. what : "first", "next_morning", "day_3", "day_7" or "day_14"."""

    what: str
    when: dt.datetime


@dataclass(frozen=True)
class Clock:
    """The latest moments of one batch, all with time zone.

    light_by : no later
    last_thick : last thick piece goes in
    stop_feeding : last thin piece goes in
    water_on : the water begins
    no_steam_by : raked, and no steam
    call_by : when the water has failed: call for help, light enough to see
    checks : cold checks; nobody leaves before the first
    """

    light_by: dt.datetime
    last_thick: dt.datetime
    stop_feeding: dt.datetime
    water_on: dt.datetime
    no_steam_by: dt.datetime
    call_by: dt.datetime
    checks: tuple[Check, ...]


@dataclass(frozen=True)
class KilnRun:
    """What is burned at one kiln spot.

    id, name : of the kiln
    spot : id of the kiln spot
    units : kilns of this kind working there
    moved : the kiln works at several spots in turn
    never_twice : so it does, and the kilns were counted: what burns at one of these spots burns at no other that day
    thickest_cm : thickest piece that goes in, reckoned with for the soak [cm]
    heaps : ids of the heaps it burns
    batches : whole kiln batches
    holds_known : whether it was said that the kiln holds water, or it need not
    method_known : whether it was said how it is quenched; where not, the wettest way it allows is taken
    hours_per_batch : from lighting to water [h]
    char_t : of all it burns [t dry]
    feeders : people who feed each kiln, or one who drives the machine
    rake_min : to rake out, turn and wet a batch by one crew [min]; 0 where it is not raked
    char_stock_dry_t : what it burns in all [t dry]
    quench_floor_l, quench_ceiling_l : all boiled away; every pore filled, per batch [L]
    hold_l_min : flow that only keeps pace with the glow [L/min]; slower water may never put it out
    glowing_area_m2 : taken as the open area of the kiln [m²]
    flood_l : to drown a full kiln when the burn is stopped [L], None where it has no floor
    burn_out_h : hours until a full kiln has burned away by itself when the water fails [h]
    lost_in_an_hour : share of a full kiln's char that an hour without water costs, 0–1
    glow_kw_m2 : heat of the bare glowing bed on somebody a metre from its rim, at the quench [kW/m²]
    soak_min : the thickest piece goes in at least so long before the water, by the rule of operators [min]
    charring_min : what the front of char would need at the design rate of timber in a fire, never more [min]
    heat_kw, heat_peak_kw : mean heat release of one kiln, and at the height of a feeding pulse [kW]
    batches_per_day : by all units together; None where no whole batch fits the day
    clocks : the batches of the day, first lit first; empty where the day is not known or too short
    by_log : hours and quench water of a batch as its log tells, times those reckoned for it; 1 where it tells nothing
    """

    id: str
    name: str
    spot: str
    units: int
    moved: bool
    never_twice: bool
    heaps: tuple[str, ...]
    method: str
    method_known: bool
    holds_known: bool
    feeders: int
    thickest_cm: float
    char_stock_dry_t: Drawn
    batches: Drawn
    hours_per_batch: Drawn
    feed_dry_t_per_batch: Drawn
    feed_dry_t_per_h: Drawn
    char_m3_per_batch: Drawn
    char_t: Drawn
    quench_l_per_batch: Drawn
    rake_min: Drawn
    quench_floor_l: Drawn
    quench_ceiling_l: Drawn
    steel_kg: float
    open_area_m2: float
    glowing_area_m2: float
    hold_l_min: Drawn
    flood_l: Drawn | None
    burn_out_h: Drawn
    lost_in_an_hour: Drawn
    glow_kw_m2: Drawn
    soak_min: float
    charring_min: float
    heat_kw: Drawn
    heat_peak_kw: Drawn
    batches_per_day: int | None
    days: Drawn | None
    clocks: tuple[Clock, ...]
    by_log: tuple[float, float] = (1.0, 1.0)

    def told(self, hours: float, water: float) -> KilnRun:
        """The run with hours and quench water of a batch as its log tells, times those reckoned."""
        return replace(
            self,
            hours_per_batch=Drawn(self.hours_per_batch.values * hours),
            quench_l_per_batch=Drawn(self.quench_l_per_batch.values * water),
            by_log=(self.by_log[0] * hours, self.by_log[1] * water),
        )

    @property
    def reckoned(self) -> KilnRun:
        """The run without what its log tells of it."""
        hours, water = self.by_log
        return self if self.by_log == (1.0, 1.0) else replace(self.told(1 / hours, 1 / water), by_log=(1.0, 1.0))

    @property
    def clock(self) -> Clock | None:
        """The day's last batch: the moments that must not be passed."""
        return self.clocks[-1] if self.clocks else None


@dataclass(frozen=True)
class Burns:
    """All burns of the site. Quantities are None where no kiln could be reckoned.

    days : all kilns working the same days
    char_m3, char_t : loose and dry
    buckets, bags : whole ones; a bag's weights dry, damp (40 % water) and soaked [kg]
    quench_l : working quench of all batches, a part batch counted whole [L]
    reserve_l : escape water, of its own: the largest working quench, at least 400 L [L]
    """

    batches: Drawn | None
    days: Drawn | None
    char_m3: Drawn | None
    char_t: Drawn | None
    buckets: Drawn | None
    bags: Drawn | None
    bag_dry_kg: Drawn | None
    bag_damp_kg: Drawn | None
    bag_soaked_kg: Drawn | None
    quench_l: Drawn | None
    reserve_l: Drawn | None
    kilns: tuple[KilnRun, ...]
    assumed: tuple[Note, ...]
    unknowns: tuple[Note, ...]
