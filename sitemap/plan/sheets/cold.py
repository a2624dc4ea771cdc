"""The cold sheet: it stays on site until everything is cold."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.plan.model import Sheet
from sitemap.plan.parts import afterwards
from sitemap.plan.phrases import Words


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """The one sheet."""
    blocks = (afterwards.cold_checks(a), afterwards.bags(a))
    return (Sheet("cold", words("cold.title"), blocks, one_side=False, body_pt=8),)
