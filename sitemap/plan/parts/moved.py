"""Kilns of which there are fewer than places: how many can be alight at one time, beside the places."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment
from sitemap.plan.phrases import Words
from sitemap.plan.say import kiln_mark, shortened

_NAME = 40  # letters


def moved(a: Assessment, words: Words) -> Iterator[str]:
    """A sentence for each such kiln with a place at which it may be lit."""
    counts = {kiln.id: kiln.integer("count") or 1 for kiln in a.source.equipment("kilns")}
    lit = {decision.spot for decision in a.decisions if decision.may_be_lit}
    places: dict[tuple[str, str], list[str]] = {}
    for run in a.kilns:
        if run.moved and run.spot in lit:
            places.setdefault((run.id, run.name), []).append(kiln_mark(a, run.spot))
    for (key, name), marks in places.items():
        if len(marks) > counts.get(key, 1):
            yield words("shared.moved", kiln=shortened(name, _NAME), count=counts.get(key, 1), places=", ".join(marks))
