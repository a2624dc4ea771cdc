"""Whom to call and how, and where to go: the same on every card but for the kiln's own place."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment
from sitemap.day.of_site import ways_that_count
from sitemap.geodesy.coordinates import degrees_minutes
from sitemap.plan.model import Block, Facts, Section
from sitemap.plan.near import nearest, way_to
from sitemap.plan.parts.who_where import lon_lat
from sitemap.plan.phrases import Words
from sitemap.plan.say import LETTERS, entered, shortened
from sitemap.site.model import Entry, Feature

_WAYS_OUT = 2  # more are on the map
_TEXT = 120  # letters of a text typed by somebody


def calls(a: Assessment, words: Words, kiln: Feature | None) -> tuple[Block, ...]:
    """Two heads: whom to call, and the way out."""
    return (
        Section("card_call", words("crew.call"), (Facts(tuple(_call(a, words, kiln))),)),
        Section("card_way_out", words("crew.way_out"), (Facts(tuple(_way_out(a, words, kiln))),)),
    )


def _call(a: Assessment, words: Words, kiln: Feature | None) -> Iterator[tuple[str, str]]:
    crew, permit, unknown = a.source.section("crew"), a.source.section("permit"), words("crew.ask")

    def typed(name: str, entry: Entry = crew) -> str:
        return shortened(entered(entry, name, unknown), _TEXT)

    yield words("crew.emergency"), typed("emergency")
    place = lon_lat(kiln) or lon_lat(next(iter(a.source.of_kind("kiln_spot", "gate")), None))
    where = unknown if place is None else degrees_minutes(*place)
    yield (
        words("crew.say"),
        words("crew.say_this", site=shortened(a.source.name, LETTERS), place=where, way=typed("directions")),
    )
    yield words("crew.leader"), f"{typed('leader')}, {typed('phone')}"
    yield words("crew.authority"), f"{typed('authority', permit)}, {typed('phone', permit)}"
    yield words("crew.signal"), typed("radio")
    yield words("crew.first_aid"), f"{typed('first_aid')}; {typed('hospital')}"


def _way_out(a: Assessment, words: Words, kiln: Feature | None) -> Iterator[tuple[str, str]]:
    drawn = a.source.of_kind("escape_route")
    ways = drawn if kiln is None else ways_that_count(a.source, kiln)
    none = words("crew.no_way_counts" if len(ways) < min(len(drawn), _WAYS_OUT) else "crew.no_way")
    for number in range(_WAYS_OUT):
        label = words("crew.way", number=number + 1)
        yield label, _there(a, words, kiln, ways[number]) if number < len(ways) else none
    places = {"meeting_point": a.source.of_kind("meeting_point"), "refuge": nearest(a, kiln, "refuge")}
    for kind, found in places.items():
        yield words(f"crew.{kind}"), _there(a, words, kiln, found[0]) if found else words("crew.not_on_map")


def _there(a: Assessment, words: Words, kiln: Feature | None, feature: Feature) -> str:
    away = way_to(a, words, kiln, feature) if kiln else ""
    return f"{shortened(feature.name, LETTERS)}{f', {away}' if away else ''}"
