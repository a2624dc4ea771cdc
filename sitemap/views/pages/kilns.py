"""Kilns, batches, and the clock of the day: what is typed on one side, what it means on the other."""

from __future__ import annotations

import datetime as dt

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.kiln.values import Clock, KilnRun
from sitemap.notes import Note
from sitemap.ranges import Drawn
from sitemap.summary import counted, said
from sitemap.telling import day_text
from sitemap.units import text
from sitemap.views import charts, decided, state
from sitemap.views.figures import alike, figures, table, verdict_html
from sitemap.views.folds import fold, once_filled
from sitemap.views.frame import page, plain, to_map
from sitemap.views.inputs import fields, lists, where
from sitemap.views.inputs.noted import notes
from sitemap.wording import listed, with_unit, without_unit

_DAY, _HOURS = ("date", "days_per_week"), ("day_starts", "day_ends")
_FEW = 3  # kilns in sight one by one; more are folded
_BARS = ("no_batch_fits", "not_all_fit", "day_is_tight", "too_few_adults", "nobody_rakes", "no_sunrise")
_TOGETHER = {  # what bars many kilns, before their names
    "no_batch_fits": "No batch fits this daylight, so fill it less, feed it faster or choose a longer day",
    "day_is_tight": "Only a quick batch fits the day, so stop feeding at the latest time, even if it is not full",
}
_NAMES = 12  # kilns named in one line
_CHECKS = {"first": "first", "next_morning": "next morning", "day_3": "day 3:", "day_7": "day 7:", "day_14": "day 14:"}


def _typed() -> None:
    """What must be known first: the day, the kilns, the people."""
    st.markdown("#### The day")
    lists.section("season", only=_DAY, columns=2)
    _hours()
    st.markdown("#### Kilns")
    if not state.site().equipment("kilns"):
        st.info("No kiln yet. Add one: its shape and its size inside say how many batches, how much char and water.")
    kilns = state.site().equipment("kilns")
    if len(kilns) <= _FEW:
        lists.equipment("kilns")
    else:
        unread = "".join(fields.unread(kiln) for kiln in kilns)
        told = f"{listed((kiln.name for kiln in kilns), _FEW)}{unread}"
        opened = any(lists.is_new(kiln) for kiln in kilns)
        fold(
            f"All {len(kilns)} kilns",
            "kilns.all",
            lambda: lists.equipment("kilns"),
            shut=f": {plain(told)}",
            first_open=opened,
        )
    _crew()


def _hours() -> None:
    """The crew's own hours and the time zone; folded where there is a zone."""
    site = state.site()
    season = site.section("season")
    starts, ends = season.text("day_starts") or "1 h after sunrise", season.text("day_ends") or "1 h before sunset"
    told = f"{starts} to {ends}, {site.timezone or 'time zone not known'}"

    def hours() -> None:
        lists.section("season", only=_HOURS, columns=2, part=".hours")
        where.zone()

    once_filled("Hours", told, "kilns.hours", hours, filled=bool(site.timezone) and not fields.unread(season))


def _crew() -> None:
    """The people; folded from the start where it is known who is in charge and how many there are."""
    crew = state.site().section("crew")
    leader, adults, unread = crew.text("leader"), crew.number("adults"), fields.unread(crew)
    told = f"{leader}, {adults:g} adults" if leader and adults else ""
    once_filled(
        "Crew", told + unread, "kilns.crew", lambda: lists.section("crew", columns=2), filled=bool(told) and not unread
    )


def _clock(a: Assessment, names: dict[str, str]) -> None:
    """The day as a picture and in words, or why there is none; what bars a batch stands above it."""
    barring = _barring(a)
    if barring:
        _warn(a, barring)
    light = a.daylight
    if light is not None and light.sunrise and light.sunset:
        st.markdown(
            f"Sunrise {light.sunrise:%H:%M}, sunset {light.sunset:%H:%M} ({light.utc_offset_text}); a ridge brings "
            "dusk earlier. Raked and no steam an hour before sunset."
        )
    elif light is not None:
        st.markdown(
            "The sun stays up that day: enter working hours." if light.kind == "no_sunset" else "No sunrise that day."
        )
    batches = [
        (names.get(run.spot, run.spot), number, clock)
        for run in a.kilns
        if a.clock_of(run.spot)
        for number, clock in enumerate(run.clocks, start=1)
    ]
    if not batches:
        _waiting(a)
        return
    charts.clock([span for name, _, clock in batches for span in _spans(name, clock)], "clock")
    table([_times(name, number, clock) for name, number, clock in batches])
    st.markdown("Cold checks: " + _checks(batches[-1][2]) + ". Nobody leaves before the first.")


