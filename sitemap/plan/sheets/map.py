"""The map sheet: everything that is placed, on one side."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.plan.model import MapHere, Paragraph, Sheet
from sitemap.plan.phrases import Words


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:  # noqa: ARG001
    """The one sheet."""
    blocks = (MapHere("full", words("map.none")), Paragraph(words("map.note"), "small"))
    return (Sheet("map", words("map.title"), blocks, one_side=True, body_pt=9),)
