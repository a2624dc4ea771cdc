"""The first sheet: where, who, when, the clock, water, limits, what is not known, and what would turn a verdict."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from sitemap import tables
from sitemap.assessment import Assessment
from sitemap.geodesy.coordinates import degrees_minutes, formats
from sitemap.kiln.values import KilnRun
from sitemap.notes import kiln_called
from sitemap.plan.model import Block, Facts, MapHere, Paragraph, Section, Sides, Table
from sitemap.plan.parts.open_points import do_not_light, not_known_first, weakest
from sitemap.plan.say import between, day, decided, entered, moment, name_of, signed, winds
from sitemap.safety.effects import RULED_OUT
from sitemap.safety.of_site import LOCAL_CODE
from sitemap.safety.weather import EYE_LEVEL_M, TEN_METRES_M, TWENTY_FEET_M
from sitemap.site.model import Feature
from sitemap.site.on_plane import near_shape
from sitemap.summary import counted, held, said
from sitemap.tables import Row
from sitemap.units import text, unit_label
from sitemap.water.values import WaterLine
from sitemap.wording import NOT_KNOWN, capital, kilns_called, told, way

_FORMS = (
    ("degrees_minutes", "Degrees and minutes (aviation)"),
    ("decimal", "Decimal degrees"),
    ("dms", "Deg, min, sec"),
    ("utm", "UTM"),
    ("mgrs", "MGRS"),
)
_SURROUNDINGS = {
    "snow": "under snow: inside limits",
    "wet": "wet: inside limits",
    "green": "green: inside limits",
    "drying": "drying: near a limit",
    "cured": "cured: outside limits unless the officer in charge says otherwise",
}


def page_one(a: Assessment) -> Section:
    """All that somebody who must decide reads first."""
    left = (
        *(Paragraph("Where", "strong"), Facts(tuple(_where(a)))),
        *(Paragraph("Who", "strong"), Facts(tuple(_who(a)))),
        *(Paragraph("When, and by whose leave", "strong"), Facts(tuple(_when(a)))),
        *(Paragraph("Not known", "strong"), *not_known_first(a)),
    )
    right = (
        MapHere("small"),
        Paragraph("The map sheet explains the signs and letters.", "small"),
        *(Paragraph("Weakest number, and what would turn a verdict", "strong"), *weakest(a)),
    )
    return Section(
        "page_one",
        "",
        (
            do_not_light(a),
            Sides(left, right),
            *_clock(a),
            *_water(a),
            _kilns_table(a),
            *_limits(a),
            Paragraph(f"{LOCAL_CODE} {embers(a)}", "small"),
        ),
    )


def embers(a: Assessment) -> str:
    """The sentence on embers of the kiln that throws them furthest."""
    spots = a.safety.spots if a.safety else ()
    worst = max(spots, key=lambda spot: spot.patrol_m if spot.patrol_m is not None else float("inf"), default=None)
    if worst is None:
        return "No distance is safe from embers: patrol downwind."
    reached = _reached(a)
    within = f" Within it: {', '.join(reached)}. Tell the people there, and have them watched." if reached else ""
    return told(worst.embers, a.source.units) + within


def _reached(a: Assessment) -> list[str]:
    """Places of others, places to keep smoke from and fuel stores within the reach of embers of any kiln."""
    if a.plane is None or a.safety is None:
        return []
    spots = {spot.id: spot.patrol_m for spot in a.safety.spots}
    kilns = [(shape, spots.get(f.id)) for f in a.source.of_kind("kiln_spot") if (shape := near_shape(f, a.plane))]
    found = []
    for feature in a.source.of_kind("structure", "smoke_place", "fuel_store"):
        shape = near_shape(feature, a.plane)
        if shape is None or (feature.kind == "structure" and feature.choice("use") == "own"):
            continue
        if any(far_m is None or kiln.distance(shape) <= far_m for kiln, far_m in kilns):
            found.append(feature.name)
    return list(dict.fromkeys(found))


def middle_of(feature: Feature | None) -> tuple[float, float] | None:
    """Longitude and latitude of a feature [deg], or None where it has no usable place."""
    if feature is None or feature.shape is None:
        return None
    place = feature.shape if feature.shape.geom_type == "Point" else feature.shape.representative_point()
    return place.x, place.y


def _where(a: Assessment) -> Iterator[tuple[str, str]]:
    first = next((f for f in a.source.of_kind("kiln_spot") if f.shape is not None), None)
    place, name = middle_of(first), kiln_called(first.name) if first else ""
    if place is None and a.plane is not None:
        place, name = (a.plane.lon0, a.plane.lat0), "the middle of the site, no kiln is placed"
    if place is None:
        yield "Place", "not known: nothing is on the map"
    else:
        written = formats(*place)
        yield capital(name), f"{written['degrees_minutes']}, WGS 84"
        yield from ((label, written[key]) for key, label in _FORMS[1:])
    gate = next((f for f in a.source.of_kind("gate") if f.shape is not None), None)
    at = middle_of(gate)
    yield "Gate", f"{gate.name}, {degrees_minutes(*at)}" if gate is not None and at is not None else "not on the map"
    yield "The way in", entered(a.source.section("crew"), "directions", "not entered")


def _who(a: Assessment) -> Iterator[tuple[str, str]]:
    crew = a.source.section("crew")
    leader, phone = entered(crew, "leader"), entered(crew, "phone")
    yield "In charge", f"{leader}, telephone {phone}"
    adults = crew.integer("adults")
    yield "Adults on site", NOT_KNOWN if adults is None else f"{adults} (fewer than two: do not light)"
    yield "Emergency call", f"{entered(crew, 'emergency')}; nearest hospital {entered(crew, 'hospital')}"
    yield "Radio or signal", entered(crew, "radio")
    yield "First aid", entered(crew, "first_aid")


def _when(a: Assessment) -> Iterator[tuple[str, str]]:
    season, permit, light = a.source.section("season"), a.source.section("permit"), a.daylight
    yield "Burn date", f"{day(a.on)}; site walked {day(season.date('date_walked'))}"
    if light is None:
        yield "Daylight", "not known: place or time zone is missing"
    elif light.sunrise is None or light.sunset is None:
        stays = "the sun does not set" if light.kind == "no_sunset" else "the sun does not rise"
        yield "Daylight", f"{stays}; {light.utc_offset_text}"
    else:
        yield "Daylight", f"{light.sunrise:%H:%M} to {light.sunset:%H:%M}, clock {light.utc_offset_text}"
    first, last = permit.date("from"), permit.date("to")
    yield "Permit", f"number {entered(permit, 'number')}; {_date(first)} to {_date(last)}"
    yield "Authority", f"{entered(permit, 'authority')}, telephone {entered(permit, 'phone')}"
    yield "Conditions", entered(permit, "conditions", "none entered")
    answer = next((c for spot in a.spots[:1] for c in spot.checks if c.check == "authority"), None)
    yield "Asked", signed(told(answer.reason, a.source.units), answer.effect) if answer else NOT_KNOWN


def _date(date: dt.date | None) -> str:
    return NOT_KNOWN if date is None else date.isoformat()


def _kilns_table(a: Assessment) -> Table:
    units, runs = a.source.units, {run.spot: run for run in a.kilns}
    rows = []
    for spot in a.spots:
        run, wet = runs.get(spot.id), a.water.of_spot(spot.id) if a.water else None
        rows.append(
            (
                capital(kiln_called(spot.name)),
                decided(a, spot.id),
                run.name if run else NOT_KNOWN,
                f"{counted(run.batches)}" if run else NOT_KNOWN,
                said(run.quench_l_per_batch, "l", units) if run else NOT_KNOWN,
                line_words(a, wet.quench if wet else None),
                line_words(a, wet.attack if wet else None),
            )
        )
    heads = ("Kiln", "Decision", "There", "Batches", "One quench asks", "Quench line", "Attack line")
    return Table("Kilns and their water", heads, tuple(rows), (9, 12, 10, 10, 15, 23, 22), small=True)


def line_words(a: Assessment, line: WaterLine | None) -> str:
    """Verdict, flow and way of one line."""
    if line is None:
        return NOT_KNOWN
    if line.source is None or line.way is None:
        return signed(line.verdict, line.effect)
    flow = f", {text(line.flow_l_min.likely, 'l_min', a.source.units, 2)}" if line.flow_l_min is not None else ""
    return f"{signed(line.verdict, line.effect)}{flow}, {way(line.way)} from {name_of(a, line.source)}"


def _clock(a: Assessment) -> tuple[Block, ...]:
    alike: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for run in a.kilns:  # kilns that keep the same hours share a row
        alike.setdefault(_hours(a, run), []).append(name_of(a, run.spot))
    rows = tuple((f"{capital(kilns_called(names))}{batch}", *hours) for (batch, hours), names in alike.items())
    heads = (
        "Kiln",
        "Light by",
        "Last thick piece",
        "Stop feeding",
        "Water on",
        "Raked, no steam",
        "Cold check 1",
        "Water failed: call by",
    )
    if not rows:
        return (Paragraph("No clock: no kiln could be reckoned.", "strong"),)
    if not any(each.may_be_lit for each in a.decisions):
        return (Paragraph("No times: no kiln may be lit as the site stands.", "strong"),)
    return (Table("Clock: no later than", heads, rows, (20, 11, 12, 11, 11, 12, 11, 12), small=True),)


def _hours(a: Assessment, run: KilnRun) -> tuple[str, tuple[str, ...]]:
    """Which batch, and its hours."""
    clocks = a.clock_of(run.spot)
    if not clocks:
        return "", ("not lit", *("–",) * 6)  # a time to light by would read as leave to light
    clock = clocks[-1]
    moments = (clock.light_by, clock.last_thick, clock.stop_feeding, clock.water_on, clock.no_steam_by)
    first = next((check.when for check in clock.checks if check.what == "first"), None)
    count = len(clocks)
    batch = ", 1 batch" if count == 1 else f", last of {count} batches"
    return batch, tuple(moment(when, a.on) for when in (*moments, first, clock.call_by))


def _water(a: Assessment) -> Iterator[Block]:
    units = a.source.units
    reserve = said(a.burn.reserve_l, "l", units)
    rows = [
        (
            name_of(a, source.id),
            said(source.litres_needed, "l", units) if source.litres_needed is not None else "nobody draws from it",
            held(source, units),
            signed(source.verdict),
            moment(source.last_finish, a.on),
        )
        for source in a.sources
    ]
    if not rows:
        rows = [("No water source", NOT_KNOWN, NOT_KNOWN, signed(NOT_KNOWN), NOT_KNOWN)]
    title = f"Water of the day. Reserve for an escape, besides the quench and in place before lighting: {reserve}."
    heads = ("Source", "Needed, reserve counted in", "There", "Verdict", "Last quench done")
    yield Table(title, heads, tuple(rows), (22, 24, 20, 20, 16), small=True)
    idle = [each.name for each in a.decisions if each.effect == RULED_OUT and _draws(a, each.spot)]
    if idle:
        yield Paragraph(
            f"Not lit, yet counted in, so that there is water should it be moved: {kilns_called(idle)}.", "small"
        )


def _draws(a: Assessment, spot: str) -> bool:
    wet = a.water.of_spot(spot) if a.water else None
    return wet is not None and wet.quench.source is not None and any(run.spot == spot for run in a.kilns)


def _limits(a: Assessment) -> tuple[Block, ...]:
    units, rows = a.source.units, tables.load("weather_limits")
    found: list[tuple[str, ...]] = []
    heights = ((EYE_LEVEL_M, "at eye level"), (TWENTY_FEET_M, "at 20 ft (6 m)"), (TEN_METRES_M, "at 10 m (33 ft)"))
    label = f" {unit_label('m_s', units)}"
    for height_m, where in heights:
        mean, gust = (_wind(rows[key], height_m, units) for key in ("wind_m_s", "gust_m_s"))
        found.append(
            (
                f"Wind {where}",
                *(f"{one.removesuffix(label)}, gust {other}" for one, other in zip(mean, gust, strict=True)),
                "",
            )
        )
    humidity, warm = rows["humidity_pct"], rows["temperature_c"]
    least, edge = (f"{float(humidity[end]):.0f} %" for end in ("inside_low", "near_low"))
    found.append(("Humidity of the air", f"{least} and more", f"down to {edge}", f"below {edge}", ""))
    found.append(
        (
            "Temperature",
            between(None, float(warm["inside_high"]), "c", units),
            between(None, float(warm["near_high"]), "c", units),
            f"over {between(None, float(warm['near_high']), 'c', units)[3:]}",
            "",
        )
    )
    outlook = f"quiet {float(rows['outlook_h']['inside_low']):.0f}–72 h from lighting"
    found.append(("Outlook", outlook, "–", "front, strong wind", ""))
    around = a.source.section("season").choice("surroundings")
    state = _SURROUNDINGS.get(around or "", "not known: look, and write it down")
    found.append(("Grass and brush around", "snow, wet, green", "drying", "cured", f"seen: {state}"))
    heads = ("Limit", "Inside limits", "Near a limit", "Outside limits", "Read before lighting")
    note = (
        "All hours from lighting to the first cold check must be inside; one good hour is a trap. Near a limit: the "
        "person in charge decides. The local rule wins. Winds are for open ground; under trees read them in the open."
    )
    return Table("Limits that stop the burn", heads, tuple(found), (20, 21, 26, 22, 18), small=True), Paragraph(
        note, "small"
    )


def _wind(row: Row, height_m: float, units: str) -> tuple[str, str, str]:
    """Inside, near and outside the limits of a wind read at a height; open at the low end where calm is no limit."""
    low, high, near_low, near_high = (float(row[end]) for end in ("inside_low", "inside_high", "near_low", "near_high"))
    least = winds(None, low, height_m, units)[3:].removesuffix(f" {unit_label('m_s', units)}")
    below = f"below {least}, " if low > near_low else ""
    most = winds(None, near_high, height_m, units)[3:]
    return winds(low or None, high, height_m, units), f"{below}to {most}", f"over {most}"
