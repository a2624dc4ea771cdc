"""What the log teaches, before and after side by side."""

from __future__ import annotations

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.season.log_of_site import LABELS
from sitemap.telling import sentence
from sitemap.units import range_text
from sitemap.views.figures import table
from sitemap.views.frame import plain
from sitemap.wording import capital


def show(a: Assessment) -> None:
    """A sentence and a table for every kiln with a row in the log; the calendar goes by it."""
    told = [each for each in a.taught if each.told]
    if not told:
        st.caption(
            "A row with its date and the name of the kiln spot counts as a batch burned; with lit, water on, buckets "
            "and water it corrects hours, fill and quench of the batches to come, and clock and calendar with them: "
            "longer hours and more water at once, shorter and less from three batches on; with a bucket weighed, wood "
            "weighed in, or trips timed also weight of char, yield and haul speed."
        )
        return
    for each in told:
        st.markdown("  \n".join(plain(sentence(why, a.source.units)) for why in each.told))
    table(
        [
            {
                "Kiln": each.name,
                "What": capital(LABELS[lesson.quantity]),
                "Before": range_text(*lesson.before, lesson.unit, a.source.units, 2),
                "After": range_text(*lesson.after, lesson.unit, a.source.units, 2),
                "Batches that tell": f"{lesson.count}",
            }
            for each in told
            for lesson in each.lessons
        ]
    )
