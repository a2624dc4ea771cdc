"""People: how far to stand, and what the crew is told before lighting."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment
from sitemap.geodesy.coordinates import decimal, degrees_minutes, utm
from sitemap.geodesy.measure import azimuth_deg, compass_word, distance_m
from sitemap.notes import kiln_called
from sitemap.plan.model import Blanks, Block, Facts, Items, Section, Table
from sitemap.plan.parts.page_one import embers, middle_of
from sitemap.plan.say import entered, length, up
from sitemap.safety.heat import refuge_distance_m
from sitemap.site.kinds import KINDS
from sitemap.site.model import Feature
from sitemap.site.on_plane import middle_of as on_plane
from sitemap.wording import NOT_KNOWN, capital, listed

RAKE_M, MACHINE_ROOM_M, BARE_RING_M = 2.0, 3.0, 3.0  # [m] house rules (C)
TO_FILL = ("Lookout kept by", "Radio or telephone carried by", "Signal to leave", "Heads counted by", "Wind today from")
PLACES = (
    *("kiln_spot", "water_source", "gate", "parking", "turning_place", "landing_place", "meeting_point", "refuge"),
    *("lookout", "smoke_place"),
)


def people(a: Assessment) -> Section:
    """Distances for people, printed whatever the heat formulas give."""
    units = a.source.units
    rows = [
        (
            capital(kiln_called(spot.name)),
            up(safe.flame_height_m, units),
            up(safe.rest_m, units),
            up(safe.visitors_m, units),
        )
        for spot in a.spots
        for safe in (a.safety.spots if a.safety else ())
        if safe.id == spot.id
    ]
    heads = ("From the rim, at least", "Height of the flame reckoned with", "Crew at rest", "Visitors")
    blocks: list[Block] = []
    if rows:
        blocks.append(Table("", heads, tuple(rows), (28, 32, 20, 20), small=True))
    reach = [machine.number("reach_m") for machine in a.source.equipment("machines")]
    longest = max((metres for metres in reach if metres is not None), default=None)
    room = (
        f"that is {up(longest + MACHINE_ROOM_M, units)} here"
        if longest is not None
        else "its reach is not entered: ask the driver"
    )
    blocks.append(
        Items(
            (
                f"Bare ring of {up(BARE_RING_M, units)} round every kiln, before lighting.",
                f"A rake of at least {up(RAKE_M, units)}. Heat on people peaks at the quench: fog first, from upwind.",
                f"Nobody inside the reach of a working machine and {up(MACHINE_ROOM_M, units)} more; {room}.",
                "Fewer than two adults: do not light. Nobody leaves before cold check 1.",
                "A kiln that is lit or flooded is not carried or driven.",
                embers(a),
            )
        )
    )
    return Section("people", "How far people stand", tuple(blocks))


def briefing(a: Assessment) -> Section:
    """Lookouts, communications, ways out, refuge; the places with their coordinates."""
    blocks: list[Block] = [Facts(tuple(_told(a))), Blanks(TO_FILL)]
    rows = tuple(_place(a, feature) for feature in a.source.of_kind(*PLACES))
    heads = ("Place", "From the gate", "Degrees and minutes, WGS 84", "Decimal degrees", "UTM")
    if rows:
        blocks.append(Table("Places", heads, rows, (26, 13, 27, 22, 32), small=True))
    return Section("briefing", "Briefing", tuple(blocks))


def _told(a: Assessment) -> Iterator[tuple[str, str]]:
    site = a.source

    def named(kind: str) -> str:
        return listed(feature.name for feature in site.of_kind(kind)) or "none on the map"

    ways = site.of_kind("escape_route")
    more = "" if len(ways) > 1 else " (more than one is wanted)"
    crew = site.section("crew")
    yield "Ways out", f"{named('escape_route')}{more}"
    yield "Meeting point", named("meeting_point")
    yield "Refuge", f"{named('refuge')}. {_refuge(a)}"
    yield "Lookout", named("lookout")
    yield "Radio, telephone", f"{entered(crew, 'radio')}; emergency call {entered(crew, 'emergency')}"
    yield "Vehicles", f"{named('parking')}, facing out, keys in; engine turns at {named('turning_place')}"
    yield "Helicopter", named("landing_place")
    yield "First aid, hospital", f"{entered(crew, 'first_aid')}; {entered(crew, 'hospital')}"
    yield "Smoke kept from", _smoke(a)
    lines = listed(feature.name for feature in site.of_kind("control_line"))
    yield "Held at", f"the bare ring; {lines or 'no control line on the map'}"
    wind = site.section("season").number("wind_from_deg")
    usual = NOT_KNOWN if wind is None else f"{compass_word(wind)} ({wind:.0f}°)"
    yield "Wind usually from", usual


def _smoke(a: Assessment) -> str:
    found = []
    for feature in a.source.of_kind("smoke_place"):
        phone = feature.text("phone")
        found.append(f"{feature.name}{f' (telephone {phone})' if phone else ''}")
    return listed(found) or "no place entered"


def _refuge(a: Assessment) -> str:
    """A refuge is sized by the fuel around it, not by the flame of a kiln."""
    height_m, units = a.source.section("season").number("fuel_height_m"), a.source.units
    if height_m is None:
        return "The height of the fuel around it is not entered: how large it must be is not known."
    level, usual, steep = (up(float(refuge_distance_m(height_m, factor)), units) for factor in (1.0, 5.0, 10.0))
    return (
        f"Bare ground on every side of the people, for fuel {length(height_m, units)} high: {level} on the level in "
        f"still air, {usual} with slope and wind, up to {steep} on steep ground in strong wind."
    )


def _place(a: Assessment, feature: Feature) -> tuple[str, ...]:
    label = KINDS[feature.kind].label
    plain = feature.name.casefold().startswith(label.casefold())
    called = (
        kiln_called(feature.name)
        if feature.kind == "kiln_spot"
        else feature.name
        if plain
        else f"{label}: {feature.name}"
    )
    at = middle_of(feature)
    if at is None:
        return capital(called), NOT_KNOWN, "not on the map", "", ""
    return capital(called), _from_gate(a, feature), degrees_minutes(*at), decimal(*at, places=5), utm(*at)


def _from_gate(a: Assessment, feature: Feature) -> str:
    gate = next((f for f in a.source.of_kind("gate") if f.shape is not None), None)
    if a.plane is None or gate is None:
        return "no gate"
    start, end = on_plane(gate, a.plane), on_plane(feature, a.plane)
    if feature.id == gate.id or start is None or end is None:
        return "–"
    bearing = azimuth_deg(a.plane, start, end)
    way = compass_word(bearing) if bearing is not None else ""
    return f"{length(float(distance_m(start, end)), a.source.units)} {way}".strip()
