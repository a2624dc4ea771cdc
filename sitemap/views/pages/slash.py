"""How much slash there is, and what each figure rests on."""

from __future__ import annotations

import streamlit as st

from sitemap.site.kinds import SLASH
from sitemap.summary import said
from sitemap.telling import tell
from sitemap.views import charts, state
from sitemap.views.figures import figures, table
from sitemap.views.frame import page, plain
from sitemap.views.inputs.noted import notes, show_button
from sitemap.wording import basis, capital

with page("slash"):
    a = state.assessment()
    slash, units = a.slash, a.source.units
    if not slash.counted:
        st.info(
            "No slash yet. Draw piles and windrows on the map, or type them in the grid of *Walk and survey*. A "
            "length, a width and a height are enough to begin with; all else may be left blank and is then assumed."
        )
    else:
        figures(
            (
                ("Dry slash", said(slash.dry_t, "t", units)),
                ("Per logged area", said(slash.dry_t_per_ha, "t_ha", units)),
                ("Char stock", said(slash.char_stock_dry_t, "t", units)),
                ("Too thick for the kiln", said(slash.oversize_dry_t, "t", units)),
                ("Fines and dirt", said(slash.fines_dry_t, "t", units)),
                ("Green weight", said(slash.green_t, "t", units)),
            ),
            "Likely, and in brackets the ends between which it lies eight times out of ten.",
        )
        st.markdown("#### Heap by heap")
        charts.range_bars(
            [(item.name, *item.dry_t.triple()) for item in slash.items],
            "t",
            units,
            "Dry slash, low to high, likely marked",
        )
        table(
            [
                {
                    "Heap": item.name,
                    "Volume as it lies": said(item.gross_m3, "m3", units) if item.gross_m3 else "–",
                    "Dry": said(item.dry_t, "t", units),
                    "Char stock": said(item.char_stock_dry_t, "t", units),
                    "Rests on": basis(item.basis),
                }
                for item in slash.items
            ]
        )
        st.markdown("#### What widens the range most")
        st.caption("The second walk is short: measure these first.")
        for driver in slash.drivers[:5]:
            name = (
                "all heaps"
                if driver.about == "site"
                else (f.name if (f := a.source.get(driver.about)) else driver.about)
            )
            st.markdown(
                f"**{capital(tell(driver.what))}**, {plain(name)}: {driver.basis}; "
                f"{driver.share:.0%} of the spread, ± {driver.half_range:.0%} by itself"
            )
            if driver.about != "site" and a.source.get(driver.about):
                show_button(driver.about, f"Show {name}", f"driver.{driver.about}.{driver.quantity}")
        st.caption(
            "The shape alone moves a heap's volume from half (cone) over one (dome) to nearly twice (block) for the "
            "same three measures. Until a heap is weighed, the tonnage may be half as much again or a third less."
        )
    about_slash = (*SLASH, "logged_area")
    ids = {f.id for f in a.source.of_kind(*about_slash)} | {"site"}
    notes((note for note in slash.unknowns if note.about in ids), "Not known", "slash.unknown")
    notes((note for note in slash.assumed if note.about in ids), "Assumed", "slash.assumed")
