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
        st.markdown(
            "Batches written down correct the hours, the fill and the water of those to come, in clock and calendar "
            "too: what took longer or more counts at once, what took less from three batches on."
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
