"""Kilns of which there are fewer than places: how many can be alight at one time, beside the places."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.ahead import in_turn
from sitemap.assessment import Assessment
from sitemap.plan.phrases import Words
from sitemap.plan.say import kiln_mark, shortened

_NAME = 40  # letters


def moved(a: Assessment, words: Words) -> Iterator[str]:
    """A sentence for each such kiln with a place at which it may be lit."""
    for each in in_turn(a):
        places = ", ".join(kiln_mark(a, spot) for spot in each.spots)
        yield words("shared.moved", kiln=shortened(each.kiln, _NAME), count=each.count, places=places)
