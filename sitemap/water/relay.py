"""A relay on the way of a hose line: a second pump in the line, or an open tank that breaks it in two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from sitemap.hydraulics import supply
from sitemap.hydraulics.profile import misfits
from sitemap.hydraulics.steady_flow import HoseRun
from sitemap.hydraulics.supply import Supply
from sitemap.notes import Note
from sitemap.ranges import Array, fixed
from sitemap.site.model import Feature, Item
from sitemap.water.pressure_source import (
    NoLineError,
    drawing,
    share_of_pump,
    suction_hose,
    suction_limit_m,
    supply_of_pump,
)
from sitemap.water.values import Kit, named


@dataclass(frozen=True, eq=False)
class Relay:
    """What stands on the way and drives the water on.

    kind : "pump" in the line, or open "tank"
    name : of the pump, or of the tank
    after_m : along the way, from the water [m]
    supply : of the pump; no head for a tank that runs by its own fall
    supply_share : (draws,) share of its head it really gives, element 0 likely
    suction : hose from the tank to its pump, or None
    tank_l : what the tank holds [L], None where not known
    machine : the pump, None where a tank runs by its own fall
    """

    kind: Literal["pump", "tank"]
    name: str
    after_m: float
    supply: Supply
    supply_share: Array
    suction: HoseRun | None = None
    tank_l: float | None = None
    machine: Item | None = None


def relay_of(
    source: Feature,
    kit: Kit,
    first: Item | None,
    hoses: Sequence[Item],
    altitude_m: float | None,
    assumed: list[Note],
    system: str = "metric",
) -> tuple[Relay | None, tuple[str, ...]]:
    """The relay named at a source, and why it does not couple; (None, ()) without one.

    Parameters
    ----------
    first : the pump at the water, or None
    hoses : laid from the source
    altitude_m : of the site [m], None where not known
    assumed : what is assumed is added to it

    Raises
    ------
    NoLineError : its place or its pump is not known, or its pump already stands at the water
    """
    kind, reference = source.choice("relay"), source.text("relay_pump")
    if kind is None:
        if reference or source.text("relay_tank"):
            told = f"Whether the relay of {source.name} is a pump or a tank is not said: it is reckoned without."
            assumed.append(Note(source.id, "relay", told))
        return None, ()
    after_m, machine = source.number("relay_after_m"), named(kit.pumps, reference)
    if after_m is None:
        raise NoLineError(f"how far along the lay the relay of {source.name} stands is not entered")
    if reference and machine is None:
        raise NoLineError(f"the relay pump {reference} named at {source.name} is not in the list")
    if machine is not None and machine == first:
        raise NoLineError(f"{machine.name} cannot stand at the water and be the relay pump of {source.name} as well")
    if kind == "pump":
        if machine is None:
            raise NoLineError(f"the relay pump of {source.name} is not named")
        return pump_relay(machine, after_m), unlike(machine, hoses, system)
    reference = source.text("relay_tank")
    tank = named(kit.tanks, reference)
    if reference and tank is None:
        raise NoLineError(f"the relay tank {reference} named at {source.name} is not in the list")
    name = "the relay tank" if tank is None else tank.name
    level = f"The water in {name} is taken to stand as high as the ground there; over a higher rim less runs in."
    assumed.append(Note(source.id, "relay_tank", level))
    litres = None if tank is None else tank.number("volume_l")
    if machine is None:
        return Relay("tank", name, after_m, supply.gravity(), fixed(1.0), None, litres), ()
    share, drawn = share_of_pump(machine), suction_hose(machine)
    driver = drawing(supply_of_pump(machine), machine, 0.0, suction_limit_m(source, altitude_m))
    return Relay("tank", name, after_m, driver, share, drawn, litres, machine), unlike(machine, hoses, system)


def pump_relay(machine: Item, after_m: float) -> Relay:
    """A second pump in the line, so far along the way [m]. Raises NoLineError and BadValue as `supply_of_pump`."""
    driver, share = supply_of_pump(machine), share_of_pump(machine)
    return Relay("pump", machine.name, after_m, driver, share, machine=machine)


def unlike(machine: Item, hoses: Sequence[Item], system: str = "metric") -> tuple[str, ...]:
    """Why a relay pump couples to none of the hoses, in the units of a system; nothing where a size is not known."""
    size = machine.number("coupling_mm")
    pairs = [misfits(((hose.name, hose.number("coupling_mm")), (machine.name, size)), system) for hose in hoses]
    return pairs[0] if pairs and all(pairs) else ()
