"""People: how far to stand, and where the places of the crew are."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.geodesy.coordinates import decimal, degrees_minutes
from sitemap.geodesy.measure import azimuth_deg, compass_word, distance_m
from sitemap.plan.model import Block, Items, Paragraph, Section, Table
from sitemap.plan.parts.who_where import embers, grid_place, lon_lat
from sitemap.plan.phrases import Words
from sitemap.plan.say import length, up
from sitemap.reasons import KilnName, Term
from sitemap.safety.heat import refuge_distance_m
from sitemap.site.kinds import KINDS, with_role
from sitemap.site.model import Feature
from sitemap.site.on_plane import middle_of as on_plane
from sitemap.wording import capital, listed


def people(a: Assessment, words: Words) -> Section:
    """Distances for people, printed whatever the heat formulas give."""
    units = a.source.units
    rows = [
        (
            capital(words.shown(KilnName(spot.name))),
            up(safe.flame_height_m, units),
            up(safe.rest_m, units),
            up(safe.visitors_m, units),
        )
        for spot in a.spots
        for safe in (a.safety.spots if a.safety else ())
        if safe.id == spot.id
    ]
    heads = words.row("From the rim, at least", "Flame height assumed", "Crew at rest", "Visitors")
    blocks: list[Block] = []
    if rows:
        blocks.append(Table("", heads, tuple(rows), (28, 32, 20, 20), small=True))
    reach = " ".join(embers(a, words))
    blocks.append(Items((_refuge(a, words), reach, words.own("Smoke kept from: {places}", places=_smoke(a, words)))))
    return Section("people", words.own("How far people stand"), tuple(blocks))


def places(a: Assessment, words: Words) -> Section:
    """The places of the crew with their coordinates."""
    rows = tuple(_place(a, words, feature) for feature in a.source.of_kind(*with_role("place")))
    heads = words.row("Place", "From the gate", "Degrees and minutes, WGS 84", "Decimal degrees", "UTM")
    table = Table("", heads, rows, (26, 13, 27, 22, 32), small=True)
    return Section(
        "places",
        words.own("Places"),
        (table,) if rows else (Paragraph(words.own("No place of the crew is on the map.")),),
    )


def _smoke(a: Assessment, words: Words) -> str:
    found = []
    for feature in a.source.of_kind("smoke_place"):
        phone = feature.text("phone")
        found.append(f"{feature.name}{words.own(' (telephone {phone})', phone=phone) if phone else ''}")
    return listed(found) or words.own("no place entered")


def _refuge(a: Assessment, words: Words) -> str:
    """A refuge is sized by the fuel around it, not by the flame of a kiln."""
    height_m, units = a.source.section("season").number("fuel_height_m"), a.source.units
    if height_m is None:
        return words.own("Refuge: the height of the fuel around it is not entered: how large it must be is not known.")
    level, usual, steep = (up(float(refuge_distance_m(height_m, factor)), units) for factor in (1.0, 5.0, 10.0))
    return words.own(
        "Refuge: bare ground on every side of the people, for fuel {high} high: {level} on the level in still air, "
        "{usual} with slope and wind, up to {steep} on steep ground in strong wind.",
        high=length(height_m, units),
        level=level,
        usual=usual,
        steep=steep,
    )


def _place(a: Assessment, words: Words, feature: Feature) -> tuple[str, ...]:
    label = words.shown(Term(KINDS[feature.kind].label))
    plain = feature.name.casefold().startswith(label.casefold())
    called = (
        words.shown(KilnName(feature.name))
        if feature.kind == "kiln_spot"
        else feature.name
        if plain
        else f"{label}: {feature.name}"
    )
    at = lon_lat(feature)
    if at is None:
        return capital(called), words("shared.not_known"), words.own("not on the map"), "", ""
    return (
        capital(called),
        _from_gate(a, words, feature),
        degrees_minutes(*at),
        decimal(*at, places=5),
        grid_place(words, *at),
    )


def _from_gate(a: Assessment, words: Words, feature: Feature) -> str:
    gate = next((f for f in a.source.of_kind("gate") if f.shape is not None), None)
    if a.plane is None or gate is None:
        return words.own("no gate")
    start, end = on_plane(gate, a.plane), on_plane(feature, a.plane)
    if feature.id == gate.id or start is None or end is None:
        return "–"
    bearing = azimuth_deg(a.plane, start, end)
    way = words.shown(Term(compass_word(bearing))) if bearing is not None else ""
    return f"{length(float(distance_m(start, end)), a.source.units)} {way}".strip()
