"""The day sheet: what is filled in on the burn day."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.plan.model import Sheet
from sitemap.plan.parts import day, water
from sitemap.plan.phrases import Words


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """One sheet a day."""
    blocks = (water.stopping_early(a), day.before_lighting(a), day.log(a))
    return (Sheet("day", words("day.title"), blocks, one_side=False, body_pt=8),)
