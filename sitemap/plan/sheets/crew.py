"""The crew card: what one person at one kiln needs."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.plan.model import Sheet
from sitemap.plan.parts import people
from sitemap.plan.phrases import Words


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """Still one sheet for everybody."""
    blocks = (people.people(a), people.briefing(a))
    return (Sheet("crew", words("crew.title"), blocks, one_side=False, body_pt=9),)
