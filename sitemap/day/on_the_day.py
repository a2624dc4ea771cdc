"""What holds for its day alone, and is looked at again on the morning: each matter with what is known of it."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator

from sitemap import tables
from sitemap.reasons import Quantity, Reason, Term, litres, reason
from sitemap.safety.effects import PASSES
from sitemap.safety.limits_of_site import named_by_permit
from sitemap.safety.weather import OUTLOOK, TWENTY_FEET_M
from sitemap.site.model import Entry, Feature, Site
from sitemap.site.seen import seen_on
from sitemap.site.weather_read import cured_allowed_by
from sitemap.water.values import Water, WaterLine


def on_the_day(
    site: Site, water: Water | None, reserve_l: float | None, forecast: Reason, shorter: tuple[Reason, ...] = ()
) -> tuple[Reason, ...]:
    """The matters to be looked at again before anything is lit, the ones that forbid it first.

    site : as entered; water : of it; reserve_l : escape water asked for [L], None where no kiln is
    known; forecast : what it says of the day; shorter : own distances that hold and are below the usual ones
    """
    season, crew = site.section("season"), site.section("crew")
    return (
        _ban(season),
        *_earlier(water),
        forecast,
        _weather(site),
        _surroundings(site),
        *_water(site, water, reserve_l),
        _people(crew),
        *_call(site),
        *_wood(site),
        *shorter,
        reason("today.ways"),
    )


def _ban(season: Entry) -> Reason:
    on = seen_on(season, "ban")
    if season.choice("ban") is None or on is None:
        return reason("today.ban")
    return reason("today.ban_again" if season.choice("ban") == "none" else "today.ban_stood", on=on)


def _earlier(water: Water | None) -> Iterator[Reason]:
    """Where the water of kilns comes so late that they would steam past dusk: by how much all are to be lit earlier."""
    lines = [spot.quench for spot in (water.spots if water is not None else ())]
    late = [line.past_min for line in lines if line.past_min and line.effect == PASSES]
    if late:
        yield reason("today.light_earlier", count=len(late), earlier=Quantity(max(late), "min", 2, "up"))


def _weather(site: Site) -> Reason:
    """Inside which limits the day must stay: ours, or the permit's where that is stricter."""
    limits, permit = tables.load("weather_limits"), named_by_permit(site.section("permit"))

    def most(key: str, unit: str) -> Quantity:
        ours, theirs = float(limits[key]["inside_high"]), permit.get(key, math.inf)
        return Quantity(min(ours, theirs), unit, 2, "down" if theirs < ours else "nearest")

    def least(key: str, unit: str) -> Quantity:
        return Quantity(float(limits[key]["inside_low"]), unit, 2)

    damp = float(limits["humidity_pct"]["inside_low"])
    humidity = max(damp, permit.get("humidity_pct", damp))
    return reason(
        "today.weather",
        least=least("wind_m_s", "m_s"),
        most=most("wind_m_s", "m_s"),
        gust=most("gust_m_s", "m_s"),
        height=Quantity(TWENTY_FEET_M, "m", 2),
        humidity=Quantity(humidity, "pct", 2, "up"),
        warm=most("temperature_c", "c"),
        quiet=least(OUTLOOK, "h"),
    )


def _surroundings(site: Site) -> Reason:
    season = site.section("season")
    state, on = season.choice("surroundings"), seen_on(season, "surroundings")
    burn = season.date("date")
    allowed_by = cured_allowed_by(site, burn) if state == "cured" else None
    if allowed_by is not None:
        return reason("today.surroundings_allowed", name=allowed_by, on=burn)
    if state is None or on is None:
        return reason("today.surroundings")
    label = Term(season.attribute("surroundings").choice_label(state))
    return reason("today.surroundings_still", state=label, on=on)


def _water(site: Site, water: Water | None, reserve_l: float | None) -> Iterator[Reason]:
    spots = water.spots if water is not None else ()
    laid = _sources(site, (spot.quench for spot in spots if spot.quench.way == "hose"))
    brought = _sources(site, (spot.quench for spot in spots if spot.quench.way in ("haul", "hand")))
    if laid:
        yield reason("today.quench_line", sources=laid)
    if brought:
        yield reason("today.quench_brought", sources=brought)
    if not (laid or brought):
        yield reason("today.no_quench_line")
    if reserve_l is not None:
        attack = _sources(site, (spot.attack for spot in spots))
        held = litres(reserve_l, 2, "up")
        yield (
            reason("today.reserve_at", litres=held, sources=attack) if attack else reason("today.reserve", litres=held)
        )


def _sources(site: Site, lines: Iterator[WaterLine]) -> tuple[str, ...]:
    """Names of the sources that some lines draw from, each once."""
    found = dict.fromkeys(line.source for line in lines if line.source is not None)
    return tuple(feature.name for source in found if (feature := site.get(source)) is not None)


def _people(crew: Entry) -> Reason:
    adults, leader = crew.integer("adults"), crew.text("leader")
    if adults is None or not leader:
        return reason("today.people")
    return reason("today.people_there", adults=adults, leader=leader)


def _call(site: Site) -> Iterator[Reason]:
    """Who is to be told: the authority by its number on the permit, and neighbours who agreed."""
    permit = site.section("permit")
    authority, phone = permit.text("authority"), permit.text("phone")
    if authority:
        yield (
            reason("today.call_at", authority=authority, phone=phone)
            if phone
            else reason("today.call", authority=authority)
        )
    agreed = [
        each for each in site.records("asked") if each.choice("whom") == "neighbour" and each.choice("answer") != "no"
    ]
    names = tuple(dict.fromkeys(name for each in agreed if (name := each.text("name"))))
    if names:
        yield reason("today.neighbours", names=names)


def _wood(site: Site) -> Iterator[Reason]:
    read = [on for heap in site.of_kind("pile", "windrow") for on in heap.once(_days_read)]
    if read:
        yield reason("today.rain", on=min(read))


def _days_read(heap: Feature) -> tuple[dt.date, ...]:
    return tuple(on for reading in heap.records("readings") if (on := reading.date("date")) is not None)
