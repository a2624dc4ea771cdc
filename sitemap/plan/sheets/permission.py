"""The permission sheet: what an authority asks, with room for number and signature."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.plan.model import Sheet
from sitemap.plan.parts import day
from sitemap.plan.phrases import Words


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """The one sheet."""
    blocks = (day.sign(a),)
    return (Sheet("permission", words("permission.title"), blocks, one_side=False, body_pt=9),)
