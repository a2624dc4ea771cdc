"""Beside the map: the verdicts of all kiln spots, or everything about the one thing that is chosen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial

import streamlit as st

from sitemap.assessment import Assessment, SpotReport
from sitemap.day.decision import NOT_HERE, Bar
from sitemap.day.together import together
from sitemap.errors import BadShape
from sitemap.geodesy.coordinates import formats, parse
from sitemap.geodesy.measure import area_ha, length_m
from sitemap.kiln.values import KilnRun
from sitemap.maps.scene import CheckRow, Overlay
from sitemap.maps.verdicts import check_rows, decision_said
from sitemap.notes import kiln_called
from sitemap.safety.effects import CONDITIONAL, PASSES, RULED_OUT
from sitemap.safety.permission import Check
from sitemap.site.check import label_of
from sitemap.site.model import Feature, Item
from sitemap.site.on_plane import plane_of_site
from sitemap.summary import counted, said
from sitemap.telling import tell, word
from sitemap.units import text
from sitemap.views import decided, state
from sitemap.views import figures as figures_of
from sitemap.views.figures import figures, table
from sitemap.views.frame import plain
from sitemap.views.inputs import fields, forms, noted
from sitemap.views.inputs.changing import change
from sitemap.views.leads import DESCRIBED, OF_ACTION, describe, lead
from sitemap.views.map import photos, seen_again
from sitemap.views.map.adding import new_feature
from sitemap.wording import capital, check_label, told, with_unit, without_unit

_FEW = 4  # kilns told one by one
ROWS_SHOWN = 4  # of the distances; the rest is folded
_BESIDE = ("bad_value",)
_LAST_SIZE = "height_m"
_LATELY, _MOST_LATELY = "where lately ", 5  # what the field of a place showed, and of how many places that is kept
CAUTION = (
    "A pass is not a permission. Local codes, the permit, and whoever is trained or licensed for the work come first. "
    "No distance is safe from embers."
)


def show() -> None:
    """The panel."""
    chosen, assessment = state.selected(), state.assessment()
    names = fields.distinct({"": "The whole site", **{f.id: f.once(_called) for f in state.site().features}})
    shown = chosen.id if chosen else ""
    st.selectbox(
        "Shown here",
        list(names),
        **state.choice("panel.choice", list(names), shown, names[shown]),
        format_func=names.__getitem__,
        on_change=state.guarded(_chosen),
        label_visibility="collapsed",
    )
    if chosen is None:
        _whole(assessment)
    else:
        _one(chosen, assessment)


def _called(feature: Feature) -> str:
    """Its kind and name; its name alone where that says the kind already: "Logged area 1"."""
    kind = feature.kind_schema
    return feature.name if kind is not None and feature.name.startswith(kind.label) else label_of(feature)


def _chosen() -> None:
    choice = state.typed("panel.choice")
    if not choice or state.site().get(choice) is not None:  # a name given up meanwhile is no choice of a person
        state.select(choice or None)


def _whole(a: Assessment) -> None:
    asked_here(a)
    if not a.source.features:
        return
    if not a.spots:
        st.info("No kiln spot yet: add one with the buttons on the map, and its verdict stands here.")
    if len(a.spots) <= _FEW:
        for spot in a.spots:
            with st.container(key=f"spot.{spot.id}", gap=None):
                verdict(spot, a)
                _open_button(spot, f"Every check of {plain(spot.name)}")
    else:
        _many(a)
    st.markdown(CAUTION)
    with st.expander(_sums_said(a), key="panel.sums"):
        _batches(a, a.kilns)
        _sums(a)
    seen_again.of_site(a)
    noted.notes(a.unknowns, "Not known yet", "panel.unknown", folded=True)
    noted.notes(a.assumed, "Assumed", "panel.assumed", folded=True)


def _batches(a: Assessment, runs: Iterable[KilnRun]) -> None:
    """What kilns burn and take, in one table."""
    units, names = a.source.units, {spot.id: spot.name for spot in a.spots}
    with st.container(key="panel.batches"):
        table(
            [
                {
                    "Kiln": names.get(run.spot, run.spot),
                    "Batches": counted(run.batches),
                    "Hours each": without_unit(said(run.hours_per_batch, "h", units), "h", units),
                    with_unit("Quench each", "l", units): without_unit(
                        said(run.quench_l_per_batch, "l", units), "l", units
                    ),
                }
                for run in runs
            ]
        )


def _sums_said(a: Assessment) -> str:
    """What the whole site comes to, in a line."""
    units = a.source.units
    slash = said(a.slash.dry_t, "t", units) if a.slash.counted else "not known"
    water = said(a.burn.quench_l, "l", units)
    told = (f"Slash {slash}", f"batches {counted(a.burn.batches)}", f"quench water {water}")
    return "; ".join(each.partition(" (")[0] for each in told)


def _sums(a: Assessment) -> None:
    """What the whole site comes to; what is not known yet in one line, not in figures."""
    units = a.source.units
    sums = {
        "Slash, dry": (a.slash.dry_t if a.slash.counted else None, "t"),
        "Per logged area": (a.slash.dry_t_per_ha, "t_ha"),
        "Kiln batches": (a.burn.batches, ""),
        "Quench water in all": (a.burn.quench_l, "l"),
    }
    known = {label: (value, unit) for label, (value, unit) in sums.items() if value is not None}
    figures((label, said(value, unit, units) if unit else counted(value)) for label, (value, unit) in known.items())
    if len(known) < len(sums):
        names = ", ".join(label.lower() for label in sums if label not in known)
        st.markdown(f"Not known yet: {names}.")


def _many(a: Assessment) -> None:
    """More kilns than a few: those alike are told together, each can be opened."""
    for alike in decided.by_first_step(a):
        with st.container(key=f"spots.{alike.spots[0].id}", gap=None):
            figures_of.verdict(alike.effect, alike.title, alike.first)
            with st.container(key=f"spots.{alike.spots[0].id}.each", horizontal=True, gap="small"):
                for spot in alike.spots:
                    _open_button(spot, plain(spot.name))


def _open_button(spot: SpotReport, words: str) -> None:
    st.button(
        words,
        key=f"show.{spot.id}",
        on_click=state.guarded(state.select),
        args=(spot.id,),
        type="tertiary",
        icon=":material/arrow_forward:",
    )


def verdict(spot: SpotReport, a: Assessment) -> None:
    """The decision on a kiln with what to do first: it reads without colour."""
    decision = a.decision(spot.id)
    if decision is None:
        return
    title = f"{capital(kiln_called(spot.name))}: {decision.word}"
    figures_of.verdict(decision.effect, title, decision_said(decision, a), large=True)


def _one(feature: Feature, a: Assessment) -> None:
    st.button(
        "Back to the whole site", key="panel.back", on_click=state.guarded(state.select), args=(None,), type="tertiary"
    )
    spot = a.spot(feature.id)
    if spot is not None:
        verdict(spot, a)
        decision = a.decision(spot.id)
        if decision is not None and decision.first is not None:
            _way_to(decision.first, spot, 0)
    below = {_LAST_SIZE: partial(_weight, feature, a)}
    below |= {name: partial(describe, name, f"describe.{feature.id}.{name}") for name in DESCRIBED}
    forms.form(
        feature,
        f"f.{feature.id}",
        lambda name, value: change(feature.id, name, value),
        without=("branch_height_m",) if spot is not None and feature.choice("branches_overhead") == "none" else (),
        below=below,
    )
    _name_and_place(feature)
    # Below what is typed: a sentence that comes or goes must not push the field away from under the hand.
    if spot is not None:
        with st.container(key=f"means.{feature.id}"):
            _means(spot, a)
    with st.container(key=f"notes.{feature.id}"):
        for words in _noted(feature, a):
            st.markdown(plain(words))
    seen_again.of_feature(feature, a)
    photos.show(feature)
    with st.expander("Delete", key=f"delete.{feature.id}.open"):
        st.button(
            f"Delete {plain(feature.name)}",
            key=f"delete.{feature.id}",
            on_click=state.guarded(_delete),
            args=(feature.id,),
        )
        st.caption("Undo brings it back.")


def _noted(feature: Feature, a: Assessment) -> Iterator[str]:
    """What is assumed or not known of a thing, but for what stands beside its field, or above as what bars a kiln."""
    units, decision = a.source.units, a.decision(feature.id)
    barred = {told(bar.reason, units) for bar in decision.because} if decision is not None else set()
    for note in a.notes_about(feature.id):
        words = note.told(units)
        if note.what not in _BESIDE and words not in barred:
            yield words


def _means(spot: SpotReport, a: Assessment) -> None:
    """What a kiln spot comes to, below its fields."""
    checks_list(spot, a)
    _batches(a, (run for run in a.kilns if run.spot == spot.id))
    st.markdown(CAUTION)


def _weight(feature: Feature, a: Assessment) -> None:
    """The slash of a heap, below its three sizes: there it pushes none of them away from under the hand."""
    units = a.source.units
    item = next((item for item in a.slash.items if item.id == feature.id), None)
    with st.container(key=f"weighs.{feature.id}"):  # always there: what follows keeps its place on the page
        if item is not None:
            figures(
                (("Dry slash", said(item.dry_t, "t", units)), ("Volume as it lies", said(item.gross_m3, "m3", units))),
                f"Rests on figures that are {item.basis}.",
            )


def checks_list(spot: SpotReport, a: Assessment) -> None:
    """What else bars a kiln, the worst first; its distances as one table, nearest to turning first, the rest folded."""
    units, decision = a.source.units, a.decision(spot.id)
    for number, bar in enumerate(together(decision.because) if decision is not None else ()):
        if number:  # the first is told with the decision
            effect = RULED_OUT if bar.word == NOT_HERE else CONDITIONAL
            words = f"{capital(bar.word)}: {tell(bar.action, units)}"
            st.html(figures_of.verdict_html(effect, words, f"{check_label(bar.check)}: {told(bar.reason, units)}"))
            _way_to(bar, spot, number)
    distances = tuple(check_rows(spot, a))
    first = max(ROWS_SHOWN, sum(each.effect != PASSES for each in distances))  # what passes stands last
    table([_row(each) for each in distances[:first]])
    folded = [_row(each) for each in distances[first:]]
    passing = [check for check in spot.checks if check.effect == PASSES and check.check != "distance"]
    if passing or folded:
        with st.expander(f"{len(passing) + len(folded)} more checks pass", key=f"passing.{spot.id}"):
            table(folded)
            if passing:  # the frame of pages refuses an empty word
                st.html("".join(_check_html(check, units) for check in passing))


def _way_to(bar: Bar, spot: SpotReport, number: int) -> None:
    """A button to the thing that bars a kiln, or to the field that answers it; none where this panel answers it."""
    about = state.site().get(bar.about)
    if about is not None and about.id != spot.id and bar.action.code not in OF_ACTION:
        noted.show_button(about.id, f"Show {about.name}", f"check.{spot.id}.{number}")
    else:
        lead(bar, f"lead.{spot.id}.{number}")


def _row(each: CheckRow) -> dict[str, str]:
    thing = f"{figures_of.sign(each.effect)} {each.thing}"
    return {"Thing": thing, "Distance": each.distance, "Rule": each.rule, "To spare": each.spare}


def _check_html(check: Check, units: str) -> str:
    words = f"{check_label(check.check)}: {word(check.verdict)}"
    return figures_of.verdict_html(check.effect, words, told(check.reason, units))


def _name_and_place(feature: Feature) -> None:
    key = f"name.{feature.id}"
    st.text_input(
        "Name",
        **state.text(key, str(feature.values.get("name") or "")),
        on_change=state.guarded(lambda: change(feature.id, "name", (state.typed(key) or "").strip() or None)),
    )
    point = feature.shape.representative_point() if feature.shape is not None else None
    shown = formats(point.x, point.y) if point is not None else {}
    if feature.geometry is None or feature.geometry.get("type") == "Point":
        where = f"where.{feature.id}"
        lately = state.remember(_LATELY + feature.id, ())
        if shown and shown["decimal"] not in lately[-1:]:
            state.put(_LATELY + feature.id, (*lately, shown["decimal"])[-_MOST_LATELY:])
        st.text_input(
            "Place",
            **state.text(where, shown.get("decimal", ""), half=False),
            placeholder="a coordinate in any form",
            help="As a phone, a paper map or the permit gives it: degrees, degrees and minutes, or a grid reference.",
            on_change=state.guarded(lambda: _placed(feature.id, state.typed(where))),
        )
    said_of = [_size(feature), *(shown[form] for form in ("degrees_minutes", "mgrs") if form in shown)]
    if any(said_of):
        st.caption(" · ".join(plain(words) for words in said_of if words))


def _size(feature: Feature) -> str:
    """How long or how large the shape is that was drawn; empty for a place, and for an outline that cannot be used."""
    site = state.site()
    plane = plane_of_site(site)
    if plane is None or feature.shape is None or feature.shape.geom_type.endswith("Point"):
        return ""
    try:
        shape = plane.forward(feature.shape)
        if feature.shape.geom_type.endswith("Polygon"):
            return text(area_ha(shape), "ha", site.units)
        return text(length_m(shape), "m", site.units)
    except BadShape:
        return ""


def _placed(feature_id: str, typed: str | None) -> None:
    feature = state.site().get(feature_id)
    if feature is None:
        return
    if not typed:
        # A page still being drawn sends the field of a thing left meanwhile once more: that was answered before.
        if state.selected() == feature:
            state.say(f"{feature.name} keeps its place: write another one, or delete the thing.")
        return
    *before, now = state.remember(_LATELY + feature_id, ()) or ("",)
    if typed in (*before, now):  # a browser sends what stood in its field before a drag as if somebody had typed it
        if typed != now:
            state.say(f"{feature.name} was moved since, and stays where it is: Undo takes it back.")
            state.put(f"seen:where.{feature_id}", (None, None, None))  # its field then shows the place anew
        return
    lon, lat = parse(typed)
    where = {"type": "Point", "coordinates": [lon, lat]}
    state.edit(f"Placed {feature.name}", state.site().put(feature.with_geometry(where)))


def _delete(feature_id: str) -> None:
    feature = state.site().get(feature_id)
    if feature is not None:
        state.select(None)
        state.edit(f"Deleted {feature.name}", state.site().without(feature_id))


def asked_about() -> tuple[Overlay, ...]:
    """The place of that question, for the map."""
    place = state.remember("asked_at", None)
    return (Overlay("asked", {"type": "Point", "coordinates": place}, "asked about"),) if place else ()


def asked_here(a: Assessment, kiln: Item | None = None) -> None:
    """The answer to a click on bare ground: may a kiln stand here? kiln : which one; else the largest of the site."""
    place = state.remember("asked_at", None)
    if place is None:
        return
    from sitemap.siting.explain import answer_at

    with st.container(border=True, key="asked"):
        st.markdown("**May a kiln stand where you clicked?**")
        with st.spinner("Looking at the ground …", show_time=False):
            answer = answer_at(a, place[0], place[1], kiln)
        for words in dict.fromkeys(told(each, a.source.units) for each in answer.findings):
            st.write(plain(words))
        st.button(
            "Put a kiln spot there", key="asked.put", on_click=state.guarded(_put_spot), args=(place,), width="stretch"
        )
        st.button(
            "Close", key="asked.close", on_click=state.guarded(state.put), args=("asked_at", None), type="tertiary"
        )


def _put_spot(place: tuple[float, float]) -> None:
    site = state.site()
    new = new_feature(site, "kiln_spot", {"type": "Point", "coordinates": list(place)}, state.typed("place.kiln"))
    state.put("asked_at", None)
    state.select(new.id)
    state.edit(f"Added {new.name}", site.put(new))
