"""Distances with their sources, who was asked and what was looked for."""

from __future__ import annotations

from functools import partial

import streamlit as st

from sitemap import tables
from sitemap.assessment import Assessment, SpotReport
from sitemap.day.decision import NOT_HERE
from sitemap.maps.verdicts import near_text, to_turning
from sitemap.notes import kiln_called
from sitemap.safety.effects import CONDITIONAL, PASSES, RULED_OUT
from sitemap.safety.reading import rules_of
from sitemap.safety.rules import condition_of, look_for
from sitemap.safety.setbacks import Setback
from sitemap.site.kinds import KINDS
from sitemap.site.model import Site
from sitemap.telling import marked
from sitemap.units import text
from sitemap.views import state
from sitemap.views.figures import sign, table, verdict
from sitemap.views.folds import fold, once_filled
from sitemap.views.frame import page, plain
from sitemap.views.inputs import fields, lists, looked
from sitemap.views.inputs.records import in_words
from sitemap.wording import capital, listed, told

_NAMES = 4  # things named in one line


def _label(kind: str) -> str:
    return KINDS[kind].label if kind in KINDS else kind


def _take_defaults() -> None:
    site = state.site()
    own = {record.text("kind") for record in site.records("rules")}
    rows = [dict(record.values) for record in site.records("rules")]
    for rule in rules_of(()):
        if rule.kind not in own:
            row = {"id": rule.id, "kind": rule.kind, "use": rule.use or None, "distance_m": rule.distance_m}
            row |= {"condition": marked(rule.condition, site.units), "source": rule.source, "evidence": rule.evidence}
            rows.append({key: value for key, value in row.items() if value is not None})
    state.edit("Took the cautious distances into the table", site.with_member("rules", rows))


def _open_kinds(a: Assessment) -> list[str]:
    """Kinds still to be looked for: by the checks of a kiln, and where no kiln spot stands yet all of them."""
    if not a.spots:
        known = {entry.text("kind") for entry in a.source.records("looked") if entry.number("within_m") is not None}
        return [kind for kind in look_for() if kind not in known]
    return list(dict.fromkeys(note.about for note in a.unknowns if note.what == "looked" and note.about in KINDS))


def _distance(site: Site, setback: Setback) -> dict[str, str]:
    feature = site.get(setback.feature) if setback.feature else None
    return {
        "To": feature.name if feature else _label(setback.kind),
        "Distance": text(setback.distance_m, "m", site.units),
        "Good to ±": text(setback.error_m, "m", site.units),
        "By the rule": text(setback.required_m, "m", site.units, toward="up"),
        "Verdict": setback.verdict,
        "Source": setback.source,
    }


def _head(kiln: str, nearest: list[Setback], units: str, looked: bool) -> str:
    """How a kiln stands to its distances alone: what is too near, else what has least to spare.

    looked : whether somebody looked for all that is not on the map; else nothing is far enough
    """
    called = capital(kiln_called(kiln))
    if not nearest:
        return f"{called}: nothing on the map has a rule near it" + ("" if looked else "; not all was looked for")
    wrong = [each.name for each in nearest if each.effect != PASSES]
    effects = (PASSES if looked else CONDITIONAL, *(each.effect for each in nearest))
    mark = sign(max(effects, key=(PASSES, CONDITIONAL, RULED_OUT).index))
    if wrong:
        return f"{mark} {called}: {nearest[0].verdict}: {listed(wrong, _NAMES)}"
    first = next((each for each in nearest if each.margin_m is not None), None)
    far = "far enough" if looked else "not all was looked for; what is on the map is far enough"
    if first is None:
        return f"{mark} {called}: {far}"
    there, needed = near_text(first.distance_m or 0.0, units), near_text(first.required_m or 0.0, units, "up")
    return f"{mark} {called}: {far}; least to spare: {first.name}, {there}, rule {needed}"


