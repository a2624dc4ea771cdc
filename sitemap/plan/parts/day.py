"""Who signs for the day."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.plan.model import Blanks, Paragraph, Section
from sitemap.plan.say import day, spots_to_light
from sitemap.wording import kilns_called


def sign(a: Assessment) -> Section:
    """Who answers for it."""
    leader = a.source.section("crew").text("leader")
    blanks = Blanks(
        (
            f"In charge{f' ({leader})' if leader else ''}: I have read this plan and walked the site, name, date, time",
            "Officer or authority: name, date, permit",
            "Owner of the ground: name, date",
            "Closed: every kiln cold, name, date",
        )
    )
    lit = [spot.name for spot in spots_to_light(a)]
    if not lit:
        return Section(
            "sign", "Signed", (Paragraph("No kiln may be lit as the site stands: there is nothing to sign."),)
        )
    return Section("sign", "Signed", (Paragraph(f"Signed for {kilns_called(lit)}, {day(a.on)}."), blanks))