def _waiting(a: Assessment) -> None:
    """Why there are no times yet: of each kiln its decision and what to do first; the map says why."""
    st.info("No times: no kiln may be lit yet." + ("" if a.spots else " Put a kiln spot on the map."))
    if not a.spots:
        to_map("Put it on the map", "kilns.map", "kiln_spot")
    if a.spots:
        st.html("".join(verdict_html(each.effect, each.title, each.first) for each in decided.by_first_step(a)))


def _barring(a: Assessment) -> list[Note]:
    """What keeps a batch from the day, or may: said before the clock, never in small print. Where some kilns have their
    times, how long another would take is no matter of that day."""
    timed = {run.spot for run in a.kilns if a.clock_of(run.spot)}
    return [
        note
        for note in (*a.burn.unknowns, *a.burn.assumed)
        if note.what in _BARS and not (timed and note.what == "day_is_tight" and note.about not in timed)
    ]


def _warn(a: Assessment, barring: list[Note]) -> None:
    """What bars, in sight; of many kilns what they have in common with their names, and each of them folded."""
    units = a.source.units
    alike: dict[str, list[Note]] = {}
    for note in barring:
        alike.setdefault(note.what, []).append(note)
    many = {what: notes for what, notes in alike.items() if len(notes) > _FEW and what in _TOGETHER}
    told = [f"{_TOGETHER[what]}: {listed(_abouts(a, notes), _NAMES)}." for what, notes in many.items()]
    told += dict.fromkeys(note.told(units) for note in barring if note.what not in many)
    st.warning("\n\n".join(map(plain, told)))
    if many:
        each = [plain(note.told(units)) for notes in many.values() for note in notes]
        fold("How long each takes", "kilns.barring", lambda: st.markdown("\n".join(f"- {words}" for words in each)))


def _abouts(a: Assessment, notes: list[Note]) -> list[str]:
    """Names of the kiln spots, or kilns, that notes are about."""
    kilns = {kiln.id: kiln.name for kiln in a.source.equipment("kilns")}
    return [f.name if (f := a.source.get(note.about)) else kilns.get(note.about, note.about) for note in notes]


def _spans(name: str, clock: Clock) -> tuple[charts.Span, ...]:
    burning, wet = charts.PHASES
    return (
        charts.Span(name, clock.light_by, clock.water_on, burning),
        charts.Span(name, clock.water_on, clock.no_steam_by, wet),
    )


def _times(name: str, number: int, clock: Clock) -> dict[str, str]:
    return {
        "Kiln": f"{name}, batch {number}" if number > 1 else name,
        "Light by": f"{clock.light_by:%H:%M}",
        "Last thick piece": f"{clock.last_thick:%H:%M}",
        "Stop feeding": f"{clock.stop_feeding:%H:%M}",
        "Water on": f"{clock.water_on:%H:%M}",
        "No steam, raked": f"{clock.no_steam_by:%H:%M}",
    }


def _checks(clock: Clock) -> str:
    return "; ".join(f"{_CHECKS.get(c.what, c.what)} {_day(c.when)} {c.when:%H:%M}" for c in clock.checks)


def _day(when: dt.datetime) -> str:
    return day_text(when.date()).rsplit(" ", 1)[0]  # without its year


