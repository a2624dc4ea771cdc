"""All sites kept on this computer: where they lie, what burns when, and what two of them want on one day."""

from __future__ import annotations

import datetime as dt
from functools import lru_cache

import streamlit as st

from sitemap.assessment import assess
from sitemap.errors import PitsteadError
from sitemap.many.clashes import LEADER, clashes
from sitemap.many.days import burning
from sitemap.many.row import SiteRow, row_of
from sitemap.site.store import Listed
from sitemap.telling import day_text
from sitemap.terrain.of_site import terrain_of
from sitemap.units import text
from sitemap.views import state
from sitemap.views.charts import places
from sitemap.views.faults import fault_text
from sitemap.views.figures import table, wrong
from sitemap.views.frame import page
from sitemap.wording import NOT_KNOWN

_AHEAD_DAYS = 14
_REMEMBERED = 2000  # rows are small


@lru_cache(maxsize=_REMEMBERED)
def _row(link: str, revision: int, today: dt.date) -> SiteRow:  # noqa: ARG001 - a site as it stood then
    """A kept site worked out. revision, today : what it may have changed since"""
    kept = state.store().open(link)
    site, entry = kept.site, kept.site.files.get("terrain")
    ground = None
    if entry is not None:
        try:
            ground = terrain_of(site, str(state.store().file(str(entry.get("sha256", "")))), entry.get("unit"))
        except PitsteadError:
            ground = None  # said where the site is open; without it nothing gets better
    on = site.section("season").date("date")
    return row_of(assess(site, ground, on=on, today=today), link)


def _worked_out(listed: list[Listed], today: dt.date) -> list[SiteRow]:
    bar = st.progress(0.0, "Working them out. Any other press stops it.")
    rows = []
    for number, each in enumerate(listed, 1):
        try:
            rows.append(_row(each.link, state.store().open(each.link).revision, today))
        except PitsteadError as error:
            wrong(f"{each.name}: {fault_text(error, state.site())}")
        bar.progress(number / len(listed))
    bar.empty()
    return rows


def _days(rows: list[SiteRow], today: dt.date) -> None:
    st.markdown(f"#### The next {_AHEAD_DAYS} days")
    found = burning(rows, today, _AHEAD_DAYS)
    if not found:
        st.markdown("Nothing is laid on these days: no site has a burn date, permit and work that fall on them.")
    table(
        [
            {
                "Day": day_text(each.day),
                "Site": each.site.name,
                "May be lit": f"{each.site.may_be_lit} of {len(each.site.kilns)}",
                "In charge": each.site.leader or NOT_KNOWN,
                "Takes along": ", ".join(each.gear) or NOT_KNOWN,
            }
            for each in found
        ]
    )


def _clashes(rows: list[SiteRow]) -> None:
    names, found = {row.key: row.name for row in rows}, clashes(rows)
    if not found:
        return
    wrong("On one day two sites want the same: move a date, or bring another.")
    table(
        [
            {
                "What": f"{clash.name}{' (in charge)' if clash.kind == LEADER else ''}",
                "Sites": ", ".join(names[key] for key in clash.sites),
                "Days": f"{len(clash.days)}, the first {day_text(clash.days[0])}",
            }
            for clash in found
        ]
    )


def _all(rows: list[SiteRow]) -> None:
    st.markdown("#### Every site")
    placed = [(row.name, row.lon, row.lat) for row in rows if row.lon is not None and row.lat is not None]
    if len(placed) > 1:
        places(placed, "sites.places")

    def day(each: dt.date | None) -> str:
        return NOT_KNOWN if each is None else day_text(each)

    table(
        [
            {
                "Site": row.name,
                "Burn date": day(row.on),
                "Last burn day": day(row.last_burn_day),
                "Permit ends": day(row.permit_ends),
                "May be lit": f"{row.may_be_lit} of {len(row.kilns)}",
                "Dry slash": NOT_KNOWN if row.dry_t is None else text(row.dry_t[1], "t", row.units),
                "Not known or unsound": str(len(row.missing)),
            }
            for row in rows
        ]
    )


with page("sites"):
    here = state.kept()
    others = state.kept_sites()
    listed = [Listed(here.link, here.site.name, ""), *(each for each in others if each.link != here.link)]
    st.markdown(
        f"{len(listed)} {'site is' if len(listed) == 1 else 'sites are'} kept on this computer. "
        "Open one on the left, under *Open*."
    )
    if st.button("Work them out", key="sites.work", type="primary"):
        state.put("sites.rows", True)
    if state.remember("sites.rows", False):
        now = dt.date.today()
        worked = _worked_out(listed, now)
        _clashes(worked)
        _days(worked, now)
        _all(worked)
