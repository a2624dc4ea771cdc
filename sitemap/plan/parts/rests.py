"""The three things the plan rests on most: what widens the amount, the distance and the lift with least to spare."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from sitemap.assessment import Assessment
from sitemap.plan.phrases import Words
from sitemap.plan.say import short_kiln, shortened, spots_in_use
from sitemap.reasons import KilnName, Quantity, Term, metres
from sitemap.safety.setbacks import Setback

MOST = 3


def rests(a: Assessment, words: Words, letters: int) -> tuple[str, ...]:
    """At most three sentences, one of each sort first; letters : of a name."""
    slash, others = _slash(a, words, letters), (*_distance(a, words, letters), *_lift(a, words, letters))
    first = tuple(islice(slash, MOST - len(others)))
    return (*first, *others)


def _slash(a: Assessment, words: Words, letters: int) -> Iterator[str]:
    if not a.slash.drivers:
        yield words("decision.rests_nothing")
    for driver in a.slash.drivers:
        feature = a.source.get(driver.about)
        yield words(
            "decision.rests_slash",
            what=driver.what,
            whose=shortened(feature.name, letters) if feature is not None else words("decision.all_heaps"),
            basis=Term(driver.basis),
            half=Quantity(driver.half_range, "fraction", 2),
        )


def _distance(a: Assessment, words: Words, letters: int) -> Iterator[str]:
    kept = [
        (setback, spot)
        for spot in spots_in_use(a)
        for setback in spot.setbacks
        if setback.verdict == "far enough" and setback.margin_m is not None
    ]
    if kept:
        least, spot = min(kept, key=lambda pair: spare_m(pair[0]))
        kiln = least.kind == "kiln_spot"
        other = short_kiln(a, least.feature, letters) if kiln else shortened(least.name, letters)
        yield words(
            "decision.rests_distance",
            kiln=KilnName(short_kiln(a, spot.id, letters)),
            other=KilnName(other) if kiln else other,
            distance=metres(least.distance_m or 0.0),
            spare=metres(spare_m(least), 2, "down"),
        )


def _lift(a: Assessment, words: Words, letters: int) -> Iterator[str]:
    lines = [
        (wet.quench.flip_m, spot) for spot in spots_in_use(a) if (wet := a.water.of_spot(spot.id) if a.water else None)
    ]
    lifts = [(flip_m, spot) for flip_m, spot in lines if flip_m is not None and flip_m > 0]
    if lifts:
        flip_m, spot = min(lifts, key=lambda pair: pair[0])
        yield words(
            "decision.rests_lift", kiln=KilnName(short_kiln(a, spot.id, letters)), flip=metres(flip_m, 2, "down")
        )


def spare_m(setback: Setback) -> float:
    """How much nearer [m] a thing may be than the map says before the distance must be measured."""
    return (setback.margin_m or 0.0) - (setback.error_m or 0.0)
