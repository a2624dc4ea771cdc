"""The matters of the day of a site, and the decision on each of its kilns."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from sitemap.day import matters
from sitemap.day.decision import Decision, decide
from sitemap.day.facts import season_doubted
from sitemap.kiln.values import KilnRun
from sitemap.safety.permission import Check
from sitemap.site.model import Site
from sitemap.site.seen import Doubt


@dataclass(frozen=True)
class SpotChecks:
    """A kiln spot with every check of the ground it stands on and of its water."""

    id: str
    name: str
    checks: tuple[Check, ...]


def day_checks(site: Site, on: dt.date | None, doubts: Iterable[Doubt]) -> tuple[Check, ...]:
    """The checks of the day that are the same for every kiln.

    site : as entered; on : the burn date, or None; doubts : facts that do not stand for it
    """
    found = tuple(doubts)
    permit, season = site.section("permit"), site.section("season")
    days = matters.Permit(permit.date("from"), permit.date("to"), permit.flag("none_needed") is True)
    return (
        matters.date_check(on),
        matters.permit_check(days, on),
        season_doubted(matters.ban_check(season.choice("ban")), found),
        season_doubted(matters.surroundings_check(season.choice("surroundings")), found),
        matters.people_check(site.section("crew").integer("adults")),
    )


def decisions_of(
    spots: Iterable[SpotChecks],
    day: tuple[Check, ...],
    runs: dict[str, KilnRun],
    light_known: bool,
    more: Callable[[str], tuple[Check, ...]] = lambda _: (),
) -> tuple[Decision, ...]:
    """The decision on each kiln.

    spots : in file order; day : checks of the day; runs : what is burned at each spot, by its id; light_known : whether
    sunrise and sunset are; more : further checks of the day that differ from kiln to kiln (people and gear)
    """
    found = []
    for spot in spots:
        run = runs.get(spot.id)
        fits = None if run is None or not light_known else bool(run.clocks)
        own = matters.daylight_check(spot.id, None if run is None else run.name, light_known, fits)
        found.append(decide(spot.id, spot.name, (*spot.checks, *day, own, *more(spot.id))))
    return tuple(found)
