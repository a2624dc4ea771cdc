"""Where a kiln may stand, where the water still reaches, and the spots that make the least work."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import streamlit as st
from shapely.geometry import Point, mapping

from sitemap.assessment import Assessment
from sitemap.maps.draw import map_view
from sitemap.maps.ground import ground_overlays
from sitemap.maps.scene import Edits, Overlay
from sitemap.reasons import Reason
from sitemap.site.attributes import Attribute
from sitemap.site.model import Item
from sitemap.siting.of_site import left_out_of, reaches_of, usable_of
from sitemap.siting.paper import said
from sitemap.siting.propose import Placing, in_a_row, placed
from sitemap.siting.reach import ENDS, Reach
from sitemap.siting.usable import Bar
from sitemap.telling import sentence, tell
from sitemap.units import text
from sitemap.views import state, working
from sitemap.views.figures import figures
from sitemap.views.folds import fold
from sitemap.views.frame import page, plain, to_map
from sitemap.views.inputs import drafts
from sitemap.views.map import backdrop, canvas, layout, panel
from sitemap.views.map.adding import new_feature
from sitemap.wording import capital

_WAYS = {"hose": "by hose", "haul": "by machine", "hand": "carried by hand"}
_HINT = "Touch the ground anywhere: may a kiln stand there, and if not, why?"
_MOST = Attribute("spots", "Kiln spots at most", "integer", low=1, high=6)
_COUNT = Attribute("kilns", "Kilns on hand", "integer", low=1, high=20)
_KEYS, _USUAL_SPOTS = ("draft.place.most", "draft.place.count"), "3"
_BARS_SHOWN = 8  # more lines than that nobody reads
_SHOWN = {
    "usable": "where a kiln may stand (green), and what bars the rest (striped)",
    "water": "where the water reaches",
    "spots": "proposed spots",
}


def _reach_name(a: Assessment, reach: Reach) -> str:
    source = a.source.get(reach.source_id)
    without = ", without its relay" if reach.relayed else ""
    return f"{source.name if source else reach.source_id}, {_WAYS[reach.way]}{without}"


def _taken(edits: Edits) -> None:
    if edits.clicked:
        state.put("asked_at", edits.clicked)


def _overlays(
    a: Assessment, shown: list[str], kiln: Item | None, reach: Reach | None, found: Placing | None
) -> tuple[Overlay, ...]:
    plane = a.plane
    if plane is None:
        return ()
    made: list[Overlay] = []
    if "usable" in shown:
        made += ground_overlays(usable_of(a, kiln), plane)
    if "water" in shown and reach is not None and not reach.area.is_empty:
        made.append(Overlay("reach", mapping(plane.inverse(reach.area))))
    if "spots" in shown and found is not None and found.proposals:
        best = found.proposals[state.remember("proposal", 0) % len(found.proposals)]
        for number, spot in enumerate(best.spots, start=1):
            made += [Overlay("haul", mapping(way)) for way in spot.ways]
            made.append(Overlay("proposed", mapping(Point(spot.lon, spot.lat)), str(number)))
    return tuple(made)


def _seek(kiln: Item | None) -> None:
    spots, kilns = (
        drafts.read(each, str(state.typed(key) or "")) for each, key in zip((_MOST, _COUNT), _KEYS, strict=True)
    )
    held, today = state.kept(), dt.date.today()
    task = (
        held.site,
        state.terrain(),
        (state.burn_date(), today),
        int(spots or 1),
        int(kilns or 1),
        kiln.id if kiln else None,
    )

    def found(placing: Placing) -> None:
        state.put("placing", (held.link, held.revision, placing))

    working.begin("Looking for spots", placed, *task, then=found, telling=_told)


def _told(share: float, doing: Reason) -> tuple[float, str]:
    return share, capital(tell(doing))


def _found() -> Placing | None:
    held = state.remember("placing", None)
    if held is None or held[0] != state.kept().link:
        return None
    return held[2]


def _take(number: int) -> None:
    """Turn a proposal into kiln spots."""
    found, site = _found(), state.site()
    if found is None:
        return
    places = [(spot.lon, spot.lat) for spot in found.proposals[number].spots]
    on_hand, kiln = int(drafts.read(_COUNT, str(state.typed(_KEYS[1]))) or 1), found.kiln
    if len(places) == 1 and on_hand > 1:
        row = in_a_row(state.assessment(), found.proposals[number].spots[0], on_hand, kiln)
        if not row:
            state.say(f"A row of {on_hand} kilns across the wind has no room near there: one was put.")
        places = list(row) or places
    for lon, lat in places:
        where = {"type": "Point", "coordinates": [round(lon, 7), round(lat, 7)]}
        site = site.put(new_feature(site, "kiln_spot", where, kiln.id if kiln is not None else None))
    state.edit(f"Took {len(places)} proposed kiln spots", site)


def _choose(number: int) -> None:
    state.put("proposal", number)


def _proposals(found: Placing, units: str) -> None:
    if found.why:
        st.info(plain(said(found.why, units)))
    chosen = state.remember("proposal", 0)
    held = state.remember("placing", None)
    if held is not None and held[1] != state.kept().revision:
        st.caption("The site has changed since: look again.")
    if found.kiln is not None and found.kiln.id != state.typed("place.kiln"):
        st.caption(f"These were sought for {plain(found.kiln.name)}: look again for another kiln.")
    for number, proposal in enumerate(found.proposals):
        count = len(proposal.spots)
        with st.container(border=True):
            mark = "▶ " if number == chosen else ""
            st.markdown(f"**{mark}{count} kiln spot{'s' * (count > 1)}**: {plain(said(proposal.findings, units))}")
            for place_number, spot in enumerate(proposal.spots, start=1):
                st.caption(plain(f"{place_number}. {said(spot.findings, units)}"))
            show, take = st.columns(2)
            show.button(
                "Show it", key=f"proposal.{number}", on_click=state.guarded(_choose), args=(number,), width="stretch"
            )
            take.button(
                "Put kilns there", key=f"take.{number}", on_click=state.guarded(_take), args=(number,), width="stretch"
            )


def _size(area_m2: float, units: str) -> str:
    return text(area_m2, "m2", units, 2) if area_m2 < 1000 else text(area_m2 / 10_000, "ha", units, 2)


def _why(bar: Bar, units: str) -> str:
    """The reason that bars most of one kind, and how many more there are like it."""
    more = len(bar.reasons) - 1
    return sentence(bar.reasons[0], units) + (f" {more} more like it." if more else "")


def _barred(a: Assessment, kiln: Item | None) -> None:
    usable = usable_of(a, kiln)
    units = a.source.units
    worked = usable.work_area.area / 10_000 if usable.work_area is not None else None
    figures(
        (
            ("Usable ground", text(usable.area.area / 10_000, "ha", units, 2)),
            ("Ground where the crew works", text(worked, "ha", units, 2) if worked else "not drawn"),
        ),
        "Usable means that nothing entered speaks against it. It is not a permission.",
    )

    def bars() -> None:
        if not usable.bars:
            st.markdown("Nothing that was entered.")
        for bar in usable.bars[:_BARS_SHOWN]:
            st.markdown(f"- {_size(bar.area_m2, units)}: {plain(_why(bar, units))}")
        st.caption("Of the ground where the crew works, the largest first; ground barred twice counts twice.")

    fold("What bars the rest", "place.bars", bars)


with page("place"):
    a = state.assessment()
    if a.plane is None or not a.source.of_kind("logged_area"):
        st.info("Draw the logged area on the map first, then the heaps and what a fire must keep clear of.")
        to_map("Draw it on the map", "place.map.draw", "logged_area")
    else:
        left, right = layout.beside()
        with right:
            kilns = {item.id: item for item in a.source.equipment("kilns")}
            kiln = None
            if kilns:
                names = {key: item.name for key, item in kilns.items()}
                kiln = kilns[
                    st.selectbox("For which kiln", list(kilns), format_func=names.__getitem__, key="place.kiln")
                ]
            with st.container(gap=None, key="place.shown"):
                st.caption("On the map")
                shown = [key for key, words in _SHOWN.items() if st.checkbox(words, key != "water", key=f"place.{key}")]
            reach = None
            reaches = {f"{r.source_id}/{r.way}": r for r in reaches_of(a, kiln)}
            if "water" in shown and reaches:
                ways = {key: _reach_name(a, each) for key, each in reaches.items()}
                reach = reaches[st.selectbox("Water of", list(ways), format_func=ways.__getitem__, key="place.reach")]
                without = left_out_of(reach, a)
                if without:
                    st.markdown(sentence(without, a.source.units))
                for limit, line in reach.edges:
                    if limit != "within":
                        st.markdown(f"{text(line.length, 'm', a.source.units, 2)} of its edge: {tell(ENDS[limit])}.")
            if a.terrain is None:
                st.markdown(
                    "No elevation raster: the ground is taken as level, slopes are not known. Add one on the map."
                )
            spots = drafts.number(st.container(), _MOST, _KEYS[0], _USUAL_SPOTS)
            count = drafts.number(st.container(), _COUNT, _KEYS[1], f"{max(len(kilns), 1)}")
            ready = spots is not None and count is not None
            st.button(
                "Propose the best spots",
                type="primary",
                width="stretch",
                key="place.go",
                disabled=not ready,
                on_click=state.guarded(_seek),
                args=(kiln,),
            )
        with left:
            found = _found()
            look_at = state.remember("look_at", None)
            drawn = (*_overlays(a, shown, kiln, reach, found), *panel.asked_about())
            view = map_view(a, state.kept().link, None, look_at, backdrop.chosen(), drawn, ())
            canvas.show(replace(view, hint=_HINT, amid=True), "place.map", _taken)
        with right:
            panel.asked_here(a, kiln)
            if found is not None:
                _proposals(found, a.source.units)
            _barred(a, kiln)
