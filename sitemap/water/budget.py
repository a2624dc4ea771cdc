"""How much is in each source, and whether it may be used on the day."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

import numpy as np

from sitemap.errors import BadValue
from sitemap.hydraulics import storage
from sitemap.notes import Note, sentence
from sitemap.ranges import Array, draw, draw_cv, fixed
from sitemap.site.model import Feature
from sitemap.units import restated
from sitemap.water import verdict
from sitemap.water.values import WaterLine
from sitemap.water.verdict import Word

POND_CV = 0.3  # depth by a stick and an unknown shape, judgement
DUG_SIDE_SLOPE = 2.0  # horizontal per vertical of a dug pond of unknown sides, as in the handbook example (P)
WITHOUT_END = ("tap", "hydrant", "stream")


@dataclass(frozen=True, eq=False)
class Stock:
    """What one source holds and whether it may be used.

    litres : (draws,) one may take [L]; None where not known; infinite for what runs by itself
    best : the best verdict it allows, and why it is not better
    not_known : what to say where its water is not known
    """

    id: str
    name: str
    litres: Array | None
    refill_l_min: float
    best: Word
    because: str
    fails: str | None
    assumed: tuple[Note, ...]
    unknowns: tuple[Note, ...]
    not_known: str


def stock_of(source: Feature, on: dt.date, system: str = "metric") -> Stock:
    """Water, permission and season of one source on a day; its sentences in the units of a system."""
    assumed: list[Note] = []
    unknowns: list[Note] = []
    best, because, fails = _gate(source, on, unknowns)
    try:
        litres = _litres(source, assumed)
    except BadValue as fault:
        litres = None
        unknowns.append(Note(source.id, "water_volume", f"{source.name}: {restated(str(fault), system)}"))
    runs = "runs" if source.choice("source") == "stream" else "is"
    not_known = f"how much water {runs} in {source.name} is not known"
    if litres is None:
        unknowns.append(Note(source.id, "water_volume", sentence(not_known)))
    elif litres[0] <= 0:
        best, because, fails = "short", f"there is no water in {source.name}", "volume"
    refill = source.number("refill_l_min") or 0.0
    if litres is not None and not np.isfinite(litres[0]):
        refill = 0.0  # what does not run out needs no refilling: all that is drawn counts as needed
    elif source.choice("source") == "well":
        refill = max(refill, source.number("yield_l_min") or 0.0)
    notes = tuple(assumed), tuple(unknowns)
    return Stock(source.id, source.name, litres, refill, best, because, fails, *notes, not_known)


def _gate(source: Feature, on: dt.date, unknowns: list[Note]) -> tuple[Word, str, str | None]:
    days = source.date("usable_from"), source.date("usable_to")
    try:
        usable = storage.usable_on(on, source.flag("usable_on_date"), *days)
    except BadValue as fault:
        usable = None
        unknowns.append(Note(source.id, "usable_dates", f"{source.name}: {fault}"))
    permission = source.choice("permission")
    if usable is False:
        return "short", f"{source.name} cannot be used on {on.isoformat()}", "date"
    if permission == "no":
        return "short", f"permission to take water from {source.name} was refused", "permission"
    missing = []
    if usable is None:
        missing.append("whether it has water on the burn date")
        unknowns.append(
            Note(source.id, "usable_on_date", f"Whether {source.name} can be used on the day is not known.")
        )
    if permission != "yes":
        missing.append("permission to take water")
        unknowns.append(
            Note(source.id, "water_permission", f"Permission to take water from {source.name} is not given.")
        )
    if missing:
        return "enough on paper", f"{' and '.join(missing)} is still to be had at {source.name}", None
    return "enough, proved", "", None


def _litres(source: Feature, assumed: list[Note]) -> Array | None:
    kind = source.choice("source")
    if kind in WITHOUT_END:
        # a tap nobody measured is held to 15 L/min; for a stream there is no such figure, a lake has an area
        unmeasured = kind == "stream" and not source.has("yield_l_min") and not source.has("area_m2")
        return None if unmeasured else fixed(np.inf)
    whole = _whole_litres(source, kind, assumed)
    if whole is None:
        # a well of unknown storage is held to its yield, which the hose line already is
        return fixed(np.inf) if kind == "well" else None
    share = source.number("usable_fraction")
    if share is None and kind == "pond":
        share = storage.POND_USABLE
        assumed.append(Note(source.id, "usable_fraction", f"Half of {source.name} is taken as usable."))
    return whole * (1.0 if share is None else share)


def _whole_litres(source: Feature, kind: str | None, assumed: list[Note]) -> Array | None:
    typed = source.measured("volume_l")
    if typed is not None:
        low, high = (typed.likely if end is None else end for end in (typed.low, typed.high))
        return draw(typed.likely, low, high, about=source.id, quantity="volume_l", floor=0.0)
    length, width, depth = (source.number(name) for name in ("length_m", "width_m", "depth_m"))
    if kind == "pond" and depth is not None:
        area = source.number("area_m2")
        if area is not None:
            likely = float(storage.pond_l(area, depth))
            told = f"{source.name} is taken as a bowl: a third of its area times its depth."
        elif length is not None and width is not None:
            likely = float(storage.dug_pond_l(length, width, depth, DUG_SIDE_SLOPE))
            told = f"The sides of {source.name} are taken as sloping 2 to 1."
        else:
            return None
        assumed.append(Note(source.id, "pond_shape", told))
        return draw_cv(likely, POND_CV, about=source.id, quantity="volume_l")
    litres = _tank_litres(source)
    return None if litres is None else fixed(litres)


def _tank_litres(source: Feature) -> float | None:
    shape, water = source.choice("tank_shape"), source.number("depth_of_water_m")
    diameter, length, width, height = (source.number(f"{side}_m") for side in ("diameter", "length", "width", "height"))
    if water is None or shape is None:
        return None
    if shape == "horizontal_cylinder" and diameter is not None and length is not None:
        return float(storage.lying_cylinder_l(diameter, length, water))
    if shape == "vertical_cylinder" and diameter is not None and height is not None:
        return float(storage.standing_cylinder_l(diameter, height, water))
    if shape == "box" and length is not None and width is not None and height is not None:
        return float(storage.box_l(length, width, height, water))
    return None


def gated(line: WaterLine, stock: Stock) -> WaterLine:
    """The line, never better than its source allows on the day."""
    word = verdict.at_best(line.verdict, stock.best)
    shut = stock.best == "short"  # no water may be had: a line short by itself shows no figures either
    if word == line.verdict and not shut:
        return line
    nothing = dict.fromkeys(("flow_l_min", "nozzle_kpa", "minutes_to_quench", "litres", "loads") if shut else ())
    return replace(
        line,
        verdict=word,
        effect=verdict.effect_of(word, line.line),
        reason=stock.because if shut else f"{line.reason}; {stock.because}",
        fails_first=stock.fails or line.fails_first,
        **nothing,  # type: ignore[arg-type]
    )
