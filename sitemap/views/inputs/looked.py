"""What somebody looked for and did not find: all of it in one line, and a line for each kind to change."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

import streamlit as st

from sitemap.errors import BadValue
from sitemap.reasons import reason
from sitemap.safety.rules import default_rules
from sitemap.site.cells import cell_text, read_cell
from sitemap.site.equipment import RECORDS
from sitemap.site.frozen import thaw
from sitemap.site.grid import heading
from sitemap.site.kinds import KINDS
from sitemap.site.model import Entry, Site
from sitemap.units import text
from sitemap.views import state
from sitemap.views.figures import table, wrong
from sitemap.views.folds import fold
from sitemap.views.inputs import drafts, lists
from sitemap.wording import told, with_unit

_ATTRIBUTES = {attribute.name: attribute for attribute in RECORDS["looked"].attributes}
_UNBROKEN = "\u2011"  # a hyphen at which no line of a phone breaks
_SIZE, _WHO, _WHEN, _KINDS, _WRONG = (f"draft.looked.{name}" for name in ("within", "who", "when", "kinds", "wrong"))


def show(open_kinds: Iterable[str]) -> None:
    """The line for all at once, and what is entered.

    open_kinds : kinds still to be looked for
    """
    site, missing = state.site(), list(open_kinds)
    if missing:
        st.markdown(
            "A kind nobody looked for round the kilns as they stand is not known, and not known is never a pass: one "
            "house on the map does not show that there is no other."
        )
        _line(site, missing)
    entered = site.records("looked")

    def change() -> None:
        if entered:
            table(_rows_of(entered, site.units))
        lists.records("looked")

    told = f"{len(entered)} kinds" + ("" if missing else ": every kind that is asked for")
    title = "What was looked for and not found, to read and to change"
    fold(title, "looked.change", change, shut=f" ({told})" if entered else "")


def _rows_of(records: Iterable[Entry], units: str) -> list[dict[str, str]]:
    """What was looked for, in words, all that is alike in one row; a value that cannot be used as it was typed."""
    alike: dict[tuple[str, ...], list[str]] = {}
    for record in records:
        shown = {name: cell_text(one, record.raw(name), units) or "–" for name, one in _ATTRIBUTES.items()}
        alike.setdefault((shown["within_m"], shown["who"], shown["when"]), []).append(shown["kind"])
    far = with_unit("As far as", "m", units)
    return [
        {"Looked for": ", ".join(kinds), far: within, "Who and when": f"{who}, {when.replace('-', _UNBROKEN)}"}
        for (within, who, when), kinds in alike.items()
    ]


def _line(site: Site, missing: list[str]) -> None:
    with st.container(key="looked.line"):
        st.multiselect(
            "I looked for these and found none but what is on the map",
            missing,
            missing,
            format_func=lambda kind: KINDS[kind].label,
            key=_KINDS,
        )
        within, who, when, go = st.columns([1, 1.4, 1.2, 1], vertical_alignment="bottom")
        far = max((rule.look_m or 0.0 for rule in default_rules() if rule.kind in missing), default=0.0)
        enough = f"{text(far, 'm', site.units, 2)} does for all" if far else ""
        drafts.text(within, heading(_ATTRIBUTES["within_m"], site.units), _SIZE, placeholder=enough)
        drafts.text(who, "Who looked", _WHO, _last_who(site))
        drafts.text(when, "When", _WHEN, drafts.today())
        go.button("I looked: keep it", key="looked.go", on_click=state.guarded(_keep), type="primary", width="stretch")
        wrong(state.remember(_WRONG, ""))


def _last_who(site: Site) -> str:
    named = [str(record.text("who")) for record in site.records("looked") if record.text("who")]
    return named[-1] if named else site.section("crew").text("leader") or ""


def _keep() -> None:
    site, kinds = state.site(), state.typed(_KINDS) or []
    typed = {"within_m": state.typed(_SIZE), "who": state.typed(_WHO), "when": state.typed(_WHEN)}
    try:
        values = {name: read_cell(_ATTRIBUTES[name], str(each or ""), site.units) for name, each in typed.items()}
        if values["within_m"] is None:
            raise BadValue(reason("site.say_how_far"))
    except BadValue as bad:
        state.put(_WRONG, told(bad.reason, site.units))
        return
    state.put(_WRONG, "")
    state.edit(f"Looked for {len(kinds)} kinds, none found", site.with_member("looked", rows(site, kinds, values)))


def rows(site: Site, kinds: Iterable[str], values: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The records with what was looked for: a row of a kind without a distance is filled in, others are new."""
    held = [thaw(record.values) for record in site.records("looked")]
    said = {name: value for name, value in values.items() if value is not None}
    for kind in kinds:
        blank = next((row for row in held if row.get("kind") == kind and row.get("within_m") is None), None)
        if blank is None:
            held.append({"kind": kind, **said})
        else:
            blank.update(said)
    return held
