"""From a water source and the site's equipment to a hose line that can be computed, or the finding why not."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.hydraulics import nozzle
from sitemap.hydraulics.laying import Piece, laid_by_run, pieces_needed
from sitemap.hydraulics.profile import misfits
from sitemap.hydraulics.steady_flow import NO_RELAY, HoseLine, HoseRun
from sitemap.hydraulics.supply import Supply
from sitemap.named import named
from sitemap.notes import Note
from sitemap.ranges import Array, fixed
from sitemap.reasons import Reason, reason
from sitemap.water.pressure_source import (
    PRESSURE_ASSUMED,
    NoLineError,
    air_kpa,
    drawn,
    driver_of,
    share_of_pump,
    suction_hose,
)
from sitemap.water.records import Gear, Hose, Kit, LineGear, Nozzle, Pump, Source
from sitemap.water.relay import RelayOnWay, relay_of, unsaid_relay

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
    supply_share, friction_share : (draws,), element 0 likely [fraction]
    tight : reasons that allow *tight* at best
    relay : second pump or tank on the way, or None
    gear : in use while it runs, besides the hose: the line itself and its pumps
    ends : what the hose couples to, at the water and at the kiln
    yield_assumed : nobody has said what the source yields
    air_kpa : how far below the air's the pressure can fall before the water parts [kPa]
    pumps : ids of those that run while it runs; tip : id of what the water leaves through, None for a bare end
    """

    supply: Supply
    pieces: tuple[Piece, ...]
    suction: HoseRun | None
    outlet_factor: float
    attack_kpa: float | None
    rated_kpa: float | None
    supply_share: Array
    friction_share: Array
    tight: tuple[Reason, ...]
    assumed: tuple[Note, ...]
    relay: RelayOnWay | None = None
    gear: tuple[Gear, ...] = ()
    ends: tuple[Coupling, ...] = (("", None), ("", None))
    yield_assumed: bool = False
    air_kpa: float = 99.6  # at the sea, 15 °C
    pumps: tuple[str, ...] = ()
    tip: str | None = None

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

    def gear_on(self, route_m: float) -> LineGear:
        """What the line is made of on a way [m], by ids."""
        laid = self.pieces[: int(pieces_needed(route_m, self.pieces))]
        return LineGear(self.pumps, tuple(dict.fromkeys(piece.kind for piece in laid)), self.tip)

    def names_on(self, route_m: float) -> tuple[str, ...]:
        """The same as people call it, the pump first."""
        laid = self.pieces[: int(pieces_needed(route_m, self.pieces))]
        names = (self.ends[0][0], *(piece.name for piece in laid), self.ends[1][0])
        return tuple(dict.fromkeys(name for name in names if name))

    def in_use(self, route_m: float) -> tuple[Gear, ...]:
        """Everything no other line can have while this one runs along a way [m]."""
        hoses: dict[str, Gear] = {}
        for piece in self.pieces[: int(pieces_needed(route_m, self.pieces))]:
            share = piece.share + (hoses[piece.kind].share if piece.kind in hoses else 0.0)
            hoses[piece.kind] = Gear(f"hose {piece.kind}", reason("water.the_hose", name=piece.name), share)
        return *self.gear, *hoses.values()

    def unlike(self, route_m: float) -> tuple[Reason, ...]:
        """Couplings that do not go together on a way [m], of the hoses that lie on it."""
        return self._unlike(int(pieces_needed(route_m, self.pieces)))

    def couples(self, route_m: Array) -> NDArray[np.bool_]:
        """Whether all couplings go together on ways, (n,) [m] to (n,)."""
        fits = np.asarray([not self._unlike(count) for count in range(len(self.pieces) + 2)], dtype=np.bool_)
        found: NDArray[np.bool_] = fits[pieces_needed(route_m, self.pieces)]
        return found

    def _unlike(self, count: int) -> tuple[Reason, ...]:
        joined = dict.fromkeys((piece.name, piece.coupling_mm) for piece in self.pieces[:count])
        return misfits((self.ends[0], *joined, self.ends[1]))

    @property
    def booster(self) -> Supply:
        """The second pump in the line; no head where there is none."""
        return NO_RELAY if self.relay is None or self.relay.kind != "pump" else self.relay.supply

    def line(self, hoses: tuple[HoseRun, ...], draws: bool = False) -> HoseLine:
        """What the balance runs over, with some hoses laid; likely, or in all draws."""
        relay_share = fixed(0.0) if self.relay is None else self.relay.supply_share
        shares = self.supply_share, self.friction_share, relay_share
        supply, friction, relay = shares if draws else (float(share[0]) for share in shares)
        return HoseLine(self.supply, hoses, self.outlet_factor, supply, friction, self.booster, relay)

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


def rig_of(source: Source, kit: Kit, altitude_m: float | None = None) -> Rig:
    """The hose line at a source.

    altitude_m : of the site above the sea [m]; None: sea level

    Raises NoLineError with the finding, where something it needs is not known, does not fit or cannot work.
    """
    if source.kind is None:
        raise NoLineError(reason("water.source_kind", at=source.name))
    try:
        return _rig(source, kit, altitude_m)
    except NoLineError:
        raise
    except BadValue as fault:
        raise NoLineError(fault.reason) from fault


