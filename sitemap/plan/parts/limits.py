"""The strictest limits of wind and air, the permit's own beside ours, where the crew reads them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from sitemap.assessment import Assessment
from sitemap.plan.model import Block, Paragraph, Table
from sitemap.plan.phrases import Words
from sitemap.reasons import Quantity
from sitemap.safety.limits_of_site import HEIGHTS_M, Limit, limits_of
from sitemap.units import from_display, to_display


def limits_table(a: Assessment, words: Words) -> Iterator[Block]:
    """Wind and gust at eye level, humidity and temperature: inside limits, where nothing burns, whose limit it is."""
    permit = a.source.section("permit")
    limits = limits_of(permit)
    yield Table("", words.lines("decision.limit_heads"), limit_rows(a, words), (24, 25, 26, 15))
    notes = [words("decision.limits_note")]
    for limit in limits:
        if (aloft := permit_aloft(limit, a, words)) is not None:
            notes.append(words(f"decision.limits_{limit.key}", wind=stop_at(limit, words), aloft=aloft))
    free = permit.flag("none_needed") is True or (
        permit.flag("no_conditions") is True and not permit.text("conditions")
    )
    if all(limit.permit is None for limit in limits) and not free:
        notes.append(words("decision.limits_permit"))
    yield Paragraph(" ".join(notes), "small")


def limit_rows(a: Assessment, words: Words) -> tuple[tuple[str, str, str, str], ...]:
    """What, inside limits, where nothing burns, whose limit that is."""
    return tuple(
        (
            words(f"decision.{limit.key}"),
            _inside(limit, words),
            words("decision.under" if limit.below else "decision.over", value=stop_at(limit, words)),
            words(f"decision.whose_{limit.whose}"),
        )
        for limit in limits_of(a.source.section("permit"))
    )


def stop_rows(a: Assessment, words: Words) -> tuple[tuple[str, str, str], ...]:
    """What, inside limits, and where nothing burns by whose limit; the permit's wind as written there beside it."""
    rows = []
    for limit, (what, inside, stop, whose) in zip(
        limits_of(a.source.section("permit")), limit_rows(a, words), strict=True
    ):
        aloft = permit_aloft(limit, a, words)
        told = f"{stop} ({whose})" if aloft is None else words("decision.by_permit", limit=stop, wind=aloft)
        rows.append((what, inside, told))
    return tuple(rows)


def permit_aloft(limit: Limit, a: Assessment, words: Words) -> str | None:
    """The wind the permit names, where it stops the burn and is meant higher up than the crew reads it."""
    permit = a.source.section("permit")
    at = permit.choice("wind_at")
    if limit.unit != "km_h" or limit.whose == "ours" or at == "eye_level":
        return None
    said = permit.number(f"{limit.key}_km_h") or 0.0
    height = Quantity(HEIGHTS_M[at or "10_m"], "m", 2)
    return words("decision.wind_at" if at else "decision.wind_taken_at", wind=Quantity(said, limit.unit), height=height)


def stop_at(limit: Limit, words: Words) -> Quantity:
    """Where the burn stops, in whole units."""
    return _whole(limit.strictest, limit, words)


def limit_words(a: Assessment, words: Words) -> dict[str, str]:
    """Inside which wind, gust and humidity, and up to which warmth, something burns."""
    found = {limit.key: limit for limit in limits_of(a.source.section("permit"))}
    aloft = {key: permit_aloft(found[key], a, words) for key in ("wind", "gust")}
    warm = words.shown(_whole(found["temperature"].inside[1], found["temperature"], words))
    inside = {key: _inside(found[key], words) for key in ("wind", "gust", "humidity")}
    told = {key: words("decision.by_permit", limit=inside[key], wind=wind) for key, wind in aloft.items() if wind}
    return inside | told | {"warm": warm}


def _inside(limit: Limit, words: Words) -> str:
    low, high = limit.inside
    if high is None:
        return words("decision.from", value=_whole(low, limit, words, up=True))
    most = _whole(high, limit, words)
    if low is None:
        return words("decision.up_to", value=most)
    least = to_display(_whole(low, limit, words, up=True).value, limit.unit, words.units)
    return words("decision.between", low=round(least), high=most)


def _whole(value: float | None, limit: Limit, words: Words, up: bool = False) -> Quantity:
    """A limit in whole units, as one reads them off an instrument, rounded to the strict side."""
    shown = round(to_display(value or 0.0, limit.unit, words.units), 6)
    whole = math.ceil(shown) if up or limit.below else math.floor(shown)
    return Quantity(from_display(whole, limit.unit, words.units), limit.unit)
