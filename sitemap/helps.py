"""What would help to be done in time: the site with one thing changed, worked out anew, for each thing in turn."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from sitemap import tables
from sitemap.assessment import HEAPS, Assessment, assess
from sitemap.kiln.values import KilnRun
from sitemap.reasons import Reason, percent, reason
from sitemap.site.model import Feature, Site

LESS_STOCK = 0.8  # of what would go into the kilns, where only the better part is burned; judgement


@dataclass(frozen=True)
class Help:
    """One change.

    told : what is changed
    last : the last burn day then, None where nothing is burned; left : batches then left, as is likely
    left_slow : batches left if they are slow and many
    """

    told: Reason
    last: dt.date | None
    left: int
    left_slow: int


def helps_of(a: Assessment) -> tuple[Help, ...]:
    """Each change with the calendar it gives; nothing where there is no calendar to begin with.

    a : of the site on its burn date
    """
    if a.calendar is None:
        return ()
    found = []
    for told, site in _changes(a):
        changed = assess(site, a.terrain, on=a.on, today=a.today).calendar
        if changed is not None:
            laid, slow = changed.laid, changed.slow
            found.append(Help(told, laid.last_burn_day, sum(laid.left.values()), sum(slow.left.values())))
    return tuple(found)


def _changes(a: Assessment) -> Iterator[tuple[Reason, Site]]:
    """Each change, with the people it takes."""
    site, season = a.source, a.source.section("season")
    run = _last_kiln(a)
    kiln = None if run is None else site.item("kilns", run.id)
    if run is not None and kiln is not None:
        more = site.with_item("kilns", kiln.values.put(count=(kiln.integer("count") or 1) + 1))
        yield reason("season.help_kiln", name=kiln.name, people=run.feeders), _crew(more, run.feeders)
        fed, alight = _fed(site), sum(each.units for each in a.kilns)
        yield reason("season.help_feeder", people=alight), _crew(fed, alight, feeders=run.feeders + 1)
    raking = int(tables.load("quench")["people_raking"]["value"])
    rakers = site.section("crew").integer("rakers") or 1
    yield reason("season.help_rakers", people=raking), _crew(site, raking, rakers=rakers + 1)
    if season.has("work_days") or season.integer("days_per_week") != 7:
        yield reason("season.help_week"), _season(site, work_days=None, days_per_week=7)
    if season.has("day_starts") or season.has("day_ends"):
        yield reason("season.help_light"), _season(site, day_starts=None, day_ends=None)
    turned = _still_wet(a)
    if turned:
        yield reason("season.help_turn", names=tuple(heap.name for heap in turned)), _turned(a, turned)
    yield reason("season.help_less", share=percent(100 * LESS_STOCK)), _less(a)


def _last_kiln(a: Assessment) -> KilnRun | None:
    """The kiln that is done last, at the place it is done."""
    laid = a.calendar.laid if a.calendar else None
    left = [] if laid is None else [key for key, count in laid.left.items() if count]
    if laid is None or not (left or laid.burn_days):
        return None
    spot = left[0] if left else laid.burn_days[-1].batches[0][0]
    return next((run for run in a.kilns if run.spot == spot), None)


def _crew(site: Site, more: int, **said: Any) -> Site:
    """The site with so many more adults, and what else is said of the crew."""
    crew = site.section("crew")
    adults = crew.integer("adults")
    return site.with_member("crew", crew.values.put(**said, adults=None if adults is None else adults + more))


def _season(site: Site, **said: Any) -> Site:
    return site.with_member("season", site.section("season").values.put(**said))


def _fed(site: Site) -> Site:
    """The site with the feeders of its crew alone: those of a kiln or a spot would stand before them."""
    site = site.put(*(spot.with_values(feeders=None) for spot in site.of_kind("kiln_spot")))
    for kiln in site.equipment("kilns"):
        site = site.with_item("kilns", kiln.values.put(feeders=None))
    return site


def _still_wet(a: Assessment) -> tuple[Feature, ...]:
    """Piles nobody turned that are likely not dry yet."""
    looked = a.today or a.on
    wet = {each.heap for each in a.drying if each.place == "bottom" and _later(each.ready, looked)}
    heaps = a.source.of_kind("pile")
    return tuple(heap for heap in heaps if heap.id in wet and heap.date("turned_on") is None)


def _later(day: dt.date | None, than: dt.date | None) -> bool:
    return day is None or (than is not None and day > than)


def _turned(a: Assessment, heaps: tuple[Feature, ...]) -> Site:
    """The site with heaps turned on the day somebody looks, the earliest there is."""
    looked = a.today or a.on
    day = None if looked is None else looked.isoformat()
    return a.source.put(*(heap.with_values(turned_on=day) for heap in heaps))


def _less(a: Assessment) -> Site:
    changed = []
    for item in a.slash.items:
        heap = a.source.get(item.id)
        if heap is not None and heap.kind in HEAPS and item.dry_t.likely > 0:
            share = LESS_STOCK * item.char_stock_dry_t.likely / item.dry_t.likely
            values = {"char_stock_fraction": share, "char_stock_fraction_low": None, "char_stock_fraction_high": None}
            changed.append(heap.with_values(**values))
    return a.source.put(*changed)
