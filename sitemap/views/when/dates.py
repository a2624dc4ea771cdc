"""The calendar: which days fit, as the chart of the papers, on a phone as a wall calendar, and what would help."""

from __future__ import annotations

import calendar
import html
from collections.abc import Collection, Sequence
from functools import partial
from typing import Any

import streamlit as st

from sitemap.assessment import Assessment, of_assessed
from sitemap.day.as_if_moved import laid_though_barred
from sitemap.helps import helps_of
from sitemap.plan.charts import chart
from sitemap.plan.charts.calendar import WEEKS, parts_of
from sitemap.plan.phrases import words_for
from sitemap.season.calendar import CalendarDay
from sitemap.season.calendar_of_site import Calendar
from sitemap.season.weeks import Week, weeks_of
from sitemap.telling import sentence
from sitemap.units import text
from sitemap.views import state, working
from sitemap.views.figures import drawing, table, verdict
from sitemap.views.folds import beside, fold, in_row
from sitemap.views.frame import plain
from sitemap.views.inputs import lists
from sitemap.views.inputs.noted import notes
from sitemap.wording import listed

_EFFECT = {"fits the dates": "passes", "does not fit": "ruled out"}
_MOST_LACKS = 9
_SIGNS = "look: is it cold, the morning after; again: the same on day 3, 7 and 14; striped: no work"
_BARRED = "?: may not be lit as the site stands"
_GOES_BY = "Working days, permit, closed days"
_TRIED = "when.helps"  # the site whose changes were worked out last, and what they gave


def show(a: Assessment) -> None:
    """The verdict with the calendar beside it; folded what it goes by, its later weeks, and what would help."""
    found = a.calendar
    if found is None:
        st.info(f"No calendar yet. It still takes {listed(_lacks(a), _MOST_LACKS)}.")
        fold(_GOES_BY, "when.closed", _closed)
        return
    laid = bool(found.laid.burn_days)  # days without a batch tell nothing
    told, picture = beside("dates") if laid else (st.container(), None)
    with told:
        _verdict(a, found)
    if picture is not None:
        with picture:
            _days(a, found, 0, 1)
    goes_by, more = in_row("dates", 2)
    with goes_by:
        fold(_GOES_BY, "when.closed", _closed)
    with more:
        fold("Later days, what stays unburned, what would help", "when.left", partial(_beyond, a, found))


def _verdict(a: Assessment, found: Calendar) -> None:
    """How the work fits the dates; kilns that are laid and may not be lit are named."""
    word = f"Calendar: {found.word}"
    verdict(_EFFECT.get(found.word, "conditional"), word, sentence(found.told, a.source.units), large=True)
    barred = laid_though_barred(a.decisions, found.laid.places)
    told = [f"**{plain(sentence(barred, a.source.units))}**"] if barred is not None else []
    if found.laid.burn_days:
        told.append("Some of these days will be lost to weather.")
    if told:
        st.markdown(" ".join(told))


def _closed() -> None:
    hours = ("work_days", "days_per_week", "day_starts", "day_ends")
    lists.section("season", only=hours, columns=4, part=".hours")
    lists.section("permit", only=("from", "to", "to_time", "to_time_last_day", "none_needed"), columns=3)
    lists.records("closed", "Announced bans, holidays, nesting, hunting: no batch is laid on these days.")


def _days(a: Assessment, found: Calendar, first: int, end: int | None) -> None:
    """Some of the pictures of the calendar, four weeks each; on a phone their weeks as a wall calendar."""
    with st.container(key=f"when.chart.{first}"):
        for number in range(len(parts_of(found)))[first:end]:
            drawing(chart(a, f"calendar-{number}", words_for(a.source, "en")), "Which kiln burns on which day")
    weeks = weeks_of(found.laid.days)[first * WEEKS : None if end is None else end * WEEKS]
    if weeks:
        barred = frozenset(each.spot for each in a.decisions if not each.may_be_lit)
        st.html(_STYLE + calendar_html(found, weeks, barred))


def _beyond(a: Assessment, found: Calendar) -> None:
    """What the verdict says in one sentence, kiln by kiln; what would change it, and what it rests on."""
    if found.laid.burn_days:
        _days(a, found, 1, None)
        st.markdown(
            "A kiln is moved cold. Look whether it is cold the morning after each burn, and again on day 3, 7 and 14"
            f"{_past_the_last(found)}."
        )
    _left(a, found)
    _helps(a)
    notes(found.notes, "Assumed", "when.assumed")


def _lacks(a: Assessment) -> list[str]:
    """What keeps the calendar from being laid."""
    site, ends = a.source, a.source.section("permit").date("to")
    asked = {
        "a burn date": a.on is None,
        "a time zone (page *Kilns and clock*)": site.timezone is None,
        "a kiln spot on the map": not a.spots,
        "a kiln whose size is known, at a spot with measured heaps to burn": not a.kilns,
        "a permit that has not ended by then": a.on is not None and ends is not None and ends < a.on,
    }
    return [words for words, lacking in asked.items() if lacking] or ["a time zone that can be read"]


def _past_the_last(found: Calendar) -> str:
    """The looks after the last day the calendar shows."""
    past = sorted(day for day in found.laid.looks_again if day > found.laid.days[-1].date)
    return f"; the last ones on {listed((f'{day.day} {day:%b}' for day in past), len(past))}" if past else ""


