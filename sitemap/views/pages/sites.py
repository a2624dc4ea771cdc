"""All sites kept on this computer: where they lie, what burns when, and what two of them want on one day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import streamlit as st

from sitemap.errors import PitsteadError
from sitemap.many.clashes import LEADER, clashes
from sitemap.many.days import burning
from sitemap.many.kept import KeptSite, rows_of
from sitemap.many.row import SiteRow
from sitemap.site.model import Site
from sitemap.site.store import Kept, Listed
from sitemap.telling import day_text
from sitemap.units import text
from sitemap.views import state, working
from sitemap.views.charts import places
from sitemap.views.faults import fault_text
from sitemap.views.figures import table, wrong
from sitemap.views.frame import page, plain
from sitemap.views.sites import own, when
from sitemap.wording import NOT_KNOWN

_AHEAD_DAYS = 14
_NAMED = 20  # sites in the list before they are worked out
_ROWS = "sites.rows"  # worked out last: the day and the changes they follow from, and themselves


def _opened(listed: list[Listed]) -> tuple[Kept, ...]:
    """The sites as they stand; one that cannot be opened is told."""
    found = []
    for each in listed:
        try:
            found.append(state.store().open(each.link))
        except PitsteadError as error:
            wrong(f"{each.name}: {fault_text(error, state.site())}")
    return tuple(found)


def _work_out(kept: tuple[Kept, ...], today: dt.date) -> None:
    sites = tuple(KeptSite(each.link, each.site, _raster(each.site)) for each in kept)

    def then(rows: tuple[SiteRow, ...]) -> None:
        state.put(_ROWS, (_stand(kept, today), rows))

    working.begin("Working them out", rows_of, sites, today, then=then, telling=lambda share, name: (share, name))
    st.rerun()


def _list(listed: Sequence[Listed]) -> None:
    """A touch for each site opens it; the one that is open is named only."""
    for each in listed:
        st.button(
            f"{plain(each.name)} · {when(each.used) if each.used else 'open now'}",
            key=f"sites.open.{each.link}",
            disabled=not each.used,
            on_click=state.guarded(_open),
            args=(each.link,),
            width="stretch",
        )


def _open(link: str) -> None:
    state.put(state.TO_PAGE, "map")
    state.open_link(link)


def _stand(kept: tuple[Kept, ...], today: dt.date) -> Any:
    """What rows follow from."""
    return today, {each.link: each.revision for each in kept}


def _raster(site: Site) -> Path | None:
    entry = site.files.get("terrain")
    try:
        return None if entry is None else state.store().file(str(entry.get("sha256", "")))
    except PitsteadError:
        return None


def _days(rows: Sequence[SiteRow], today: dt.date) -> None:
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


def _clashes(rows: Sequence[SiteRow]) -> None:
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


def _all(rows: Sequence[SiteRow]) -> None:
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
    others, mine = state.kept_sites(), own()
    listed = [Listed(here.link, here.site.name, ""), *mine]
    st.markdown(
        f"{len(listed)} {'site is' if len(listed) == 1 else 'sites are'} kept on this computer. "
        f"{'Touch one to open it; beside each, when it was last open.' if len(listed) > 1 else 'It is open.'}"
    )
    if len(mine) < len(others):  # each first visit leaves one: it would stand in the way of what is meant
        st.caption(f"Left out: {len(others) - len(mine)} of the samples, as they came. The side menu opens them.")
    now, worked = dt.date.today(), state.remember(_ROWS, None)
    if st.button("Work out what burns when, on all of them", key="sites.work", type="primary"):
        _work_out(_opened(listed), now)
    if worked is None:
        _list(listed[:_NAMED])
        if len(listed) > _NAMED:
            st.markdown(f"and {len(listed) - _NAMED} more")
    else:
        stood, rows = worked
        if stood != _stand(_opened(listed), now):
            st.info("Sites were changed, added or deleted since: work them out again.")
        _clashes(rows)
        _days(rows, now)
        _all(rows)
