"""The map sheet: everything that is placed, on one side."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.plan.model import MapHere, Paragraph, Sheet
from sitemap.plan.phrases import Words


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """The one sheet."""
    note = (Paragraph(words("map.note"), "small"),) if a.plane is not None else ()
    blocks = (MapHere("full", words("map.none")), *note)
    return (Sheet("map", words("map.title"), blocks, one_side=True, body_pt=9),)