def calendar_html(found: Calendar, weeks: Sequence[Week], barred: Collection[str]) -> str:
    """Weeks of the calendar as a table: every cell can be read without colour.

    barred : the kilns that may not be lit: a day stands for them only once that is put right, and is not printed bold
    """
    heads = "".join(f'<th scope="col">{name}</th>' for name in calendar.day_abbr)
    body = "".join(_week(found, week, barred) for week in weeks)
    asked = any(key in barred for week in weeks for day in week if day for key, _ in day.batches)
    said = f"<caption>{f'{_BARRED}; ' if asked else ''}{_SIGNS}</caption>"
    return f'<table class="ps-cal">{said}<thead><tr>{heads}</tr></thead><tbody>{body}</tbody></table>'


def _week(found: Calendar, week: Week, barred: Collection[str]) -> str:
    return "<tr>" + "".join(_cell(found, day, barred) for day in week) + "</tr>"


def _kiln(name: str, count: int, *, barred: bool) -> str:
    told = f"{html.escape(name)} ?" if barred else f"<b>{html.escape(name)}</b>"
    return f"{told} ×{count}" if count > 1 else told


def _cell(found: Calendar, day: CalendarDay | None, barred: Collection[str]) -> str:
    if day is None:
        return "<td class='ps-out'></td>"
    month = calendar.month_abbr[day.date.month]
    kilns = (_kiln(found.names.get(key, key), count, barred=key in barred) for key, count in day.batches)
    lines = [" ".join(kilns)] if day.batches else []
    if day.shut == "closed":
        lines.append(f"<i>{html.escape(day.why or 'closed')}</i>")
    if day.check:
        lines.append("<i>look</i>")
    elif day.date in found.laid.looks_again:
        lines.append("<i>again</i>")
    if day.date == found.permit_ends:
        lines.append("<i>permit ends</i>")
    burns = any(key not in barred for key, _ in day.batches)
    kind = "ps-burn" if burns else "ps-wait" if day.batches else "ps-shut" if day.shut else ""
    return (
        f'<td class="{kind}"><span>{day.date.day} {month}</span>{"".join(f"<div>{line}</div>" for line in lines)}</td>'
    )


def _left(a: Assessment, found: Calendar) -> None:
    rows = []
    for run in a.kilns:
        likely, slow = (laid.left.get(run.spot, 0) for laid in (found.laid, found.slow))
        if likely or slow:
            wood = run.feed_dry_t_per_batch.likely * likely
            rows.append(
                {
                    "Kiln": found.names.get(run.spot, run.spot),
                    "Batches left": f"{likely}",
                    "Dry wood left": text(wood, "t", a.source.units, 2) if likely else "none",
                    "Left if batches are slow and many": f"{slow}",
                }
            )
    if rows:
        table(rows)


def _helps(a: Assessment) -> None:
    key = a.source, a.on
    if st.button("What would help? Work it out", key="when.helps.go"):
        task = of_assessed, helps_of, a.source, a.terrain, (a.on, a.today)
        working.begin("Working out what would help", *task, then=lambda found: state.put(_TRIED, (key, found)))
        st.rerun()
    tried: Any = state.remember(_TRIED, None)
    if tried is None or tried[0] != key:
        return
    st.markdown("**Each change alone, all else as it is, worked out anew**")
    table(
        [
            {
                "Change": sentence(each.told, a.source.units),
                "Last burn day": f"{each.last:%a} {each.last.day} {each.last:%b %Y}" if each.last else "–",
                "Batches left": f"{each.left}",
                "Left if slow and many": f"{each.left_slow}",
            }
            for each in tried[1]
        ]
    )


_STYLE = """<style>
.ps-cal {width: 100%; max-width: 60rem; table-layout: fixed; border-collapse: collapse; font-size: .85rem}
.ps-cal caption {caption-side: bottom; text-align: left; padding: .3rem; color: #3d423a; font-size: .78rem}
.ps-cal th {font-weight: 400; color: #3d423a; text-align: left; padding: .2rem .3rem}
.ps-cal td {border: 1px solid #b9beb2; vertical-align: top; padding: .2rem .3rem; height: 3.4rem;
  overflow-wrap: anywhere}
.ps-cal td > span {color: #3d423a; font-size: .75rem}
.ps-cal td.ps-burn {border: 2px solid #26302a; background: #efe9da}
.ps-cal td.ps-wait {border: 2px dashed #7a3e00}
.ps-cal td.ps-shut {background: repeating-linear-gradient(135deg, #fff 0 6px, #eef0ea 6px 8px)}
.ps-cal td.ps-out {border: 0}
.ps-cal i {color: #3d423a; font-size: .78rem}
@media (max-width: 640px) {
  [class*="st-key-when-chart"] {display: none}
  .ps-cal {font-size: .72rem; line-height: 1.25}
  .ps-cal td, .ps-cal th {padding: .1rem}
  .ps-cal td {height: 2.6rem}
}
@media (min-width: 641px) {
  .ps-cal {position: absolute; clip-path: inset(50%); display: block; width: 1px; height: 1px; overflow: hidden}
}
</style>"""
