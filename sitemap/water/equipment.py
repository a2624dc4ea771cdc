"""From a water source and the site's equipment to a hose line that can be computed, or the sentence why not."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.hydraulics import nozzle
from sitemap.hydraulics.laying import Piece, laid_by_run, pieces_needed
from sitemap.hydraulics.profile import misfits
from sitemap.hydraulics.steady_flow import NO_RELAY, Driven, HoseRun
from sitemap.hydraulics.supply import Supply
from sitemap.notes import Note
from sitemap.ranges import Array, fixed
from sitemap.site.model import Feature, Item
from sitemap.units import restated
from sitemap.water.pressure_source import PRESSURE_ASSUMED, NoLineError, drawn, driver_of, share_of_pump, suction_hose
from sitemap.water.relay import Relay, relay_of
from sitemap.water.values import Gear, Kit, named

NEW_HOSE_C = 140.0  # lined hose with its true bore (P)
WORN_HOSE_C = 120.0  # lined hose after years, from memory M
Coupling = tuple[str, float | None]  # name of a thing and the size it couples with [mm]

FRICTION = (1.0, 0.9, 1.25)  # real hose against the rule: kinks, age, true bore; common practice, no source


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
    relay : second pump or tank on the way, or None
    gear : in use while it runs, besides the hose: the line itself and its pumps
    ends : what the hose couples to, at the water and at the kiln
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
    relay: Relay | None = None
    gear: tuple[Gear, ...] = ()
    ends: tuple[Coupling, ...] = (("", None), ("", None))

    @property
    def on_hand_m(self) -> float:
        """All hose there is for it [m]."""
        return sum(piece.length_m for piece in self.pieces)

    @property
    def pumped(self) -> bool:
        """Whether a pump stands at the water."""
        return bool(self.ends[0][0])

    @property
    def pressure_assumed(self) -> bool:
        """Nobody has said what pressure drives it: where it fails by that, it is not known to be short."""
        return PRESSURE_ASSUMED in self.tight

    def in_use(self, route_m: float) -> tuple[Gear, ...]:
        """Everything no other line can have while this one runs along a way [m]."""
        hoses: dict[str, Gear] = {}
        for piece in self.pieces[: int(pieces_needed(route_m, self.pieces))]:
            share = piece.share + (hoses[piece.kind].share if piece.kind in hoses else 0.0)
            hoses[piece.kind] = Gear(f"hose {piece.kind}", f"the hose {piece.name}", share)
        return *self.gear, *hoses.values()

    def unlike(self, route_m: float, system: str = "metric") -> tuple[str, ...]:
        """Couplings that do not go together on a way [m], of the hoses that lie on it."""
        return self._unlike(int(pieces_needed(route_m, self.pieces)), system)

    def couples(self, route_m: Array) -> NDArray[np.bool_]:
        """Whether all couplings go together on ways, (n,) [m] to (n,)."""
        fits = np.asarray([not self._unlike(count) for count in range(len(self.pieces) + 2)], dtype=np.bool_)
        found: NDArray[np.bool_] = fits[pieces_needed(route_m, self.pieces)]
        return found

    def _unlike(self, count: int, system: str = "metric") -> tuple[str, ...]:
        joined = dict.fromkeys((piece.name, piece.coupling_mm) for piece in self.pieces[:count])
        return misfits((self.ends[0], *joined, self.ends[1]), system)

    @property
    def booster(self) -> Supply:
        """The second pump in the line; no head where there is none."""
        return NO_RELAY if self.relay is None or self.relay.kind != "pump" else self.relay.supply

    def driven(self, draws: bool = False) -> Driven:
        """How pumps and hoses fare against their figures, likely or in all draws, for the functions of `line`."""
        relay_share = fixed(0.0) if self.relay is None else self.relay.supply_share
        shares = self.supply_share, self.friction_share, relay_share
        supply, friction, relay = shares if draws else (float(share[0]) for share in shares)
        return Driven(supply_share=supply, friction_share=friction, relay=self.booster, relay_share=relay)

    @property
    def most_head_m(self) -> float:
        """Head of all that drives the water, at no flow, likely [m]."""
        relay = 0.0 if self.relay is None else self.booster.most_head_m * float(self.relay.supply_share[0])
        return self.supply.most_head_m * float(self.supply_share[0]) + relay

    @property
    def most_flow_l_min(self) -> float:
        """Flow that cannot be exceeded [L/min]."""
        return min(self.supply.most_flow_l_min, self.booster.most_flow_l_min)

    def hoses(self, route_m: float | Array) -> tuple[HoseRun, ...]:
        """Hoses laid for a way, in whole lengths, without the suction; lengths NaN where they do not reach."""
        fittings = tables.load("water_fittings")
        losses = fittings["entrance"]["value"] + fittings["gate_valve"]["value"]
        runs = laid_by_run(route_m, self.pieces)
        return tuple(
            HoseRun(piece.bore_mm, length, piece.roughness_c, 0.0 if number else losses, rated_kpa=piece.rated_kpa)
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
        driver, machine = driver_of(source, kind, kit, altitude_m, assumed, tight, system)
        pieces, hoses = _hoses(source, kit, assumed)
        factor, attack_kpa, tip = _outlet(source, kit, pieces, assumed)
        relay, unlike = relay_of(source, kit, machine, hoses, altitude_m, assumed, system)
    except NoLineError:
        raise
    except BadValue as fault:
        raise NoLineError(restated(str(fault), system)) from fault
    tight += unlike
    known = [piece.rated_kpa for piece in pieces if piece.rated_kpa is not None]
    pumps = (*((machine,) if machine else ()), *((relay.machine,) if relay and relay.machine else ()))
    gear = [Gear(f"pump {each.id}", f"the pump {each.name}") for each in pumps]
    return Rig(
        supply=driver,
        pieces=pieces,
        suction=suction_hose(machine),
        outlet_factor=factor,
        attack_kpa=attack_kpa,
        rated_kpa=min(known) if known else None,
        supply_share=share_of_pump(machine) if machine is not None else fixed(1.0),
        friction_share=drawn(FRICTION, "site", "hose_friction"),
        tight=tuple(tight),
        assumed=tuple(assumed),
        relay=relay,
        gear=(Gear(f"line {source.id}", f"the line from {source.name}"), *gear),
        ends=tuple(_coupling(each) for each in (machine, tip)),
    )


def _coupling(item: Item | None) -> Coupling:
    return ("", None) if item is None else (item.name, item.number("coupling_mm"))


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
        rated = hose.number("rated_kpa")
        lengths, size = _piece_lengths(hose, length), hose.number("coupling_mm")
        on_hand = max(sum(hose.numbers("lengths_m")), sum(lengths))
        pieces += [Piece(each, bore, roughness, hose.id, rated, hose.name, each / on_hand, size) for each in lengths]
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
