"""What is burned at one kiln spot: a batch, its hours, its quench and its heat."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sitemap.kiln import burning, glow, quench, wetness
from sitemap.kiln.days import soak_and_burn_down
from sitemap.kiln.serving import Share, amount_t
from sitemap.kiln.standing import Notes, Stand, drawn, figure
from sitemap.kiln.values import Kiln, KilnRun
from sitemap.notes import Note
from sitemap.ranges import Array, Numbers, fixed
from sitemap.reasons import KilnName, Quantity, reason
from sitemap.tables import value

_IN_THE_BIN = ("flooded", "unraked_or_machine_bin")


@dataclass(frozen=True)
class Batch:
    """One full kiln.

    char_m3, char_kg : loose and dry [m³], [kg]
    density : of the loose char [kg/m³]
    char_yield : dry char per dry wood [kg/kg]
    feed_kg : dry wood [kg]
    extra : water in the wood above what the rates are of [kg/kg dry wood]
    char_c : temperature of the char when the water comes [°C]
    """

    char_m3: Array
    density: Array
    char_yield: Array
    feed_kg: Array
    extra: Numbers
    char_c: Array

    @property
    def char_kg(self) -> Array:
        """Dry char [kg]."""
        return self.char_m3 * self.density


def run_at(stand: Stand, heaps: Sequence[Share], notes: Notes) -> KilnRun | None:
    """What is burned at one kiln spot; None where the kiln is smaller than one piece.

    stand : the spot with its kiln; heaps : its shares of them; notes : what is said is added to them
    """
    facts = stand.facts
    piece_cm = _piece_cm(stand, heaps, notes)
    if not _fits(stand, piece_cm, notes):
        return None
    method = _method(stand, notes)
    if method is None:
        return None
    batch = _batch(facts, _extra(heaps))
    stock_kg = 1000 * amount_t(heaps)
    area, loss = facts.hollow.open_area_m2, figure("quench", "glowing_loss")
    heat = burning.heat_release(stand.rate, batch.char_yield, figure("kiln_burning", "feed_moisture", 0, 1))
    floor = _floor_l(batch, facts)
    return KilnRun(
        id=facts.id,
        name=facts.name,
        spot=stand.spot.id,
        units=stand.units,
        moved=stand.sharing,
        never_twice=stand.sharing and stand.facts.counted,
        heaps=tuple(share.stock.id for share in heaps),
        method=method,
        method_known=stand.spot.method is not None,
        holds_known=facts.floor_known or method != "flooded",
        feeders=stand.feeders,
        thickest_cm=piece_cm,
        char_stock_dry_t=drawn(stock_kg / 1000),
        batches=drawn(burning.batches(stock_kg, _least_feed_kg(batch))),
        hours_per_batch=drawn(_hours(stand, batch, piece_cm)),
        feed_dry_t_per_batch=drawn(batch.feed_kg / 1000),
        feed_dry_t_per_h=drawn(stand.rate / 1000),
        char_m3_per_batch=drawn(batch.char_m3),
        char_t=drawn(stock_kg * batch.char_yield / 1000),
        rake_min=drawn(_rake_min(batch, method)),
        quench_l_per_batch=drawn(_water_l(batch, facts, method, floor)),
        quench_floor_l=drawn(floor),
        quench_ceiling_l=drawn(quench.pore_water(batch.char_m3, batch.density, value("quench", "char_solid_density"))),
        steel_kg=facts.steel_kg,
        open_area_m2=area,
        glowing_area_m2=area,
        hold_l_min=drawn(area * figure("quench", "hold")),
        flood_l=drawn(_water_l(batch, facts, "flooded", floor)) if facts.has_floor else None,
        burn_out_h=drawn(glow.burn_out_hours(batch.char_kg, area, loss)),
        lost_in_an_hour=drawn(glow.glowing_loss(batch.char_kg, area, loss, 60) / batch.char_kg),
        glow_kw_m2=drawn(_glow_kw_m2(area, batch.char_c)),
        soak_min=soak_and_burn_down(piece_cm)[0],
        charring_min=float(burning.charring_minutes(piece_cm, value("kiln_burning", "charring_rate"))),
        heat_kw=drawn(heat),
        heat_peak_kw=drawn(heat * value("kiln_burning", "pulse")),
        batches_per_day=None,
        days=None,
        clocks=(),
    )


def _piece_cm(stand: Stand, heaps: Sequence[Share], notes: Notes) -> float:
    """Thickest piece that goes in [cm], and what must be said of it."""
    limit, name = stand.facts.piece_limit_cm, stand.facts.name
    if not heaps:
        return limit
    if any(share.stock.thickest_cm is None for share in heaps):
        takes = Quantity(limit, "cm", 2)
        why = reason("kiln.thickest_piece", spot=KilnName(stand.spot.name), kiln=name, takes=takes)
        notes.assumed.append(Note(stand.spot.id, "thickest_piece", why))
        return limit
    for share in heaps:
        thickest = share.stock.thickest_cm or 0.0
        if thickest > limit:
            holds, takes = Quantity(thickest, "cm", 2, apart=limit), Quantity(limit, "cm", 2, apart=thickest)
            why = reason("kiln.oversize_pieces", heap=share.stock.name, kiln=name, holds=holds, takes=takes)
            notes.assumed.append(Note(share.stock.id, "oversize_pieces", why))
    return min(limit, max(share.stock.thickest_cm or 0.0 for share in heaps))


def _fits(stand: Stand, piece_cm: float, notes: Notes) -> bool:
    """Whether one piece goes into the kiln at all."""
    narrow_cm = stand.facts.hollow.narrowest_m * 100
    if narrow_cm < piece_cm:
        narrow, piece = Quantity(narrow_cm, "cm", 2, apart=piece_cm), Quantity(piece_cm, "cm", 2, apart=narrow_cm)
        why = reason("kiln.smaller_than_piece", kiln=stand.facts.name, narrow=narrow, piece=piece)
        notes.unknowns.append(Note(stand.spot.id, "kiln_smaller_than_piece", why))
    return narrow_cm >= piece_cm


def _method(stand: Stand, notes: Notes) -> str | None:
    """How it is quenched: a row of the table quench; the wettest way the kiln allows where nothing was said.

    None where it was said to be flooded and cannot be: another way is for people to choose, not for us.
    """
    said, facts = stand.spot.method, stand.facts
    if said == "flooded" and not facts.has_floor:
        notes.unknowns.append(Note(stand.spot.id, "cannot_flood", reason("kiln.cannot_flood", kiln=facts.name)))
        return None
    if said is not None:
        return said
    called = KilnName(stand.spot.name)
    why = reason("kiln.taken_as_flooded" if facts.has_floor else "kiln.taken_as_not_raked", kiln=called)
    notes.unknowns.append(Note(stand.spot.id, "quench_method", why))
    return "flooded" if facts.has_floor else "unraked_or_machine_bin"


def _extra(heaps: Sequence[Share]) -> Numbers:
    """Water in the wettest of the heaps above what the rates are of [kg/kg dry wood]."""
    unknown = value("kiln_burning", "wet_unknown")
    wettest = max((unknown if each.stock.moisture is None else each.stock.moisture for each in heaps), default=unknown)
    return wetness.extra_water(wettest, value("kiln_burning", "wet_from"))


def _batch(facts: Kiln, extra: Numbers) -> Batch:
    char_yield = np.asarray(wetness.yield_left(figure("kiln_burning", "char_yield", 0.05, 0.4), extra))
    density = figure("kiln_burning", "char_density", 60, 400)
    measured = facts.fill_fraction
    fill = figure("kiln_burning", "fill_fraction", None, 1) if measured is None else fixed(measured)
    char_m3 = np.asarray(burning.char_volume_per_batch(facts.hollow.volume_m3, fill))
    feed_kg = np.asarray(burning.feed_per_batch(char_m3, density, char_yield))
    char_c = figure("quench", "char_temperature", quench.BOILING_C, 1400)
    return Batch(char_m3, density, char_yield, feed_kg, extra, char_c)


def _least_feed_kg(batch: Batch) -> Numbers:
    """Wood of a batch were it dry [kg]: wet wood must not save a batch, its day and its water."""
    return burning.feed_per_batch(batch.char_m3, batch.density, figure("kiln_burning", "char_yield", 0.05, 0.4))


def _hours(stand: Stand, batch: Batch, piece_cm: float) -> Numbers:
    """From lighting to water [h]."""
    soak, burn_down = soak_and_burn_down(piece_cm)
    start_up = figure("kiln_burning", "start_up")
    by_hands = burning.hours_by_hands(start_up, batch.feed_kg, stand.handled, burn_down, soak)
    slower = figure("kiln_burning", "wet_slower", 0.0)
    hours: Numbers = np.maximum(by_hands, wetness.grown(stand.hours_by_opening(batch.char_m3), batch.extra, slower))
    return hours


def _rake_min(batch: Batch, method: str) -> Numbers:
    """Time to rake a batch by one crew [min]."""
    if method != "raked_and_sprayed":
        return fixed(0.0)
    return quench.rake_minutes(batch.char_m3, figure("quench", "raking"), value("quench", "people_raking"))


def _floor_l(batch: Batch, facts: Kiln) -> Numbers:
    """Water that boils away whole [L]."""
    steel_c, water_c = value("quench", "steel_temperature"), value("quench", "water_temperature")
    return quench.boiled_water(batch.char_kg, batch.char_c, facts.steel_kg, steel_c, water_c)


def _water_l(batch: Batch, facts: Kiln, method: str, floor_l: Numbers) -> Numbers:
    """Working quench of a batch by one method [L].

    A bin that is not raked was dripping when its figure was measured: only a leak that was measured too is added.
    """
    leaks = method == "flooded" or (method in _IN_THE_BIN and facts.leak_known)
    water = quench.working_water(
        batch.char_m3,
        figure("quench", method),
        floor_l,
        facts.leak_l_min if leaks else 0.0,
        value("quench", "no_steam_within"),
    )
    return wetness.grown(water, batch.extra, figure("kiln_burning", "wet_more_water", 0.0))


def _glow_kw_m2(area_m2: float, char_c: Array) -> Numbers:
    """Heat of the bare bed on one who sprays beside it [kW/m²]."""
    return glow.glow_heat(
        float(np.sqrt(area_m2 / np.pi)),
        value("quench", "stand_off"),
        char_c,
        value("quench", "face_height"),
        value("quench", "char_emissivity"),
    )
