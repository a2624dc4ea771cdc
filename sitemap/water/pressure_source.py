"""What drives the water at a source: tap, pump or its own fall, with the source's yield and the limits of suction."""

from __future__ import annotations

from collections.abc import Iterable

from sitemap.errors import BadValue
from sitemap.hydraulics import pump, suction, supply
from sitemap.hydraulics.steady_flow import HoseRun
from sitemap.hydraulics.storage import STREAM_SHARE
from sitemap.hydraulics.supply import Supply
from sitemap.notes import Note
from sitemap.ranges import Array, draw
from sitemap.site.model import Feature, Item
from sitemap.units import text
from sitemap.water.values import Kit, named
from sitemap.water.verdict import Word

SUCTION_C = 120.0  # ribbed suction hose as in the project's reference system (D)
SUCTION_LENGTH_M = 5.0  # [m] where only its bore is known, common practice, no source
# share of the head a pump still gives: likely, low, high; common practice, no source
NEW_PUMP, WORN_PUMP = (1.0, 0.9, 1.0), (0.9, 0.8, 1.0)
DRAWN_BY_PUMP = ("pond", "stream", "well")
UNDER_PRESSURE = ("tap", "hydrant")
PRESSURE_ASSUMED = "the pressure of the tap is assumed"


class NoLineError(BadValue):
    """There is no number, and `word` says whether that is short or not known. Never leaves this room."""

    def __init__(self, reason: str, word: Word = "not known", fails: str = "equipment") -> None:
        self.word: Word = word
        self.fails = fails
        super().__init__(reason)


def driver_of(
    source: Feature, kind: str, kit: Kit, altitude_m: float | None, assumed: list[Note], tight: list[str], system: str
) -> tuple[Supply, Item | None]:
    """What drives the water at a source of a kind, held to what it yields, and the pump, where it is one.

    What was assumed and what allows *tight* at best is added to `assumed` and `tight`.

    Raises NoLineError and BadValue where something is not known or cannot work.
    """
    machine = None
    if kind in UNDER_PRESSURE:
        driver = _tap(source, kind, assumed, tight, system)
    else:
        machine = pump_at(source, kit)
        if machine is not None and not source.text("pump"):
            assumed.append(Note(source.id, "pump", f"No pump is named at {source.name}: {machine.name} is taken."))
        driver = supply.gravity() if machine is None else supply_of_pump(machine)
    if machine is not None:
        limit_m = suction_limit_m(source, altitude_m)
        _check_suction(source, kind, limit_m, tight, system)
        driver = drawing(driver, machine, source.number("suction_lift_m") or 0.0, limit_m)
    return _yielding(source, kind, driver, assumed, system), machine


def supply_of_pump(machine: Item) -> Supply:
    """The curve of a pump as new, by the best that is known: a curve, a labelled rated point, its plate maxima.

    Raises NoLineError where none is complete, BadValue where the curve does not fall.
    """
    curve = machine.curve("curve")
    if curve:
        return pump.curve_pump(curve)
    rated = machine.number("rated_head_m"), machine.number("rated_flow_l_min")
    if rated[0] is not None and rated[1] is not None:
        return pump.rated_pump(rated[0], rated[1])
    plate = machine.number("max_head_m"), machine.number("max_flow_l_min")
    if plate[0] is not None and plate[1] is not None:
        return pump.plate_pump(plate[0], plate[1], wear=1.0)
    raise NoLineError(f"{machine.name} lacks its greatest head or its greatest flow: read both off the plate")


def pump_at(source: Feature, kit: Kit) -> Item | None:
    """The pump at a source: as named there, else the first on hand that is not its relay's; None: its own fall.

    Raises NoLineError where the one named is not in the list.
    """
    reference = source.text("pump")
    machine = named(kit.pumps, reference)
    if reference and machine is None:
        raise NoLineError(f"the pump {reference} named at {source.name} is not in the list")
    relay = named(kit.pumps, source.text("relay_pump")) if source.choice("relay") else None
    return machine or next((pump for pump in kit.pumps if pump != relay), None)


def pumps_in_use(sources: Iterable[Feature], kit: Kit) -> frozenset[str]:
    """Ids of the pumps that stand at a source or relay."""
    used: set[str] = set()
    for source in sources:
        relay = named(kit.pumps, source.text("relay_pump")) if source.choice("relay") else None
        try:
            first = None if source.choice("source") in UNDER_PRESSURE else pump_at(source, kit)
        except NoLineError:
            first = None
        used |= {machine.id for machine in (first, relay) if machine is not None}
    return frozenset(used)


