"""Distances by the kind of thing they are kept from: a line for each kind that is open, answered where it stands; all
that is far enough in one line; each kiln in full on demand. Signs and words are those of the assessment."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial

import streamlit as st

from sitemap.assessment import Assessment, SpotReport
from sitemap.maps.verdicts import near_text, to_turning
from sitemap.safety.effects import CONDITIONAL, PASSES, RULED_OUT
from sitemap.safety.setbacks import Setback
from sitemap.site.kinds import KINDS
from sitemap.telling import sentence, word
from sitemap.units import text
from sitemap.views.figures import sign, table
from sitemap.views.folds import fold
from sitemap.views.frame import plain
from sitemap.views.inputs import forms, parts
from sitemap.views.inputs.changing import change
from sitemap.wording import capital, listed, told

_NAMES = 6  # kilns named in one line, and things whose place is asked for
_ROWS = 40  # shown at a time
_WORST_LAST = (PASSES, CONDITIONAL, RULED_OUT)
_Pair = tuple[SpotReport, Setback]


def label(kind: str) -> str:
    """What a person reads for a kind of thing."""
    return KINDS[kind].label if kind in KINDS else kind


def show(a: Assessment) -> None:
    """All distances of all kilns."""
    pairs = sorted(((spot, each) for spot in a.spots for each in spot.setbacks), key=lambda pair: to_turning(pair[1]))
    still_open: dict[str, list[_Pair]] = {}
    for pair in pairs:
        if pair[1].effect != PASSES:
            still_open.setdefault(pair[1].kind, []).append(pair)
    for kind in sorted(still_open, key=lambda kind: -_WORST_LAST.index(_worst(still_open[kind]))):
        found = still_open[kind]
        fold(_open_line(kind, found), f"distances.{kind}", partial(_open, a, kind, found))
    _far_enough(a, [pair for pair in pairs if pair[1].kind not in still_open])
    fold("Kiln by kiln, with embers and people", "distances.kilns", partial(_kiln_by_kiln, a))


def _worst(pairs: Iterable[_Pair]) -> str:
    return max((each.effect for _, each in pairs), key=_WORST_LAST.index)


def _open_line(kind: str, pairs: list[_Pair]) -> str:
    """One kind of thing: what is wrong with it, at which kilns."""
    kilns: dict[str, dict[str, None]] = {}
    for spot, each in pairs:
        kilns.setdefault(each.verdict, {})[spot.name] = None
    said = "; ".join(f"{word(verdict)}: {listed(names, _NAMES)}" for verdict, names in kilns.items())
    return plain(f"{sign(_worst(pairs))} {label(kind)}: {said}")


def _open(a: Assessment, kind: str, pairs: list[_Pair]) -> None:
    """What to do about one kind, its distances, and how good the places are that they hang on."""
    things = {each.feature for _, each in pairs}
    bars = [bar for each in a.decisions for bar in each.because if bar.check == "distance" and bar.about in things]
    for action in dict.fromkeys(capital(sentence(bar.action, a.source.units)) for bar in bars):
        st.markdown(f"**{plain(action)}**")
    table(_rows(a, parts.shown(pairs, "Distances", f"distances.{kind}.from", _ROWS)))
    places = dict.fromkeys(key for spot, each in pairs for key in (each.feature, spot.id))
    with st.container(horizontal=True, key=f"distances.{kind}.places"):
        for key in list(places)[:_NAMES]:
            feature = a.source.get(key)
            if feature is not None:
                with st.popover(f"± of {plain(feature.name)}", key=f"distances.{kind}.of.{key}"):
                    form = f"distances.{kind}.{key}"
                    forms.form(feature, form, partial(change, key), only=("position_error_m",))


def _far_enough(a: Assessment, pairs: list[_Pair]) -> None:
    """All kinds nothing of which is open, by their count; whether all was looked for that is not on the map."""
    looked = all(check.effect == PASSES for spot in a.spots for check in spot.checks if check.check == "looked")
    more = "" if looked else ", not all was looked for"
    if not pairs:
        if not any(spot.setbacks for spot in a.spots):
            st.markdown(f"Nothing on the map has a rule near a kiln{more}.")
        return
    kinds = len({each.kind for _, each in pairs})
    spot, least = next((pair for pair in pairs if pair[1].margin_m is not None), pairs[0])
    there = ""
    if least.distance_m is not None and least.required_m is not None:
        away, rule = near_text(least.distance_m, a.source.units), near_text(least.required_m, a.source.units, "up")
        there = f"; least to spare: {spot.name} to {least.name}, {away}, rule {rule}"
    count = f"{kinds} {'kind' if kinds == 1 else 'kinds'} on the map"
    fold(
        f"{sign(PASSES if looked else CONDITIONAL)} Far enough by the rule entered",
        "distances.settled",
        lambda: table(_rows(a, _nearest(pairs))),
        shut=plain(f": {count}{more}{there}"),
    )


def _nearest(pairs: list[_Pair]) -> list[_Pair]:
    """Of each kind the one with least to spare."""
    first: dict[str, _Pair] = {}
    for pair in pairs:
        first.setdefault(pair[1].kind, pair)
    return list(first.values())


def _rows(a: Assessment, pairs: Iterable[_Pair]) -> list[dict[str, str]]:
    units = a.source.units
    return [
        {
            "Kiln": spot.name,
            "To": each.name,
            "Distance": text(each.distance_m, "m", units),
            "Good to ±": text(each.error_m, "m", units),
            "By the rule": text(each.required_m, "m", units, toward="up"),
            "Verdict": word(each.verdict),
            "Source": each.source,
        }
        for spot, each in pairs
    ]


def _kiln_by_kiln(a: Assessment) -> None:
    """What one kiln keeps clear of, the nearest to turning first, and where people stand."""
    names = {spot.id: spot.name for spot in a.spots}
    chosen = st.selectbox("Kiln", list(names), format_func=names.__getitem__, key="distances.kiln")
    spot = next((spot for spot in a.spots if spot.id == chosen), a.spots[0])
    table(_rows(a, ((spot, each) for each in sorted(spot.setbacks, key=to_turning))))
    safety = next((s for s in a.safety.spots if s.id == spot.id), None) if a.safety else None
    if safety is not None:
        units = a.source.units
        st.markdown(plain(told(safety.embers, units)))
        st.markdown(
            plain(
                f"People: crew at rest {text(safety.rest_m, 'm', units)} from the rim, visitors "
                f"{text(safety.visitors_m, 'm', units)}; flame counted as "
                f"{text(safety.flame_height_m, 'm', units)} high."
            )
        )
