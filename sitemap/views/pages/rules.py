"""Distances with their sources, who was asked and what was looked for."""

from __future__ import annotations

from functools import partial

import streamlit as st

from sitemap import tables
from sitemap.assessment import Assessment
from sitemap.safety.effects import CONDITIONAL
from sitemap.safety.reading import rules_of
from sitemap.safety.rules import condition_of, look_for
from sitemap.site.kinds import KINDS
from sitemap.telling import marked
from sitemap.units import text
from sitemap.views import distances, state
from sitemap.views.figures import table, verdict
from sitemap.views.folds import fold, once_filled
from sitemap.views.frame import page
from sitemap.views.inputs import fields, lists, looked
from sitemap.views.inputs.records import in_words
from sitemap.wording import told


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


def _barred(a: Assessment, check: str, heading: str) -> bool:
    """What of one check bars a kiln, outside every fold, by the decisions and nothing else; whether anything does."""
    bars = [bar for each in a.decisions for bar in each.because if bar.check == check]
    for said, bar in {told(bar.reason, a.source.units): bar for bar in bars}.items():
        verdict(bar.effect, f"{heading}: {bar.word}", said)
    return bool(bars)


def _permit(a: Assessment) -> None:
    """The permit; folded from the start where it is typed and bars no kiln."""
    permit = a.source.section("permit")
    bars = _barred(a, "permit", "Permit")
    unread = fields.unread(permit)
    filled = bool(a.decisions and not bars and permit.text("number")) and not unread
    says = in_words(permit) if permit.values else "nothing typed yet"
    once_filled("Permit", says + unread, "rules.permit", lambda: lists.section("permit", columns=3), filled=filled)


def _asked(a: Assessment) -> None:
    """Who was asked; where no kiln stands yet, that somebody must be."""
    asked = a.source.records("asked")
    if not _barred(a, "authority", "Authority") and not a.decisions and not asked:
        verdict(CONDITIONAL, "Ask the authority: until its answer stands here, no kiln may be lit.")
    lists.records("asked", first_open=False, add="Add who was asked")


def _every_rule(a: Assessment) -> None:
    """The rules that hold, the table that changes them, and published ones to compare them with."""
    units = a.source.units
    table(
        [
            {
                "Keep clear of": distances.label(rule.kind) + (f" ({rule.use.replace('_', ' ')})" if rule.use else ""),
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
    st.warning(
        "Every distance here is an example until you have asked. The local code, the permit and the owner of a line "
        "come first; a pass is not a permission. No distance is safe from embers."
    )
    st.markdown("#### Permit, and who was asked")
    _permit(a)
    _asked(a)
    st.markdown("#### What was looked for round the kilns")
    looked.show(_open_kinds(a))
    st.markdown("#### Distances")
    if a.spots:
        distances.show(a)
    else:
        st.info("No kiln spot yet: add one on the map, and each of its distances stands here with its rule.")
    changed = sum(rule.entered for rule in a.rules)
    count = f" ({len(a.rules)}{f', {changed} entered for this site' if changed else ''})"
    fold("Every rule of distance, to change and to compare", "rules.all", partial(_every_rule, a), shut=count)
