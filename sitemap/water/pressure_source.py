"""What drives the water at a source: tap, pump or its own fall, with the source's yield and the limits of suction."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from sitemap.errors import BadValue
from sitemap.hydraulics import pump, suction, supply
from sitemap.hydraulics.steady_flow import HoseRun
from sitemap.hydraulics.storage import STREAM_SHARE
from sitemap.hydraulics.supply import Supply
from sitemap.named import named
from sitemap.notes import Note
from sitemap.ranges import Array, draw
from sitemap.reasons import Quantity, Reason, l_min, metres, reason
from sitemap.water.records import Kit, Pump, Source
from sitemap.water.verdict import Word

SUCTION_C = 120.0  # ribbed suction hose as in the project's reference system (D)
SUCTION_LENGTH_M = 5.0  # [m] where only its bore is known, common practice, no source
# share of the head a pump still gives: likely, low, high; common practice, no source
NEW_PUMP, WORN_PUMP = (1.0, 0.9, 1.0), (0.9, 0.8, 1.0)
DRAWN_BY_PUMP = ("pond", "stream", "well")
UNDER_PRESSURE = ("tap", "hydrant")
PRESSURE_ASSUMED = reason("water.pressure_assumed")


class NoLineError(BadValue):
    """There is no number, and `word` says whether that is short or not known. Never leaves this room."""

    def __init__(self, why: Reason, word: Word = "not known", fails: str = "equipment") -> None:
        self.word: Word = word
        self.fails = fails
        super().__init__(why)


@dataclass(frozen=True, eq=False)
class Driver:
    """What drives the water at a source.

    supply : head over flow, held to what the source yields
    pump : that stands at the water, None where none does
    tight : what allows *tight* at best
    assumed : what was taken without having been entered
    yield_assumed : nobody has said what the source yields
    """

    supply: Supply
    pump: Pump | None = None
    tight: tuple[Reason, ...] = ()
    assumed: tuple[Note, ...] = ()
    yield_assumed: bool = False


def driver_of(source: Source, kit: Kit, altitude_m: float | None) -> Driver:
    """What drives the water at a source.

    Parameters
    ----------
    source, kit : as read
    altitude_m : of the site above the sea [m]; None: sea level

    Raises
    ------
    NoLineError, BadValue : something is not known, or cannot work
    """
    if source.kind in UNDER_PRESSURE:
        return _yielding(source, _tap(source))
    machine = pump_at(source, kit)
    if machine is None:
        return _yielding(source, Driver(supply.gravity()))
    assumed = (
        () if source.pump else (_noted(source, "pump", reason("water.pump_taken", at=source.name, pump=machine.name)),)
    )
    curve, limit_m = supply_of_pump(machine), suction_limit_m(source, altitude_m)
    tight = _suction_close(source, limit_m)
    driven = drawing(curve, machine, source.suction_lift_m or 0.0, limit_m)
    return _yielding(source, Driver(driven, machine, tight, assumed))


def supply_of_pump(machine: Pump) -> Supply:
    """The curve of a pump as new, by the best that is known: a curve, a labelled rated point, its plate maxima.

    Raises NoLineError where none is complete, BadValue where the curve does not fall.
    """
    if machine.curve:
        return pump.curve_pump(machine.curve)
    if machine.rated_head_m is not None and machine.rated_flow_l_min is not None:
        return pump.rated_pump(machine.rated_head_m, machine.rated_flow_l_min)
    if machine.max_head_m is not None and machine.max_flow_l_min is not None:
        return pump.plate_pump(machine.max_head_m, machine.max_flow_l_min)
    raise NoLineError(reason("water.no_plate", pump=machine.name))


def pump_at(source: Source, kit: Kit) -> Pump | None:
    """The pump at a source: as named there, else the first on hand that is not its relay's; None: its own fall.

    Raises NoLineError where the one named is not in the list.
    """
    machine = named(kit.pumps, source.pump)
    if source.pump and machine is None:
        raise NoLineError(reason("water.pump_lost", at=source.name, pump=source.pump))
    relay = named(kit.pumps, source.relay.pump) if source.relay.kind else None
    return machine or next((pump for pump in kit.pumps if pump != relay), None)


def pumps_in_use(sources: Iterable[Source], kit: Kit) -> frozenset[str]:
    """Ids of the pumps that stand at a source or relay."""
    used: set[str] = set()
    for source in sources:
        relay = named(kit.pumps, source.relay.pump) if source.relay.kind else None
        try:
            first = None if source.kind in UNDER_PRESSURE else pump_at(source, kit)
        except NoLineError:
            first = None
        used |= {machine.id for machine in (first, relay) if machine is not None}
    return frozenset(used)


def share_of_pump(machine: Pump) -> Array:
    """Share of its head a pump still gives. (draws,) [fraction]"""
    # Plate maxima are a maker's best; a curve or a rated point is taken as it stands unless the pump is called worn.
    by_plate = not machine.curve and None in (machine.rated_head_m, machine.rated_flow_l_min)
    worn = machine.state == "worn" or (machine.state is None and by_plate)
    return drawn(WORN_PUMP if worn else NEW_PUMP, machine.id, "pump_wear")


def suction_hose(machine: Pump | None) -> HoseRun | None:
    """The suction hose of a pump; None without a pump or where its bore is not known."""
    if machine is None or machine.suction_bore_mm is None:
        return None
    return HoseRun(machine.suction_bore_mm, machine.suction_length_m or SUCTION_LENGTH_M, SUCTION_C)


def suction_limit_m(source: Source, altitude_m: float | None) -> float:
    """How high a pump can draw at a source [m]; sea level and 15 °C where nothing was said.

    altitude_m : above the sea [m]
    """
    water_c = 15.0 if source.water_c is None else source.water_c
    return float(suction.practical_suction_lift_m(altitude_m or 0.0, water_c))


def air_kpa(source: Source, altitude_m: float | None) -> float:
    """How far below the air's the pressure in a hose can fall before the water boils and parts [kPa].

    altitude_m : above the sea [m]; None: sea level
    """
    water_c = 15.0 if source.water_c is None else source.water_c
    air = suction.atmospheric_pressure_kpa(altitude_m or 0.0) - suction.vapour_pressure_kpa(water_c)
    return float(air)


def drawing(driver: Supply, machine: Pump, lift_m: float, limit_m: float) -> Supply:
    """A pump held to what its suction hose lets through.

    lift_m : pump above the water [m]
    limit_m : how high it can draw [m]
    """
    hose = suction_hose(machine)
    if hose is None or lift_m >= limit_m:
        return driver
    most = suction.most_suction_flow_l_min(lift_m, limit_m, hose.bore_mm, hose.length_m, hose.roughness_c)
    return driver.capped(float(most), "suction")


def drawn(triple: tuple[float, float, float], about: str, quantity: str) -> Array:
    """A share drawn from its likely, low and high value. (draws,) [fraction]"""
    likely, low, high = triple
    return draw(likely, low, high, about=about, quantity=quantity, floor=0.5, ceiling=None if high > 1 else 1.0)


def _noted(source: Source, what: str, why: Reason) -> Note:
    return Note(source.id, what, why)


def _tap(source: Source) -> Driver:
    given = source.pressure
    static = given.static_kpa
    tight: tuple[Reason, ...] = ()
    assumed: tuple[Note, ...] = ()
    if static is None and source.kind == "hydrant":
        raise NoLineError(reason("water.no_pressure", at=source.name))
    if static is None:
        static = supply.UNKNOWN_TAP_KPA
        told = reason("water.pressure_taken", at=source.name, pressure=Quantity(static, "kpa", 2))
        tight, assumed = (PRESSURE_ASSUMED,), (_noted(source, "tap_pressure", told),)
    tap = supply.tap(static, source.yield_l_min or None, given.residual_kpa, given.residual_flow_l_min)
    return Driver(tap, None, tight, assumed)


def _suction_close(source: Source, limit_m: float) -> tuple[Reason, ...]:
    """What the height of the pump above the water allows *tight* at best; NoLineError where it cannot draw."""
    lift = source.suction_lift_m
    if lift is None:
        return (reason("water.suction_not_entered"),) if source.kind in DRAWN_BY_PUMP else ()
    stands = metres(lift, 2)
    if lift >= limit_m:
        why = reason("water.too_high_to_draw", at=source.name, stands=stands, most=metres(limit_m, 2))
        raise NoLineError(why, "short", "suction")
    if lift > suction.TIGHT_ABOVE_M:
        return (reason("water.draws_high", stands=stands, above=metres(suction.TIGHT_ABOVE_M, 2)),)
    return ()


def _yielding(source: Source, driver: Driver) -> Driver:
    """The driver held to what its source yields."""
    given, kind, basin = source.yield_l_min, source.kind, source.basin
    if kind == "stream":
        return driver if given is None else _of_stream(source, driver, given)
    if given == 0 and (kind in UNDER_PRESSURE or basin.volume_l is None):
        raise NoLineError(reason("water.yields_nothing", at=source.name), "short", "yield")
    tested = None not in (source.pressure.residual_flow_l_min, source.pressure.residual_kpa)
    unknown = kind in UNDER_PRESSURE and given is None and not tested
    held = driver.supply
    if kind == "well" and basin.volume_l is None:
        unknown = given is None
        held = held.capped(given or supply.UNKNOWN_TAP_L_MIN)
    if not unknown:
        return _with(driver, held)
    told = reason("water.yield_taken", at=source.name, flow=l_min(supply.UNKNOWN_TAP_L_MIN))
    return replace(_with(driver, held, _noted(source, "yield", told)), yield_assumed=True)


def _of_stream(source: Source, driver: Driver, given_l_min: float) -> Driver:
    share = source.usable_fraction
    notes: tuple[Note, ...] = ()
    if share is None:
        share = STREAM_SHARE
        notes = (_noted(source, "usable_fraction", reason("water.half_the_flow", at=source.name)),)
    if given_l_min * share <= 0:
        raise NoLineError(reason("water.no_flow_to_take", at=source.name), "short", "yield")
    return _with(driver, driver.supply.capped(given_l_min * share), *notes)


def _with(driver: Driver, held: Supply, *notes: Note) -> Driver:
    return replace(driver, supply=held, assumed=(*driver.assumed, *notes))
