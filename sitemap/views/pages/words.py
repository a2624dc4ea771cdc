"""What the words mean, and where the figures come from."""

from __future__ import annotations

import streamlit as st

from sitemap import tables
from sitemap.maps.symbols import symbol_of
from sitemap.notes import sentence
from sitemap.plan.parts.figures import TITLES, row_name, row_value
from sitemap.site.grid import heading
from sitemap.site.kinds import KINDS
from sitemap.views import state
from sitemap.views.figures import table
from sitemap.views.frame import page
from sitemap.views.inputs.fields import help_of
from sitemap.wording import capital, glossary

_TITLES = {
    **TITLES,
    "fuel_moisture": "moisture of the wood",
    "setbacks": "distances, our cautious rows",
    "setback_examples": "distances, published examples",
}

with page("words"):
    for word, meaning in glossary().items():
        st.markdown(f"**{capital(word)}.** {sentence(meaning)}")
    st.markdown("#### What can stand on the map")
    for group in dict.fromkeys(kind.group for kind in KINDS.values()):
        with st.expander(group):
            for kind in (k for k in KINDS.values() if k.group == group):
                st.markdown(f"**{kind.label}** ({symbol_of(kind.key).letter}). {kind.says}")
                said = [a for a in kind.attributes if a.help or a.blank]
                if said:
                    units = state.site().units
                    st.markdown("\n".join(f"- {heading(a, units)}: {help_of(a, units)}" for a in said))
    st.markdown("#### Where figures come from")
    st.caption("; ".join(f"{key}: {meaning}" for key, meaning in tables.EVIDENCE_LEVELS.items()))
    for name in tables.names():
        with st.expander(_TITLES.get(name, name.replace("_", " ")).capitalize()):
            table(
                [
                    {
                        "Figure": row_name(row),
                        "Value": row_value(row, state.site().units) or "–",
                        "Source": row.source,
                        "Evidence": tables.EVIDENCE_LEVELS[row.evidence],
                    }
                    for row in tables.load(name).values()
                ]
            )
