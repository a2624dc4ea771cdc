"""From a water source and the site's equipment to a hose line that can be computed, or the sentence why not."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.notes import Note
from sitemap.ranges import Array, draw, fixed
from sitemap.site.model import Feature, Item
from sitemap.units import restated, text
from sitemap.water import nozzle, pump, suction, supply
from sitemap.water.along import misfits
from sitemap.water.laying import Piece, laid_by_run
from sitemap.water.line import HoseRun
from sitemap.water.sources import STREAM_SHARE
from sitemap.water.supply import Supply
from sitemap.water.values import Kit, named
from sitemap.water.verdict import Word

NEW_HOSE_C = 140.0  # lined hose with its true bore (P)
WORN_HOSE_C = 120.0  # lined hose after years, from memory M
SUCTION_C = 120.0  # ribbed suction hose as in the project's reference system (D)
SUCTION_LENGTH_M = 5.0  # [m] where only its bore is known, common practice, no source
# share of the head a pump still gives: likely, low, high; common practice, no source
NEW_PUMP, WORN_PUMP = (1.0, 0.9, 1.0), (0.9, 0.8, 1.0)
FRICTION = (1.0, 0.9, 1.25)  # real hose against the rule: kinks, age, true bore; common practice, no source
DRAWN_BY_PUMP = ("pond", "stream", "well")
UNDER_PRESSURE = ("tap", "hydrant")


class NoLineError(BadValue):
    """There is no number, and `word` says whether that is short or not known. Never leaves this room."""

    def __init__(self, reason: str, word: Word = "not known", fails: str = "equipment") -> None:
        self.word: Word = word
        self.fails = fails
        super().__init__(reason)


@dataclass(frozen=True, eq=False)
class Rig:
    """A hose line ready to be laid: everything but the way and the lift.

    pieces : hoses on hand in the order laid
    suction : suction hose, or None
    outlet_factor : of nozzle or open end [L/min per √kPa]
    attack_kpa : pressure the nozzle needs to throw; None for an open end
    rated_kpa : of the weakest hose, None where not known
    supply_share, friction_share : (draws,), element 0 likely
    tight : reasons that allow *tight* at best
    """

    supply: Supply
    pieces: tuple[Piece, ...]
    suction: HoseRun | None
    outlet_factor: float
    attack_kpa: float | None
    rated_kpa: float | None
    supply_share: Array
    friction_share: Array
    tight: tuple[str, ...]
    assumed: tuple[Note, ...]

    def hoses(self, route_m: float | Array) -> tuple[HoseRun, ...]:
        """Hoses laid for a way, in whole lengths, without the suction; lengths NaN where they do not reach."""
        fittings = tables.load("water_fittings")
        losses = fittings["entrance"]["value"] + fittings["gate_valve"]["value"]
        runs = laid_by_run(route_m, self.pieces)
        return tuple(
            HoseRun(piece.bore_mm, length, piece.roughness_c, 0.0 if number else losses)
            for number, (piece, length) in enumerate(runs)
        )

    def all_hoses(self, route_m: float | Array) -> tuple[HoseRun, ...]:
        """The same with the suction hose in front: what the balance runs over."""
        return (*((self.suction,) if self.suction else ()), *self.hoses(route_m))


def rig_of(source: Feature, kit: Kit, altitude_m: float | None = None, system: str = "metric") -> Rig:
    """The hose line at a source; its sentences in the units of a system.

    Raises NoLineError with the sentence, where something it needs is not known, does not fit or cannot work.
    """
    kind = source.choice("source")
    if kind is None:
        raise NoLineError(f"what kind of source {source.name} is has not been entered")
    assumed: list[Note] = []
    tight: list[str] = []
    try:
        if kind in UNDER_PRESSURE:
            driver, share, machine = _tap(source, kind, assumed, tight, system), NEW_PUMP, None
        else:
            driver, share, machine = _pump(source, kit, assumed)
            if machine is not None:
                _check_suction(source, kind, altitude_m, tight, system)
        driver = _yielding(source, kind, driver, assumed, system)
        pieces, hoses = _hoses(source, kit, assumed)
        factor, attack_kpa, tip = _outlet(source, kit, pieces, assumed)
    except NoLineError:
        raise
    except BadValue as fault:
        raise NoLineError(restated(str(fault), system)) from fault
    chain = [(item.name, item.number("coupling_mm")) for item in (machine, *hoses, tip) if item is not None]
    tight += misfits(chain, system)
    ratings = [hose.number("rated_kpa") for hose in hoses]
    known = [rating for rating in ratings if rating is not None]
    return Rig(
        supply=driver,
        pieces=pieces,
        suction=_suction_hose(machine),
        outlet_factor=factor,
        attack_kpa=attack_kpa,
        rated_kpa=min(known) if known else None,
        supply_share=_drawn(share, machine.id, "pump_wear") if machine is not None else fixed(1.0),
        friction_share=_drawn(FRICTION, "site", "hose_friction"),
        tight=tuple(tight),
        assumed=tuple(assumed),
    )


def _drawn(triple: tuple[float, float, float], about: str, quantity: str) -> Array:
    likely, low, high = triple
    return draw(likely, low, high, about=about, quantity=quantity, floor=0.5, ceiling=None if high > 1 else 1.0)


def _tap(source: Feature, kind: str, assumed: list[Note], tight: list[str], system: str) -> Supply:
    static = source.number("static_pressure_kpa")
    if static is None and kind == "hydrant":
        raise NoLineError(f"the pressure of {source.name} is not known")
    if static is None:
        static = supply.UNKNOWN_TAP_KPA
        tight.append("the pressure of the tap is assumed")
        low_end = f"{text(static, 'kpa', system, 2)}, the low end of a mains"
        told = f"The pressure of {source.name} is taken as {low_end}: run the bucket test."
        assumed.append(Note(source.id, "tap_pressure", told))
    return supply.tap(
        static,
        source.number("yield_l_min") or None,
        source.number("residual_pressure_kpa"),
        source.number("residual_flow_l_min"),
    )


def _pump(source: Feature, kit: Kit, assumed: list[Note]) -> tuple[Supply, tuple[float, float, float], Item | None]:
    reference = source.text("pump")
    machine = named(kit.pumps, reference)
    if reference and machine is None:
        raise NoLineError(f"the pump {reference} named at {source.name} is not in the list")
    if machine is None and kit.pumps:
        machine = kit.pumps[0]
        assumed.append(Note(source.id, "pump", f"No pump is named at {source.name}: {machine.name} is taken."))
    if machine is None:
        return supply.gravity(), NEW_PUMP, None
    # Plate maxima are a maker's best; a curve or a rated point is taken as it stands unless the pump is called worn.
    rated = machine.number("rated_head_m"), machine.number("rated_flow_l_min")
    by_plate = not machine.curve("curve") and None in rated
    worn = machine.choice("worn") == "worn" or (machine.choice("worn") is None and by_plate)
    return pump_supply(machine), WORN_PUMP if worn else NEW_PUMP, machine


def pump_supply(machine: Item) -> Supply:
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


def _check_suction(source: Feature, kind: str, altitude_m: float | None, tight: list[str], system: str) -> None:
    lift = source.number("suction_lift_m")
    if lift is None:
        if kind in DRAWN_BY_PUMP:
            tight.append("how high the pump stands above the water is not entered")
        return
    stands, tight_above = text(lift, "m", system, 2), text(suction.TIGHT_ABOVE_M, "m", system, 2)
    water_c = source.number("water_temperature_c")
    limit = float(suction.practical_suction_lift_m(altitude_m or 0.0, 15.0 if water_c is None else water_c))
    if lift > limit:
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


def _hoses(source: Feature, kit: Kit, assumed: list[Note]) -> tuple[tuple[Piece, ...], tuple[Item, ...]]:
    wanted: list[tuple[Item, float | None]] = []
    for record in source.records("hose"):
        hose = named(kit.hoses, record.text("hose"))
        if hose is None:
            raise NoLineError(f"a hose named at {source.name} is not in the list")
        wanted.append((hose, record.number("length_m")))
    if not wanted:
        usable = [hose for hose in kit.hoses if hose.number("bore_mm") and hose.numbers("lengths_m")] or kit.hoses
        wanted = [(hose, None) for hose in sorted(usable, key=lambda hose: -(hose.number("bore_mm") or np.inf))]
        if len(wanted) > 1:
            told = f"No hose is named at {source.name}: all on hand are taken, the widest first."
            assumed.append(Note(source.id, "hose", told))
    pieces: list[Piece] = []
    for hose, length in wanted:
        bore = hose.number("bore_mm")
        if bore is None:
            raise NoLineError(f"the bore of {hose.name} is not entered: measure it inside")
        roughness = hose.number("roughness_c") or (WORN_HOSE_C if hose.choice("wear") == "worn" else NEW_HOSE_C)
        pieces += [Piece(metres, bore, roughness, hose.id) for metres in _piece_lengths(hose, length)]
    if not pieces:
        raise NoLineError(f"no hose with a length is entered for {source.name}")
    return tuple(pieces), tuple(dict.fromkeys(hose for hose, _ in wanted))


def _piece_lengths(hose: Item, length_m: float | None) -> list[float]:
    on_hand = list(hose.numbers("lengths_m"))
    if length_m is None:
        return on_hand
    if not on_hand:
        return [length_m]
    count = int(np.searchsorted(np.cumsum(on_hand), length_m - 1e-6)) + 1
    return on_hand[:count]


def _outlet(
    source: Feature, kit: Kit, pieces: tuple[Piece, ...], assumed: list[Note]
) -> tuple[float, float | None, Item | None]:
    narrowest = min(piece.bore_mm for piece in pieces)
    reference = source.text("nozzle")
    tip = named(kit.nozzles, reference)
    if reference and tip is None:
        raise NoLineError(f"the nozzle {reference} named at {source.name} is not in the list")
    if tip is None and kit.nozzles:
        tip = kit.nozzles[0]
        assumed.append(Note(source.id, "nozzle", f"No nozzle is named at {source.name}: {tip.name} is taken."))
    if tip is None:
        assumed.append(Note(source.id, "nozzle", f"No nozzle is entered: the hose at {source.name} is taken as open."))
    if tip is None or tip.flag("open_end"):
        return float(nozzle.open_end_factor(narrowest)), None, tip
    bore, flow, pressure = (tip.number(name) for name in ("bore_mm", "rated_flow_l_min", "rated_pressure_kpa"))
    if flow is not None and pressure is not None:
        wanted = nozzle.SMOOTH_BORE_KPA if tip.flag("fog") is False else nozzle.FOG_KPA
        return float(nozzle.rated_factor(flow, pressure)), wanted, tip
    if bore is None:
        raise NoLineError(f"{tip.name} has neither a bore nor a rated flow and pressure", fails="nozzle")
    nozzle.fits_hose(bore, narrowest)
    return float(nozzle.bore_factor(bore)), nozzle.FOG_KPA if tip.flag("fog") else nozzle.SMOOTH_BORE_KPA, tip


def _suction_hose(machine: Item | None) -> HoseRun | None:
    bore = machine.number("suction_bore_mm") if machine is not None else None
    if machine is None or bore is None:
        return None
    return HoseRun(bore, machine.number("suction_length_m") or SUCTION_LENGTH_M, SUCTION_C)