def _kept_clear(a: Assessment, spot: SpotReport, nearest: list[Setback]) -> None:
    """What a kiln keeps clear of, the nearest to turning first, and where people stand."""
    units = a.source.units
    safety = next((s for s in a.safety.spots if s.id == spot.id), None) if a.safety else None
    table([_distance(a.source, each) for each in nearest])
    if safety is not None:
        st.write(plain(told(safety.embers, units)))
        st.write(
            plain(
                f"People: crew at rest {text(safety.rest_m, 'm', units)} from the rim, visitors "
                f"{text(safety.visitors_m, 'm', units)}; flame counted as "
                f"{text(safety.flame_height_m, 'm', units)} high."
            )
        )


def _permit(a: Assessment) -> None:
    """The permit; folded from the start where it is typed and bars no kiln. What of it bars one is said outside."""
    permit = a.source.section("permit")
    bars = [bar for each in a.decisions for bar in each.because if bar.check == "permit"]
    for said, word in {told(bar.reason, a.source.units): bar.word for bar in bars}.items():
        verdict(RULED_OUT if word == NOT_HERE else CONDITIONAL, f"Permit: {word}", said)
    unread = fields.unread(permit)
    filled = bool(a.decisions and not bars and permit.text("number")) and not unread
    says = in_words(permit) if permit.values else "nothing typed yet"
    once_filled("Permit", says + unread, "rules.permit", lambda: lists.section("permit", columns=3), filled=filled)


def _every_rule(a: Assessment) -> None:
    """The rules that hold, the table that changes them, and published ones to compare them with."""
    units = a.source.units
    table(
        [
            {
                "Keep clear of": _label(rule.kind) + (f" ({rule.use.replace('_', ' ')})" if rule.use else ""),
                "Distance": "no distance entered" if rule.distance_m is None else text(rule.distance_m, "m", units),
                "Condition": condition_of(rule, units),
                "Source": rule.source,
                "Evidence": tables.EVIDENCE_LEVELS.get(rule.evidence, rule.evidence),
                "Whose": "entered for this site" if rule.entered else "cautious default",
            }
            for rule in a.rules
        ]
    )
    fold("Change them", "rules.change", _change)
    fold("Published examples, to compare", "rules.examples", partial(_examples, units))


def _change() -> None:
    st.caption("A row here replaces the cautious rows of its kind; a row without a distance says none is entered.")
    st.button("Take the cautious rows into the table", key="rules.take", on_click=state.guarded(_take_defaults))
    lists.records("rules")


def _examples(units: str) -> None:
    table(
        [
            {
                "From": row.get("from", row.key),
                "Distance": text(row.get("distance_m"), "m", units),
                "Condition": marked(row.get("condition", ""), units),
                "Source": row.source,
                "Evidence": tables.EVIDENCE_LEVELS[row.evidence],
            }
            for row in tables.load("setback_examples").values()
        ]
    )


with page("rules"):
    a = state.assessment()
    units = a.source.units
    st.warning(
        "Every distance here is an example until you have asked. The local code, the permit and the owner of a line "
        "come first; a pass is not a permission. No distance is safe from embers."
    )
    st.markdown("#### Permit, and who was asked")
    _permit(a)
    if not any(record.text("whom") == "authority" for record in a.source.records("asked")):
        verdict(
            CONDITIONAL,
            "Add below who at the authority was asked, when, and the answer: until then no kiln may be lit.",
        )
    lists.records("asked")
    st.markdown("#### What was looked for round the kilns")
    looked.show(_open_kinds(a))
    st.markdown("#### Distances, kiln by kiln")
    if not a.spots:
        st.info("No kiln spot yet: add one on the map, and each of its distances stands here with its rule.")
    for spot in a.spots:
        nearest = sorted(spot.setbacks, key=to_turning)
        seen = all(check.effect == PASSES for check in spot.checks if check.check == "looked")
        fold(
            plain(_head(spot.name, nearest, units, seen)),
            f"distances.{spot.id}",
            partial(_kept_clear, a, spot, nearest),
        )
    changed = sum(rule.entered for rule in a.rules)
    count = f" ({len(a.rules)}{f', {changed} entered for this site' if changed else ''})"
    fold("Every rule of distance, to change and to compare", "rules.all", partial(_every_rule, a), shut=count)
