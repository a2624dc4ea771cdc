"""Is it cold? Every place that burned, which look is due, and one line to note a look."""

from __future__ import annotations

import datetime as dt
import zoneinfo
from contextlib import suppress

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.errors import BadValue
from sitemap.kiln.reading import hour_minute
from sitemap.season.cold import Due
from sitemap.season.cold_of_site import Burned
from sitemap.site.cells import read_cell
from sitemap.site.equipment import RECORDS
from sitemap.site.frozen import thaw
from sitemap.site.model import Site
from sitemap.telling import day_text, sentence
from sitemap.views import state
from sitemap.views.figures import table, verdict
from sitemap.views.folds import fold
from sitemap.views.inputs import drafts, lists

_WHO, _KILN, _DAY, _TIME = (f"draft.cold.{name}" for name in ("who", "kiln", "day", "time"))
_HEADS = {"first": "2 h after", "next_morning": "Next day", "day_3": "Day 3", "day_7": "Day 7", "day_14": "Day 14"}
_HOW = (
    "Look and smell. Hold the back of the hand above it. Push a metal rod into the middle, the corners and under the "
    "largest piece, wait, and feel the rod. Break lumps. Only then use hands. Look again two hours later, next "
    "morning, on day 3, 7 and 14 (bare rings and roots longest), and on the first warm windy day. Char that was cold "
    "can glow again, also in a bag: bag it after 48 hours and two cold checks, outdoors."
)


def show(a: Assessment) -> None:
    """How each place stands, the line to note a look, and every look to change."""
    for each in a.burned:
        verdict("passes" if each.proved else "ruled out", _head(each), sentence(each.told, a.source.units))
    if a.burned:
        _note(a.source, a.burned)
        table([_dues(each) for each in a.burned if each.cold is not None])
    else:
        st.markdown("Nothing has burned yet. Write a batch down below, and its cold checks stand here with their days.")
    fold("How to make a cold check", "cold.how", lambda: st.markdown(_HOW))
    count = len(a.source.records("cold"))
    fold(
        "Cold checks, one by one",
        "cold.all",
        lambda: lists.records(
            "cold", "A look counts with its day and a name. One that does not say what it found is not cold."
        ),
        shut=f" ({count})" if count else "",
    )


def _head(burned: Burned) -> str:
    name = burned.name or "A kiln nobody named"
    return f"{name}: {'proved cold' if burned.proved else 'not proved cold'}"


def _dues(burned: Burned) -> dict[str, str]:
    """One line: what was done, and what is due when."""
    dues = () if burned.cold is None else burned.cold.dues
    return {"Kiln": burned.name or "–", **{_HEADS[due.what]: _done(due) for due in dues}}


def _done(due: Due) -> str:
    if due.done is not None and due.done.on is not None:
        return f"✓ {due.done.who}, {_moment(due.done.on, due.done.at)}"
    return f"{'OVERDUE since' if due.on < dt.date.today() else 'due'} {_moment(due.on, due.at)}"


def _moment(on: dt.date, at: dt.time | None) -> str:
    day = day_text(on).rsplit(" ", 1)[0]
    return day if at is None else f"{day} {at:%H:%M}"


def _note(site: Site, burned: tuple[Burned, ...]) -> None:
    names = list(dict.fromkeys(each.name for each in burned if each.name))
    if not names:
        return
    now = here_and_now(site)
    with st.container(key="cold.note"):
        who, kiln, day, time = st.columns(4, vertical_alignment="bottom")
        drafts.text(who, "Who looked", _WHO, last_who(site))
        kiln.selectbox("At kiln", names, key=_KILN)
        drafts.text(day, "Day", _DAY, placeholder=day_text(now.date()))
        drafts.text(time, "Time", _TIME, placeholder=f"{now:%H:%M}, now")
        with st.container(horizontal=True, key="cold.found"):
            st.button("It is cold", key="cold.keep", on_click=state.guarded(_keep), args=("cold",), type="primary")
            st.button("A warm place", key="cold.warm", on_click=state.guarded(_keep), args=("warm",))
    st.markdown("A warm place: water, rake, and every check begins again.")


def _keep(found: str) -> None:
    """Keep a look. Day and time left blank are this moment; a day alone has no time."""
    site, now = state.site(), here_and_now(state.site())
    who, kiln, day, time = (str(state.typed(key) or "").strip() for key in (_WHO, _KILN, _DAY, _TIME))
    if not who:
        state.say("Say who looked: a look without a name does not count.")
        return
    attributes = {attribute.name: attribute for attribute in RECORDS["cold"].attributes}
    try:
        date = read_cell(attributes["date"], day, site.units) if day else now.date().isoformat()
        time = time if day or time else f"{now:%H:%M}"
        if time:
            hour_minute(time)
    except BadValue as bad:
        state.say(f"{bad} Nothing was noted.")
        return
    record = {"kiln": kiln, "date": date, "time": time or None, "who": who, "found": found}
    rows = [thaw(each.values) for each in site.records("cold")]
    kept = {key: value for key, value in record.items() if value is not None}
    state.edit(f"Cold check at {kiln}: {found}", site.with_member("cold", [*rows, kept]))


def here_and_now(site: Site) -> dt.datetime:
    """The moment by the clock of the site; by that of this computer where its zone is not known."""
    zone = None
    if site.timezone is not None:
        with suppress(zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
            zone = zoneinfo.ZoneInfo(site.timezone)
    return dt.datetime.now(zone).replace(tzinfo=None)


def last_who(site: Site) -> str:
    """Who looked last, else who is in charge."""
    named = [who for entry in site.records("cold") if (who := entry.text("who"))]
    return named[-1] if named else site.section("crew").text("leader") or ""