def _totals(a: Assessment) -> None:
    burn, units = a.burn, a.source.units
    if burn.batches is None and not a.kilns:
        return  # six times "not known" says less than the sentence below
    st.markdown("#### The whole site, all kilns together")
    figures(
        (
            ("Kiln batches", counted(burn.batches)),
            ("Days", counted(burn.days)),
            ("Char", said(burn.char_m3, "m3", units)),
            ("Buckets of char", counted(burn.buckets)),
            ("Bulk bags", counted(burn.bags)),
            ("Quench water in all", said(burn.quench_l, "l", units)),
        )
    )


def _bags(a: Assessment) -> None:
    burn, units = a.burn, a.source.units
    if burn.bag_dry_kg is not None:
        weights = (burn.bag_dry_kg, burn.bag_damp_kg, burn.bag_soaked_kg)
        dry, damp, soaked = (text(w.likely if w else None, "kg", units, 2) for w in weights)
        st.markdown(
            f"**A full bulk bag weighs {dry} dry, {damp} damp, {soaked} soaked**: read on the machine's plate what "
            "it lifts. Bag after 48 hours and two cold checks, outdoors, never in a cab or a shed the same "
            "day."
        )


def _compared(a: Assessment, names: dict[str, str]) -> None:
    """All kilns in one table; what is rarely asked folded below it."""
    if not a.kilns:
        return
    st.markdown("#### Kiln by kiln")
    table(alike([_batch(a, run, names) for run in a.kilns]))
    fold(
        "What it burns, heat, feed, and what the water must do",
        "kilns.more",
        lambda: table([_heat(a, run, names) for run in a.kilns]),
    )


def _batch(a: Assessment, run: KilnRun, names: dict[str, str]) -> dict[str, str]:
    asked = (("Char a batch", run.char_m3_per_batch, "m3"), ("Quench a batch", run.quench_l_per_batch, "l"))
    return {
        "Kiln": names.get(run.spot, run.spot),
        "Batches": counted(run.batches),
        "Hours a batch": without_unit(said(run.hours_per_batch, "h", a.source.units), "h", a.source.units),
        **_figures(asked, a.source.units),
    }


def _heat(a: Assessment, run: KilnRun, names: dict[str, str]) -> dict[str, str]:
    units = a.source.units
    heaps = ", ".join(f.name if (f := a.source.get(h)) else "scattered slash" for h in run.heaps) or "none"
    asked = (
        ("Wood, dry", run.feed_dry_t_per_batch, "t"),
        ("Feed rate, dry", run.feed_dry_t_per_h, "t_h"),
        ("Water to keep pace", run.hold_l_min, "l_min"),
        ("Quench if all boils away", run.quench_floor_l, "l"),
        ("With every pore filled", run.quench_ceiling_l, "l"),
        ("To drown it in the bin", run.flood_l, "l"),
        ("To rake it out, one crew", run.rake_min, "min"),
        ("Heat at a pulse", run.heat_peak_kw, "kw"),
        (f"Heat {text(1.0, 'm', units, 2)} from the rim", run.glow_kw_m2, "kw_m2"),
        ("Char lost each hour without water", run.lost_in_an_hour, "fraction"),
    )
    shown = _figures(asked, units)
    drown = with_unit("To drown it in the bin", "l", units)
    drowned = shown[drown] if run.flood_l else "cannot be flooded"
    return {"Kiln": names.get(run.spot, run.spot), "Which": run.name, "Burns": heaps, **shown, drown: drowned}


def _figures(asked: tuple[tuple[str, Drawn | None, str], ...], units: str) -> dict[str, str]:
    """Figures with their units in the heads."""
    return {
        with_unit(name, unit, units): without_unit(said(value, unit, units), unit, units) for name, value, unit in asked
    }


with page("kilns"):
    a = state.assessment()
    names = {spot.id: spot.name for spot in a.spots}
    left, right = st.columns([3, 5], gap="large")
    with left, st.container(key="typed.kilns"):
        _typed()
    with right, st.container(key="day"):
        st.markdown("#### The clock")
        _clock(a, names)
    _compared(a, names)
    _totals(a)
    _bags(a)
    notes((n for n in a.burn.unknowns if n.what not in _BARS), "Not known", "kilns.unknown")
    notes((n for n in a.burn.assumed if n.what not in _BARS), "Assumed", "kilns.assumed", folded=True)
