"""A relay on the way of a hose line: a second pump in the line, or an open tank that breaks it in two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from sitemap.hydraulics import supply
from sitemap.hydraulics.profile import misfits
from sitemap.hydraulics.steady_flow import HoseRun
from sitemap.hydraulics.supply import Supply
from sitemap.named import named
from sitemap.notes import Note
from sitemap.ranges import Array, fixed
from sitemap.reasons import Reason, Term, reason
from sitemap.water.pressure_source import (
    NoLineError,
    drawing,
    share_of_pump,
    suction_hose,
    suction_limit_m,
    supply_of_pump,
)
from sitemap.water.records import Hose, Kit, Pump, Source, Tank

UNNAMED_TANK = Term("the relay tank")


@dataclass(frozen=True, eq=False)
class RelayOnWay:
    """What stands on the way and drives the water on.

    kind : "pump" in the line, or open "tank"
    name : of the pump, or of the tank
    after_m : along the way, from the water [m]
    supply : of the pump; no head for a tank that runs by its own fall
    supply_share : (draws,) share of its head it really gives, element 0 likely [fraction]
    suction : hose from the tank to its pump, or None
    tank_l : what the tank holds [L], None where not known
    machine : the pump, None where a tank runs by its own fall
    unlike : why it couples to none of the hoses
    assumed : what was taken without having been entered
    """

    kind: Literal["pump", "tank"]
    name: str
    after_m: float
    supply: Supply
    supply_share: Array
    suction: HoseRun | None = None
    tank_l: float | None = None
    machine: Pump | None = None
    unlike: tuple[Reason, ...] = ()
    assumed: tuple[Note, ...] = ()


def relay_of(
    source: Source, kit: Kit, first: Pump | None, hoses: Sequence[Hose], altitude_m: float | None
) -> RelayOnWay | None:
    """The relay named at a source; None without one.

    Parameters
    ----------
    source, kit : as read
    first : the pump at the water, or None
    hoses : laid from the source
    altitude_m : of the site [m], None where not known

    Raises
    ------
    NoLineError : its place or its pump is not known, or its pump already stands at the water
    """
    said = source.relay
    if said.kind is None:
        return None
    machine = named(kit.pumps, said.pump)
    if said.after_m is None:
        raise NoLineError(reason("water.relay_where", at=source.name))
    if said.pump and machine is None:
        raise NoLineError(reason("water.relay_pump_lost", at=source.name, pump=said.pump))
    if machine is not None and machine == first:
        raise NoLineError(reason("water.relay_pump_twice", at=source.name, pump=machine.name))
    if said.kind == "pump":
        if machine is None:
            raise NoLineError(reason("water.relay_pump_unnamed", at=source.name))
        return pump_relay(machine, said.after_m, hoses)
    tank = named(kit.tanks, said.tank)
    if said.tank and tank is None:
        raise NoLineError(reason("water.relay_tank_lost", at=source.name, tank=said.tank))
    return _tank_relay(source, tank, machine, said.after_m, hoses, altitude_m)


def unsaid_relay(source: Source) -> tuple[Note, ...]:
    """A note where a relay pump or tank is named and its kind is not: the line is reckoned without it."""
    if source.relay.kind is not None or not (source.relay.pump or source.relay.tank):
        return ()
    return (Note(source.id, "relay", reason("water.relay_kind", at=source.name)),)


def _tank_relay(
    source: Source,
    tank: Tank | None,
    machine: Pump | None,
    after_m: float,
    hoses: Sequence[Hose],
    altitude_m: float | None,
) -> RelayOnWay:
    name = UNNAMED_TANK if tank is None else tank.name
    notes = (Note(source.id, "relay_tank", reason("water.relay_level", tank=name)),)
    litres = None if tank is None else tank.volume_l
    if machine is None:
        return RelayOnWay("tank", name, after_m, supply.gravity(), fixed(1.0), tank_l=litres, assumed=notes)
    driver = drawing(supply_of_pump(machine), machine, 0.0, suction_limit_m(source, altitude_m))
    share, drawn = share_of_pump(machine), suction_hose(machine)
    return RelayOnWay("tank", name, after_m, driver, share, drawn, litres, machine, unlike(machine, hoses), notes)


def pump_relay(machine: Pump, after_m: float, hoses: Sequence[Hose]) -> RelayOnWay:
    """A second pump in the line, so far along the way [m]. Raises NoLineError and BadValue as `supply_of_pump`."""
    driver, share = supply_of_pump(machine), share_of_pump(machine)
    return RelayOnWay("pump", machine.name, after_m, driver, share, machine=machine, unlike=unlike(machine, hoses))


def unlike(machine: Pump, hoses: Sequence[Hose]) -> tuple[Reason, ...]:
    """Why a relay pump couples to none of the hoses; nothing where a size is not known."""
    pairs = [misfits(((hose.name, hose.coupling_mm), (machine.name, machine.coupling_mm))) for hose in hoses]
    return pairs[0] if pairs and all(pairs) else ()
