"""Where a site lies: its coordinate, and what follows from it, time zone and units."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

from sitemap.errors import BadValue
from sitemap.geodesy.coordinates import parse
from sitemap.geodesy.zones import units_of_zone, zone_at, zone_named
from sitemap.maps.bundle import bundle
from sitemap.maps.framework import PARTS
from sitemap.site.check import check
from sitemap.site.model import Site
from sitemap.site.on_plane import plane_of_site
from sitemap.views import state
from sitemap.views.figures import wrong
from sitemap.wording import SYSTEM_NAMES, told

_ZONE, _WHERE, _WRONG = "site.zone", "begin.where", "begin.wrong"
_PLACE = "place"  # member of the site: the coordinate a person gave
_FIELD = ".st-key-begin-where input"
_CLOSE = 17.0  # zoom of the map on which a few hectares fill the screen

_first = st.components.v2.component("pitstead_begin", js=bundle(Path(__file__).with_name("begin.js")))


def zone() -> None:
    """The time zone: typed, or taken from the place by one touch."""
    site = state.site()
    st.text_input(
        "Time zone",
        **state.text(_ZONE, site.timezone or ""),
        placeholder="America/Denver, or UTC-7",
        help="The clock needs it. A name keeps summer time; a bare offset does not.",
        on_change=state.guarded(_keep_zone),
    )
    wrong(next((note.told(site.units) for note in check(site) if note.what == "timezone"), ""))
    plane = plane_of_site(site)
    found = zone_at(plane.lon0, plane.lat0) if plane is not None else None
    if found and not site.timezone:
        st.button(f"Take {found}, from the place", key="site.zone.take", on_click=state.guarded(_take), args=(found,))


def _keep_zone() -> None:
    _take(zone_named(state.typed(_ZONE) or "") or None)


def _take(name: str | None) -> None:
    state.edit("Time zone", state.site().with_member("timezone", name))


def begin() -> None:
    """For a site with nothing on it: the coordinate at which the map looks, with time zone and units from it."""
    with st.container(border=True, key="begin"):
        st.markdown(
            "**Your own site.** Say where it is: a coordinate in any form, from a phone, a paper map or the permit."
        )
        st.text_input(
            "Where is it?",
            key=_WHERE,
            placeholder="44.2871, -120.6125",
            help="Also 44°17.226′N 120°36.750′W, or a grid reference such as 10T 690900 4906800.",
            on_change=state.guarded(_look),
        )
        wrong(state.remember(_WRONG, ""))
        site = state.site()
        look_at = looks_at(site)
        if look_at is None:
            _first(key="begin.first", data={"site": state.kept().link, "field": _FIELD, "place": PARTS["element"]})
        else:
            zone_said = f", time zone {site.timezone}" if site.timezone else ""
            st.markdown(
                f"The map looks at {look_at[1]:.5f}, {look_at[0]:.5f}{zone_said}, units {SYSTEM_NAMES[site.units]}. "
                "Now draw on it: *+ Add*. A picture of the ground can be laid below it."
            )


def _look() -> None:
    typed = str(state.typed(_WHERE) or "").strip()
    state.put(_WRONG, "")
    if not typed:
        return
    try:
        lon, lat = parse(typed)
    except BadValue as bad:
        state.put(_WRONG, told(bad.reason, state.site().units))
        return
    state.put("look_at", (lon, lat, _CLOSE))
    state.edit("Said where the site is", placed(state.site(), lon, lat))


def looks_at(site: Site) -> tuple[float, float, float] | None:
    """Where the map is told to look, longitude, latitude and zoom: as said a moment ago, and on a site with nothing on
    it as it was said and kept; None leaves it to what is drawn."""
    said: tuple[float, float, float] | None = state.remember("look_at", None)
    kept = site.member.get(_PLACE)
    if said is None and not site.features and isinstance(kept, str):
        try:
            return (*parse(kept), _CLOSE)
        except BadValue:
            return None
    return said


def placed(site: Site, lon: float, lat: float) -> Site:
    """An empty site with the time zone of a place and the units usual there; what somebody chose before stays.

    lon, lat : WGS 84 [deg]
    """
    site = site.with_member(_PLACE, f"{lat:.6f}, {lon:.6f}")
    if site.timezone:
        return site
    found = zone_at(lon, lat)
    return site.with_member("timezone", found).with_member("units", units_of_zone(found)) if found else site
