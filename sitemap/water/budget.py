"""How much is in each source, and whether it may be used on the day."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

import numpy as np

from sitemap.errors import BadValue
from sitemap.hydraulics import storage
from sitemap.notes import Note
from sitemap.ranges import Array, draw, draw_cv, fixed
from sitemap.reasons import Quantity, Reason, reason, together
from sitemap.water import verdict
from sitemap.water.records import Basin, Source
from sitemap.water.values import WaterLine
from sitemap.water.verdict import Word

POND_CV = 0.3  # depth by a stick and an unknown shape, judgement
ROUNDED = 1.05  # a volume typed in round litres may exceed its measures by so much; ours (C)
DUG_SIDE_SLOPE = 2.0  # horizontal per vertical of a dug pond of unknown sides, as in the handbook example (P)
WITHOUT_END = ("tap", "hydrant", "stream")


@dataclass(frozen=True)
class Gate:
    """The best verdict a source allows on the day, why it is not better, and what fails; what is not known of it."""

    best: Word
    because: Reason | None = None
    fails: str | None = None
    unknowns: tuple[Note, ...] = ()


@dataclass(frozen=True, eq=False)
class Held:
    """Litres one may take (draws,) [L]: None where not known, infinite for what runs by itself. What was assumed."""

    litres: Array | None
    assumed: tuple[Note, ...] = ()


@dataclass(frozen=True, eq=False)
class Stock:
    """What one source holds and whether it may be used.

    litres : (draws,) one may take [L]; None where not known; infinite for what runs by itself
    refill_l_min : what runs back in [L/min]
    gate : the best verdict it allows
    not_known : what to say where its water is not known
    """

    id: str
    name: str
    litres: Array | None
    refill_l_min: float
    gate: Gate
    not_known: Reason
    assumed: tuple[Note, ...]
    unknowns: tuple[Note, ...]


def stock_of(source: Source, on: dt.date | None) -> Stock:
    """Water, permission and season of one source on a day."""
    gate = _gate(source, on)
    unknowns = gate.unknowns
    try:
        held = _litres(source)
    except BadValue as fault:
        held = Held(None)
        why = reason("water.volume_fault", at=source.name, why=fault.reason)
        unknowns = (*unknowns, Note(source.id, "water_volume", why))
    not_known = reason("water.flow_unknown" if source.kind == "stream" else "water.volume_unknown", at=source.name)
    if held.litres is None:
        unknowns = (*unknowns, Note(source.id, "water_volume", not_known))
    elif held.litres[0] <= 0:
        gate = Gate("short", reason("water.dry", at=source.name), "volume")
    refill = source.refill_l_min or 0.0
    if held.litres is not None and not np.isfinite(held.litres[0]):
        refill = 0.0  # what does not run out needs no refilling: all that is drawn counts as needed
    elif source.kind == "well":
        refill = max(refill, source.yield_l_min or 0.0)
    return Stock(source.id, source.name, held.litres, refill, gate, not_known, held.assumed, unknowns)


def _gate(source: Source, on: dt.date | None) -> Gate:
    unknowns: tuple[Note, ...] = ()
    try:
        usable = storage.usable_on(on, source.usable_on_date, source.usable_from, source.usable_to)
    except BadValue as fault:
        usable = None
        why = reason("water.volume_fault", at=source.name, why=fault.reason)
        unknowns = (Note(source.id, "usable_dates", why),)
    if usable is False:
        return Gate("short", reason("water.not_usable", at=source.name, on=on), "date", unknowns)
    if source.permission == "no":
        return Gate("short", reason("water.refused_permission", at=source.name), "permission", unknowns)
    missing: list[Reason] = []
    if usable is None:
        missing.append(reason("water.whether_usable"))
        unknowns = (*unknowns, Note(source.id, "usable_on_date", reason("water.usable_unknown", at=source.name)))
    if source.permission != "yes":
        missing.append(reason("water.leave"))
        unknowns = (*unknowns, Note(source.id, "water_permission", reason("water.no_permission", at=source.name)))
    if missing:
        why = reason("water.still_to_be_had", missing=tuple(missing), at=source.name)
        return Gate("enough on paper", why, None, unknowns)
    return Gate("enough, proved", unknowns=unknowns)


def _litres(source: Source) -> Held:
    kind = source.kind
    if kind in WITHOUT_END:
        # a tap nobody measured is held to 15 L/min; for a stream there is no such figure, a lake has an area
        unmeasured = kind == "stream" and source.yield_l_min is None and source.basin.area_m2 is None
        return Held(None if unmeasured else fixed(np.inf))
    whole = _whole_litres(source)
    if whole.litres is None:
        # a well of unknown storage is held to its yield, which the hose line already is
        return Held(fixed(np.inf) if kind == "well" else None, whole.assumed)
    share, notes = source.usable_fraction, whole.assumed
    if share is None and kind == "pond":
        share = storage.POND_USABLE
        notes = (*notes, Note(source.id, "usable_fraction", reason("water.half_usable", at=source.name)))
    return Held(whole.litres * (1.0 if share is None else share), notes)


def _whole_litres(source: Source) -> Held:
    basin = source.basin
    if basin.volume_l is not None:
        most_l = _most_litres(basin)
        if most_l is not None and basin.volume_l > ROUNDED * most_l:
            typed, most = Quantity(basin.volume_l, "l", apart=most_l), Quantity(most_l, "l", apart=basin.volume_l)
            told = reason("water.holds_no_more", at=source.name, typed=typed, most=most)
            return Held(None, (Note(source.id, "water_volume", told),))
        low, high = (basin.volume_l if end is None else end for end in (basin.volume_low_l, basin.volume_high_l))
        return Held(draw(basin.volume_l, low, high, about=source.id, quantity="volume_l", floor=0.0))
    if source.kind == "pond" and basin.depth_m is not None:
        return _pond_litres(source, basin.depth_m)
    litres = _tank_litres(basin)
    return Held(None if litres is None else fixed(litres))


def _most_litres(basin: Basin) -> float | None:
    """The most its measures leave room for [L], whatever its shape: the water in a tank; area by depth of a pond."""
    if basin.area_m2 is not None and basin.depth_m is not None:
        return 1000 * basin.area_m2 * basin.depth_m
    return _tank_litres(basin)


def _pond_litres(source: Source, depth_m: float) -> Held:
    basin = source.basin
    if basin.area_m2 is not None:
        likely, told = float(storage.pond_l(basin.area_m2, depth_m)), reason("water.bowl", at=source.name)
    elif basin.length_m is not None and basin.width_m is not None:
        likely = float(storage.dug_pond_l(basin.length_m, basin.width_m, depth_m, DUG_SIDE_SLOPE))
        told = reason("water.dug", at=source.name)
    else:
        return Held(None)
    litres = draw_cv(likely, POND_CV, about=source.id, quantity="volume_l")
    return Held(litres, (Note(source.id, "pond_shape", told),))


def _tank_litres(basin: Basin) -> float | None:
    water = basin.water_m
    diameter, length, width, height = basin.diameter_m, basin.length_m, basin.width_m, basin.height_m
    if water is None or basin.shape is None:
        return None
    if basin.shape == "horizontal_cylinder" and diameter is not None and length is not None:
        return float(storage.lying_cylinder_l(diameter, length, water))
    if basin.shape == "vertical_cylinder" and diameter is not None and height is not None:
        return float(storage.standing_cylinder_l(diameter, height, water))
    if basin.shape == "box" and length is not None and width is not None and height is not None:
        return float(storage.box_l(length, width, height, water))
    return None


def gated(line: WaterLine, gate: Gate) -> WaterLine:
    """The line, never better than its source allows on the day."""
    word = verdict.at_best(line.verdict, gate.best)
    shut = gate.best == "short"  # no water may be had: a line short by itself shows no figures either
    if gate.because is None or (word == line.verdict and not shut):
        return line
    why = gate.because if shut else together(line.reason, gate.because)
    held = replace(line, verdict=word, effect=verdict.effect_of(word, line.line), reason=why)
    held = replace(held, fails_first=gate.fails or line.fails_first)
    if not shut:
        return held
    return replace(held, flow_l_min=None, nozzle_kpa=None, minutes_to_quench=None, litres=None, loads=None)
