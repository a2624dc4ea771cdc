"""How high kilns stand above their water, typed once for all of a source that nobody knows yet; each can be changed."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.errors import BadValue
from sitemap.reasons import reason
from sitemap.site.equipment import RECORDS
from sitemap.site.frozen import thaw
from sitemap.site.grid import heading
from sitemap.site.model import Site
from sitemap.units import unit_label
from sitemap.views import state
from sitemap.views.figures import wrong
from sitemap.views.frame import plain
from sitemap.views.inputs import drafts
from sitemap.wording import listed, told

_ATTRIBUTES = {attribute.name: attribute for attribute in RECORDS["links"].attributes}
_SOURCE, _HEIGHT, _OFF, _WRONG = (f"draft.heights.{name}" for name in ("source", "lift", "off", "wrong"))
_FEW = 2  # of fewer kilns each has its own line


def show(a: Assessment) -> None:
    """The line, as long as several kilns of a source have no height: neither typed nor from the ground."""
    site = a.source
    without = {source.id: blank(a, source.id) for source in site.of_kind("water_source")}
    sources = {key: spots for key, spots in without.items() if len(spots) >= _FEW}
    if not sources:
        return
    names = {feature.id: feature.name for feature in site.features}
    with st.container(border=True, key="heights"):
        source = next(iter(sources))
        if len(sources) > 1:
            source = st.selectbox("Water source", list(sources), format_func=names.__getitem__, key=_SOURCE)
        spots = sources[source]
        st.markdown(
            plain(f"How high {listed([names[spot] for spot in spots])} stand above the water of {names[source]} ")
            + "is not known. One figure does for all of them where its ± reaches from the lowest to the highest; "
            "*Heights and bucket tests* then takes another for any of them."
        )
        height, off, go = st.columns([1.6, 1, 1.2], vertical_alignment="bottom")
        drafts.text(height, heading(_ATTRIBUTES["lift_m"], site.units), _HEIGHT, placeholder="−5 is below it")
        drafts.text(off, f"± for all ({unit_label('m', site.units)})", _OFF)
        go.button(
            f"Take it for {len(spots)} kilns",
            key="heights.go",
            on_click=state.guarded(_keep),
            args=(source, spots),
            width="stretch",
        )
        wrong(state.remember(_WRONG, ""))


def blank(a: Assessment, source: str) -> tuple[str, ...]:
    """Ids of the kiln spots of which nobody knows how high they stand above a water source, by its id."""
    links = [link for link in a.source.records("links") if link.text("source") == source]
    known = {link.text("spot") for link in links if link.has("lift_m")}
    water = a.water.spots if a.water is not None else ()
    known |= {spot.spot_id for spot in water for e in spot.entries if e.source == source and e.lift_m is not None}
    return tuple(spot.id for spot in a.source.of_kind("kiln_spot") if spot.id not in known)


def _keep(source: str, spots: tuple[str, ...]) -> None:
    site, typed = state.site(), {"lift_m": state.typed(_HEIGHT), "lift_error_m": state.typed(_OFF)}
    try:
        values = {name: drafts.read(_ATTRIBUTES[name], str(each or "")) for name, each in typed.items()}
        if None in values.values():
            raise BadValue(reason("site.say_how_high"))
    except BadValue as bad:
        state.put(_WRONG, told(bad.reason, site.units))
        return
    state.put(_WRONG, "")
    state.edit(
        f"Height above the water of {len(spots)} kilns", site.with_member("links", rows(site, source, spots, values))
    )


def rows(site: Site, source: str, spots: Iterable[str], values: dict[str, Any]) -> list[dict[str, Any]]:
    """The links with a height for kiln spots that had none; what else a link says stays.

    source, spots : ids; values : `lift_m` and `lift_error_m`
    """
    held = [thaw(record.values) for record in site.records("links")]
    for spot in spots:
        link = next((row for row in held if (row.get("source"), row.get("spot")) == (source, spot)), None)
        if link is None:
            held.append({"source": source, "spot": spot, **values})
        elif link.get("lift_m") is None:
            link.update(values)
    return held