def _rig(source: Source, kit: Kit, altitude_m: float | None) -> Rig:
    driver = driver_of(source, kit, altitude_m)
    hoses = _hoses(source, kit)
    outlet = _outlet(source, kit, min(piece.bore_mm for piece in hoses.pieces))
    relay = relay_of(source, kit, driver.pump, hoses.kinds, altitude_m)
    known = [piece.rated_kpa for piece in hoses.pieces if piece.rated_kpa is not None]
    pumps = (driver.pump, relay.machine if relay else None)
    gear = [Gear(f"pump {each.id}", reason("water.the_pump", name=each.name)) for each in pumps if each is not None]
    relayed = unsaid_relay(source) if relay is None else relay.assumed
    return Rig(
        supply=driver.supply,
        pieces=hoses.pieces,
        suction=suction_hose(driver.pump),
        outlet_factor=outlet.factor,
        attack_kpa=outlet.attack_kpa,
        rated_kpa=min(known) if known else None,
        supply_share=share_of_pump(driver.pump) if driver.pump is not None else fixed(1.0),
        friction_share=drawn(FRICTION, "site", "hose_friction"),
        tight=(*driver.tight, *(relay.unlike if relay else ())),
        assumed=(*driver.assumed, *hoses.assumed, *outlet.assumed, *relayed),
        relay=relay,
        gear=(Gear(f"line {source.id}", reason("water.the_line", at=source.name)), *gear),
        ends=(_coupling(driver.pump), _coupling(outlet.nozzle)),
        yield_assumed=driver.yield_assumed,
        air_kpa=air_kpa(source, altitude_m),
        pumps=tuple(each.id for each in pumps if each is not None),
        tip=None if outlet.nozzle is None else outlet.nozzle.id,
    )


def _coupling(item: Pump | Nozzle | None) -> Coupling:
    return ("", None) if item is None else (item.name, item.coupling_mm)


@dataclass(frozen=True)
class _Hoses:
    """Hose laid from a source: in pieces, and of which kinds."""

    pieces: tuple[Piece, ...]
    kinds: tuple[Hose, ...]
    assumed: tuple[Note, ...]


def _hoses(source: Source, kit: Kit) -> _Hoses:
    wanted: list[tuple[Hose, float | None]] = []
    for laid in source.hoses:
        hose = named(kit.hoses, laid.hose)
        if hose is None:
            raise NoLineError(reason("water.hose_lost", at=source.name))
        wanted.append((hose, laid.length_m))
    notes: tuple[Note, ...] = ()
    if not wanted:
        usable = [hose for hose in kit.hoses if hose.bore_mm and hose.lengths_m] or kit.hoses
        wanted = [(hose, None) for hose in sorted(usable, key=lambda hose: -(hose.bore_mm or np.inf))]
        if len(wanted) > 1:
            notes = (Note(source.id, "hose", reason("water.all_hoses", at=source.name)),)
    pieces = tuple(piece for hose, length_m in wanted for piece in _pieces(hose, length_m))
    if not pieces:
        raise NoLineError(reason("water.no_hose", at=source.name))
    return _Hoses(pieces, tuple(dict.fromkeys(hose for hose, _ in wanted)), notes)


def _pieces(hose: Hose, length_m: float | None) -> list[Piece]:
    if hose.bore_mm is None:
        raise NoLineError(reason("water.no_bore", hose=hose.name))
    roughness = hose.roughness_c or (WORN_HOSE_C if hose.state == "worn" else NEW_HOSE_C)
    lengths = _piece_lengths(hose, length_m)
    on_hand = max(sum(hose.lengths_m), sum(lengths))
    return [
        Piece(each, hose.bore_mm, roughness, hose.id, hose.rated_kpa, hose.name, each / on_hand, hose.coupling_mm)
        for each in lengths
    ]


def _piece_lengths(hose: Hose, length_m: float | None) -> list[float]:
    on_hand = list(hose.lengths_m)
    if length_m is None:
        return on_hand
    if not on_hand:
        return [length_m]
    count = int(np.searchsorted(np.cumsum(on_hand), length_m - 1e-6)) + 1
    return on_hand[:count]


@dataclass(frozen=True)
class _Outlet:
    """What the water leaves through: its factor [L/min per √kPa], the pressure it throws from [kPa], the nozzle."""

    factor: float
    attack_kpa: float | None
    nozzle: Nozzle | None
    assumed: tuple[Note, ...] = ()


def _outlet(source: Source, kit: Kit, narrowest_mm: float) -> _Outlet:
    tip = named(kit.nozzles, source.nozzle)
    if source.nozzle and tip is None:
        raise NoLineError(reason("water.nozzle_lost", at=source.name, nozzle=source.nozzle))
    notes: tuple[Note, ...] = ()
    if tip is None and kit.nozzles:
        tip = kit.nozzles[0]
        notes = (Note(source.id, "nozzle", reason("water.nozzle_taken", at=source.name, nozzle=tip.name)),)
    if tip is None:
        notes = (Note(source.id, "nozzle", reason("water.no_nozzle", at=source.name)),)
    if tip is None or tip.open_end:
        return _Outlet(float(nozzle.open_end_factor(narrowest_mm)), None, tip, notes)
    if tip.rated_flow_l_min is not None and tip.rated_pressure_kpa is not None:
        wanted = nozzle.SMOOTH_BORE_KPA if tip.fog is False else nozzle.FOG_KPA
        return _Outlet(float(nozzle.rated_factor(tip.rated_flow_l_min, tip.rated_pressure_kpa)), wanted, tip, notes)
    if tip.bore_mm is None:
        raise NoLineError(reason("water.nozzle_unknown", nozzle=tip.name), fails="nozzle")
    nozzle.fits_hose(tip.bore_mm, narrowest_mm)
    wanted = nozzle.FOG_KPA if tip.fog else nozzle.SMOOTH_BORE_KPA
    return _Outlet(float(nozzle.bore_factor(tip.bore_mm)), wanted, tip, notes)