def share_of_pump(machine: Item) -> Array:
    """Share of its head a pump still gives. (draws,)"""
    # Plate maxima are a maker's best; a curve or a rated point is taken as it stands unless the pump is called worn.
    rated = machine.number("rated_head_m"), machine.number("rated_flow_l_min")
    by_plate = not machine.curve("curve") and None in rated
    worn = machine.choice("worn") == "worn" or (machine.choice("worn") is None and by_plate)
    return drawn(WORN_PUMP if worn else NEW_PUMP, machine.id, "pump_wear")


def suction_hose(machine: Item | None) -> HoseRun | None:
    """The suction hose of a pump; None without a pump or where its bore is not known."""
    bore = machine.number("suction_bore_mm") if machine is not None else None
    if machine is None or bore is None:
        return None
    return HoseRun(bore, machine.number("suction_length_m") or SUCTION_LENGTH_M, SUCTION_C)


def suction_limit_m(source: Feature, altitude_m: float | None) -> float:
    """How high a pump can draw at a source [m]; sea level and 15 °C where nothing was said."""
    water_c = source.number("water_temperature_c")
    return float(suction.practical_suction_lift_m(altitude_m or 0.0, 15.0 if water_c is None else water_c))


def drawing(driver: Supply, machine: Item, lift_m: float, limit_m: float) -> Supply:
    """A pump held to what its suction hose lets through, so far above the water, with so high a limit [m]."""
    hose = suction_hose(machine)
    if hose is None or lift_m >= limit_m:
        return driver
    most = suction.most_suction_flow_l_min(lift_m, limit_m, hose.bore_mm, hose.length_m, hose.roughness_c)
    return driver.capped(float(most), "suction")


def drawn(triple: tuple[float, float, float], about: str, quantity: str) -> Array:
    """A share drawn from its likely, low and high value. (draws,) [-]"""
    likely, low, high = triple
    return draw(likely, low, high, about=about, quantity=quantity, floor=0.5, ceiling=None if high > 1 else 1.0)


def _tap(source: Feature, kind: str, assumed: list[Note], tight: list[str], system: str) -> Supply:
    static = source.number("static_pressure_kpa")
    if static is None and kind == "hydrant":
        raise NoLineError(f"the pressure of {source.name} is not known")
    if static is None:
        static = supply.UNKNOWN_TAP_KPA
        tight.append(PRESSURE_ASSUMED)
        low_end = f"{text(static, 'kpa', system, 2)}, the low end of a mains"
        told = f"The pressure of {source.name} is taken as {low_end}: run the bucket test."
        assumed.append(Note(source.id, "tap_pressure", told))
    return supply.tap(
        static,
        source.number("yield_l_min") or None,
        source.number("residual_pressure_kpa"),
        source.number("residual_flow_l_min"),
    )


def _check_suction(source: Feature, kind: str, limit: float, tight: list[str], system: str) -> None:
    lift = source.number("suction_lift_m")
    if lift is None:
        if kind in DRAWN_BY_PUMP:
            tight.append("how high the pump stands above the water is not entered")
        return
    stands, tight_above = text(lift, "m", system, 2), text(suction.TIGHT_ABOVE_M, "m", system, 2)
    if lift >= limit:
        raise NoLineError(
            f"the pump stands {stands} above the water at {source.name} and can draw from "
            f"{text(limit, 'm', system, 2)} at most: set it lower",
            "short",
            "suction",
        )
    if lift > suction.TIGHT_ABOVE_M:
        tight.append(f"the pump draws from {stands}, and above {tight_above} it may fail")


def _yielding(source: Feature, kind: str, driver: Supply, assumed: list[Note], system: str) -> Supply:
    given = source.number("yield_l_min")
    if kind == "stream":
        if given is None:
            return driver
        share = source.number("usable_fraction")
        if share is None:
            share = STREAM_SHARE
            assumed.append(Note(source.id, "usable_fraction", f"Half the flow of {source.name} is taken as usable."))
        if given * share <= 0:
            raise NoLineError(f"{source.name} has no flow one may take", "short", "yield")
        return driver.capped(given * share)
    if given == 0 and (kind in UNDER_PRESSURE or source.number("volume_l") is None):
        raise NoLineError(f"{source.name} yields nothing", "short", "yield")
    tested = source.has("residual_flow_l_min") and source.has("residual_pressure_kpa")
    unknown = kind in UNDER_PRESSURE and given is None and not tested
    if kind == "well" and source.number("volume_l") is None:
        unknown = given is None
        driver = driver.capped(given or supply.UNKNOWN_TAP_L_MIN)
    if unknown:
        little = text(supply.UNKNOWN_TAP_L_MIN, "l_min", system, 2)
        told = f"The yield of {source.name} is taken as {little}: run the bucket test."
        assumed.append(Note(source.id, "yield", told))
    return driver
