"""The decision sheet: what somebody who must say yes or no reads, on one side."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.plan.model import Sheet
from sitemap.plan.parts import page_one
from sitemap.plan.phrases import Words


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """The one sheet."""
    blocks = (page_one.page_one(a),)
    return (Sheet("decision", words("decision.title"), blocks, one_side=False, body_pt=8),)
