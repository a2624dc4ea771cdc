"""Water sources, gear and links as the formulas take them: each read once from what was entered (`reading`).

A None is what was not entered, or cannot be used: `check` has said so. Other gear is named as it was entered, by id or
by name (`named`).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from sitemap.reasons import Reason


@dataclass(frozen=True)
class Pump:
    """A pump by its plate, a labelled rated point or its curve.

    max_head_m, max_flow_l_min : plate maxima [m], [L/min]
    rated_head_m, rated_flow_l_min : of a point labelled as rated [m], [L/min]
    curve : ((flow [L/min], head [m]), …); empty where none was entered
    state : "new" or "worn"
    suction_bore_mm, suction_length_m : of its suction hose [mm], [m]
    coupling_mm : [mm]
    """

    id: str
    name: str
    max_head_m: float | None = None
    max_flow_l_min: float | None = None
    rated_head_m: float | None = None
    rated_flow_l_min: float | None = None
    curve: tuple[tuple[float, float], ...] = ()
    state: str | None = None
    suction_bore_mm: float | None = None
    suction_length_m: float | None = None
    coupling_mm: float | None = None


@dataclass(frozen=True)
class Hose:
    """Hose of one size. bore_mm, coupling_mm [mm]; lengths_m of each piece on hand [m]; rated_kpa [kPa]; roughness_c
    Hazen–Williams C [no unit]; state "new" or "worn"."""

    id: str
    name: str
    bore_mm: float | None = None
    lengths_m: tuple[float, ...] = ()
    rated_kpa: float | None = None
    roughness_c: float | None = None
    state: str | None = None
    coupling_mm: float | None = None


@dataclass(frozen=True)
class Nozzle:
    """What the water leaves through. bore_mm, coupling_mm [mm]; rated_flow_l_min [L/min] at rated_pressure_kpa [kPa];
    open_end : it is a bare hose end."""

    id: str
    name: str
    bore_mm: float | None = None
    rated_flow_l_min: float | None = None
    rated_pressure_kpa: float | None = None
    open_end: bool = False
    fog: bool | None = None
    coupling_mm: float | None = None


@dataclass(frozen=True)
class Machine:
    """What carries water. bucket_l struck [L]; speeds [km/h]; slopes [%]; width_m [m]; tank : it pulls, as entered."""

    id: str
    name: str
    bucket_l: float | None = None
    loaded_km_h: float | None = None
    empty_km_h: float | None = None
    max_slope_pct: float | None = None
    side_slope_pct: float | None = None
    width_m: float | None = None
    tank: str | None = None


@dataclass(frozen=True)
class Tank:
    """A tank that is carried, towed or set on the way. volume_l [L]."""

    id: str
    name: str
    volume_l: float | None = None


@dataclass(frozen=True)
class Laid:
    """One hose laid from a source, as entered there: which, and how much of it [m]; None: all on hand."""

    hose: str | None
    length_m: float | None = None


@dataclass(frozen=True)
class Relay:
    """A relay entered at a source: "pump" or "tank", where along the lay [m], and which."""

    kind: str | None
    after_m: float | None
    pump: str | None
    tank: str | None


@dataclass(frozen=True)
class Basin:
    """What holds the water of a source.

    volume_l, volume_low_l, volume_high_l : water in it, typed, with its typed range [L]
    area_m2, depth_m : of the water, greatest depth [m²], [m]
    shape : of a tank, "horizontal_cylinder", "vertical_cylinder" or "box"
    diameter_m, length_m, width_m, height_m, water_m : of tank or dug pond, and how deep the water stands [m]
    """

    volume_l: float | None = None
    volume_low_l: float | None = None
    volume_high_l: float | None = None
    area_m2: float | None = None
    depth_m: float | None = None
    shape: str | None = None
    diameter_m: float | None = None
    length_m: float | None = None
    width_m: float | None = None
    height_m: float | None = None
    water_m: float | None = None


@dataclass(frozen=True)
class Pressure:
    """Of a tap or hydrant: with the tap shut, while it runs, and the flow it then gives [kPa], [kPa], [L/min]."""

    static_kpa: float | None = None
    residual_kpa: float | None = None
    residual_flow_l_min: float | None = None


@dataclass(frozen=True)
class Source:
    """Where quench water comes from.

    kind : "pond", "stream", "well", "tank", "tap", "hydrant"; None where not entered
    yield_l_min, refill_l_min : flow it gives, and it fills up with [L/min]
    usable_fraction : share one may take [fraction]
    suction_lift_m : pump above the water [m]
    water_c : temperature of the water [°C]
    elevation_m : above the sea [m]
    usable_on_date, usable_from, usable_to, permission : what was said of its use
    pump, nozzle, hoses, relay : gear named at it
    """

    id: str
    name: str
    kind: str | None = None
    basin: Basin = Basin()
    pressure: Pressure = Pressure()
    yield_l_min: float | None = None
    refill_l_min: float | None = None
    usable_fraction: float | None = None
    suction_lift_m: float | None = None
    water_c: float | None = None
    elevation_m: float | None = None
    usable_on_date: bool | None = None
    usable_from: dt.date | None = None
    usable_to: dt.date | None = None
    permission: str | None = None
    pump: str | None = None
    nozzle: str | None = None
    hoses: tuple[Laid, ...] = ()
    relay: Relay = Relay(None, None, None, None)


@dataclass(frozen=True)
class Trips:
    """Water that was hauled or carried to a kiln by the watch.

    way : "haul" by machine, "hand"; machine : which, None where not said; litres, seconds : brought, in all [L], [s]
    """

    way: str
    machine: str | None
    litres: float
    seconds: float

    @property
    def flow_l_min(self) -> float:
        """What arrived [L/min]."""
        return self.litres / self.seconds * 60.0


@dataclass(frozen=True)
class LineGear:
    """Pumps, hoses and tip of a line, by id or as somebody named them; empty or None where none is there or said."""

    pumps: tuple[str, ...] = ()
    hoses: tuple[str, ...] = ()
    tip: str | None = None


NO_GEAR = LineGear()


@dataclass(frozen=True)
class Gear:
    """What is in use while a line runs, so that no other kiln can have it.

    share : of all there is of it, 0 … 1; half the hose on hand leaves the other half free
    """

    id: str
    name: Reason
    share: float = 1.0


@dataclass(frozen=True)
class Link:
    """Facts the crew typed for one source and one kiln spot together.

    lift_m, lift_error_m : kiln above the water, ± [m]
    bucket_l, bucket_s : a bucket of so many litres filled at the far end of the hose in so many seconds [L], [s]
    bucket_gear : what it was filled with
    hose_lay : the lay drawn for the pair
    trips : hauling or carrying that was timed
    """

    source: str | None
    spot: str | None
    lift_m: float | None = None
    lift_error_m: float | None = None
    bucket_l: float | None = None
    bucket_s: float | None = None
    bucket_gear: LineGear = NO_GEAR
    hose_lay: str | None = None
    trips: Trips | None = None


@dataclass(frozen=True)
class Kit:
    """Gear of the site that moves water, and who can carry.

    carriers : people who can carry water; None where nothing was said
    buckets_each, bucket_l : what each carries [count], [L]; None for the defaults
    paces : "haul", "hand" and id of a machine that hauls → speed on the day against the one reckoned with: likely,
        low, high; where it was learned
    """

    pumps: tuple[Pump, ...] = ()
    hoses: tuple[Hose, ...] = ()
    nozzles: tuple[Nozzle, ...] = ()
    machines: tuple[Machine, ...] = ()
    tanks: tuple[Tank, ...] = ()
    carriers: int | None = None
    buckets_each: int | None = None
    bucket_l: float | None = None
    paces: tuple[tuple[str, tuple[float, float, float]], ...] = ()


def link_of(links: Sequence[Link], source_id: str, spot_id: str) -> Link | None:
    """The facts of one source and one kiln spot together; the last record counts."""
    found = [link for link in links if link.source == source_id and link.spot == spot_id]
    return found[-1] if found else None
