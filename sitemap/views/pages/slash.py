"""How much slash there is, and what each figure rests on."""

from __future__ import annotations

from heapq import nlargest

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.plan.second_walk import widens
from sitemap.site.kinds import SLASH
from sitemap.slash.result import SlashItem
from sitemap.summary import said
from sitemap.units import unit_label
from sitemap.views import charts, state
from sitemap.views.figures import figures, table
from sitemap.views.folds import fold
from sitemap.views.frame import page, plain, to_map
from sitemap.views.inputs import parts
from sitemap.views.inputs.noted import notes
from sitemap.wording import BASIS_SIGNS, basis, with_unit, without_unit

_MOST_DRIVERS = 5
_FEW = 15  # heaps of a picture; of more the largest are drawn
_ROWS = 100  # heaps shown at a time


def _totals(a: Assessment) -> None:
    slash, units = a.slash, a.source.units
    weights = (
        ("Dry slash, all of it", slash.dry_t),
        ("Goes into the kilns", slash.char_stock_dry_t),
        ("Too thick: split it or leave it", slash.oversize_dry_t),
        ("Needles, chips, dirt", slash.fines_dry_t),
        ("As it lies, with its water", slash.green_t),
    )
    figures((name, without_unit(said(value, "t", units), "t", units)) for name, value in weights)
    st.markdown(
        f"Weights in {unit_label('t', units)}: likely, and the ends between which it lies eight times out of ten. "
        f"Dry slash per logged area: {said(slash.dry_t_per_ha, 't_ha', units)}."
    )


def _row(item: SlashItem, units: str, alike: bool) -> dict[str, str]:
    asked = (
        ("As it lies", item.gross_m3, "m3"),
        ("Dry", item.dry_t, "t"),
        ("Into kilns", item.char_stock_dry_t, "t"),
    )
    shown = {
        with_unit(name, unit, units): without_unit(said(value, unit, units), unit, units) if value else "–"
        for name, value, unit in asked
    }
    return {"Heap": item.name, **shown, **({} if alike else {"Rests on": BASIS_SIGNS.get(item.basis, "?")})}


def _heaps(a: Assessment) -> None:
    slash, units = a.slash, a.source.units
    rests = {item.basis for item in slash.items}
    few = len(slash.items) <= _FEW
    shown = slash.items if few else nlargest(_FEW, slash.items, key=lambda item: item.dry_t.likely)
    st.markdown("#### Heap by heap" + ("" if few else f": the {_FEW} largest of {len(slash.items)}"))
    what = basis(next(iter(rests))) if len(rests) == 1 else ", ".join(map(basis, BASIS_SIGNS))

    def figures_of() -> None:
        rows = parts.shown(slash.items, "Heaps", "slash.from", _ROWS)
        table([_row(item, units, len(rests) == 1) for item in rows])
        st.markdown(f"Rests on figures that are {what}.")

    left, right = st.columns([2, 3], gap="large")
    with left:
        charts.range_bars([(item.name, *item.dry_t.triple()) for item in shown], "t", units, "Dry slash", "slash.bars")
    with right:
        if few:
            figures_of()
        else:  # the room beside so long a picture
            _drivers(a)
            fold(f"Figures of all {len(slash.items)}", "slash.figures", figures_of)
    if few:
        _drivers(a)


def _drivers(a: Assessment) -> None:
    st.markdown("#### What makes the range wide: measure these first")
    st.markdown(
        "\n".join(
            f"- **± {one.half_range:.0%}** by {plain(one.what)}: {plain(one.how)}" for one in widens(a)[:_MOST_DRIVERS]
        )
    )
    st.markdown(
        "The shape alone moves a heap's volume from half (cone) over one (dome) to nearly twice (block) for the same "
        "three measures. Until a heap is weighed, the tonnage may be half as much again or a third less."
    )


def _none(a: Assessment) -> None:
    """Why nothing is counted yet, and where to go on."""
    heaps = a.source.of_kind(*SLASH)
    drawn = f"{len(heaps)} heap{'s are' if len(heaps) > 1 else ' is'} drawn, and none is measured."
    st.info(
        (f"{drawn} Answer below" if heaps else "No slash yet. Draw heaps and windrows on the map")
        + ", or type them in the grid of *Walk and survey*. A length, a width and a height are enough to begin with; "
        "all else may be left blank and is then assumed."
    )
    if not heaps:
        to_map("Draw heaps on the map", "slash.map", "pile")


with page("slash"):
    a = state.assessment()
    ids = {f.id for f in a.source.of_kind(*SLASH, "logged_area")} | {"site"}
    if not a.slash.counted:
        _none(a)
    with st.container(key="slash.answers"):  # first what is still to be typed
        notes((note for note in a.slash.unknowns if note.about in ids), "Not known yet", "slash.unknown")
    if a.slash.counted:
        _totals(a)
        _heaps(a)
    notes((note for note in a.slash.assumed if note.about in ids), "Assumed", "slash.assumed", folded=True)
