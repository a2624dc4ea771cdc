"""Kilns, batches, and the clock of the day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

import streamlit as st

from sitemap.kiln.values import Clock, KilnRun
from sitemap.summary import counted, said
from sitemap.units import text
from sitemap.views import charts, state
from sitemap.views.figures import figures, table
from sitemap.views.frame import page, plain
from sitemap.views.inputs import lists
from sitemap.views.inputs.noted import not_understood, notes


def _hours(moment: dt.datetime, day: dt.date) -> float:
    """Hours since midnight of the burn day, by the clock of the place."""
    return (moment.date() - day).days * 24 + moment.hour + moment.minute / 60


def _clock_rows(runs: list[tuple[KilnRun, str]], day: dt.date) -> list:
    rows = []
    for run, name in runs:
        for number, clock in enumerate(run.clocks, start=1):
            label = name if len(run.clocks) == 1 else f"{name} · {number}"
            light, water = _hours(clock.light_by, day), _hours(clock.water_on, day)
            bars = [(light, water, "burning"), (water, _hours(clock.no_steam_by, day), "quench")]
            marks = [
                (light, f"light by {clock.light_by:%H:%M}"),
                (_hours(clock.last_thick, day), f"last thick {clock.last_thick:%H:%M}"),
                (_hours(clock.stop_feeding, day), f"stop {clock.stop_feeding:%H:%M}"),
                (water, f"water {clock.water_on:%H:%M}"),
            ]
            rows.append((label, bars, marks))
    return rows


def _times(runs: Iterable[KilnRun], names: dict[str, str]) -> list[dict[str, str]]:
    """The clock in words, for a narrow screen and for those who cannot see the picture."""
    return [
        {
            "Kiln": names.get(run.spot, run.spot) + (f", batch {number}" if len(run.clocks) > 1 else ""),
            "Light by": f"{clock.light_by:%H:%M}",
            "Last thick piece": f"{clock.last_thick:%H:%M}",
            "Stop feeding": f"{clock.stop_feeding:%H:%M}",
            "Water on": f"{clock.water_on:%H:%M}",
            "Raked, no steam": f"{clock.no_steam_by:%H:%M}",
        }
        for run in runs
        for number, clock in enumerate(run.clocks, start=1)
    ]


def _checks(clock: Clock) -> str:
    words = {"first": "first", "next_morning": "next morning", "day_3": "day 3", "day_7": "day 7", "day_14": "day 14"}
    return "; ".join(f"{words.get(c.what, c.what)} {c.when:%d %b %H:%M}" for c in clock.checks)


with page("kilns"):
    a = state.assessment()
    units, burn = a.source.units, a.burn
    names = {spot.id: spot.name for spot in a.spots}
    figures(
        (
            ("Kiln batches", counted(burn.batches)),
            ("Days", counted(burn.days)),
            ("Char", said(burn.char_m3, "m3", units)),
            ("Buckets of char", counted(burn.buckets)),
            ("Bulk bags", counted(burn.bags)),
            ("Quench water in all", said(burn.quench_l, "l", units)),
        ),
        "The whole site, all kilns together.",
    )
    if burn.bag_dry_kg is not None:
        weights = (burn.bag_dry_kg, burn.bag_damp_kg, burn.bag_soaked_kg)
        dry, damp, soaked = (text(w.likely if w else None, "kg", units, 2) for w in weights)
        st.caption(
            f"A full bulk bag weighs {dry} dry, {damp} damp, {soaked} soaked: more than your machine lifts? "
            "Bag after 48 hours and two cold checks, outdoors, never in a cab or a shed the same day."
        )
    st.markdown("#### Kilns")
    if not a.source.equipment("kilns"):
        st.info("No kiln yet. Add one: its shape and its size inside say how many batches, how much char and water.")
    lists.equipment("kilns")
    st.markdown("#### The day")
    with st.container(key="day"):
        left, right = st.columns([1, 2])
    with left:
        lists.section("season", only=("date", "day_starts", "day_ends", "days_per_week"))
        zone = "site.zone"
        st.text_input(
            "Time zone",
            **state.text(zone, a.source.timezone or ""),
            placeholder="America/Denver",
            help="The clock needs it, and nothing offline gives it from the place.",
            on_change=state.guarded(
                lambda: state.edit(
                    "Time zone", state.site().with_member("timezone", (state.typed(zone) or "").strip() or None)
                )
            ),
        )
    with right:
        light = a.daylight
        if light is not None and light.sunrise and light.sunset:
            st.write(
                f"Sunrise {light.sunrise:%H:%M}, sunset {light.sunset:%H:%M} ({light.utc_offset_text}), level horizon; "
                "a ridge brings dusk earlier. Raked and no steam an hour before sunset."
            )
        elif light is not None:
            st.write(
                "The sun stays up that day: enter working hours."
                if light.kind == "no_sunset"
                else "No sunrise that day."
            )
        lit = [run for run in a.kilns if a.clock_of(run.spot)]
        rows = _clock_rows([(run, names.get(run.spot, run.spot)) for run in lit], a.on) if a.on else []
        if rows:
            start = min(bar[0] for _, bars, _ in rows for bar in bars) - 0.5
            end = max(bar[1] for _, bars, _ in rows for bar in bars) + 1
            with st.container(key="wide-clock"):
                charts.timeline(rows, start, end, "Latest times of the day")
            table(_times(lit, names))
        else:
            st.info(
                "No times: no kiln may be lit yet. The decision of each kiln, on the map page, says what to do first."
            )
    not_understood("kilns.wrong")
    for run in a.kilns:
        with st.container(border=True, key=f"run.{run.spot}.{run.id}"):
            st.markdown(f"**Kiln {plain(names.get(run.spot, run.spot))}** · {plain(run.name)}")
            figures(
                (
                    ("Batches", counted(run.batches)),
                    ("Hours a batch", said(run.hours_per_batch, "h", units)),
                    ("Wood a batch, dry", said(run.feed_dry_t_per_batch, "t", units)),
                    ("Feed rate, dry", said(run.feed_dry_t_per_h, "t_h", units)),
                    ("Char a batch", said(run.char_m3_per_batch, "m3", units)),
                    ("Quench a batch", said(run.quench_l_per_batch, "l", units)),
                    ("Water to keep pace", said(run.hold_l_min, "l_min", units)),
                    ("To drown it in the bin", said(run.flood_l, "l", units) if run.flood_l else "cannot be flooded"),
                    ("Heat at a pulse", said(run.heat_peak_kw, "kw", units)),
                    ("Heat a metre from the rim", said(run.glow_kw_m2, "kw_m2", units)),
                    ("Char lost while water is late", f"{said(run.lost_in_an_hour, 'fraction', units)} an hour"),
                )
            )
            heaps = ", ".join(f.name if (f := a.source.get(h)) else "scattered slash" for h in run.heaps) or "none"
            floor, ceiling = (said(q, "l", units) for q in (run.quench_floor_l, run.quench_ceiling_l))
            st.caption(plain(f"Burns: {heaps}. Quench: {floor} if all boils away, {ceiling} with every pore filled."))
            if run.clock and run in lit:
                st.caption("Cold checks: " + _checks(run.clock))
    notes(burn.unknowns, "Not known", "kilns.unknown")
    notes(burn.assumed, "Assumed", "kilns.assumed")
    st.markdown("#### Crew")
    lists.section("crew", columns=2)
