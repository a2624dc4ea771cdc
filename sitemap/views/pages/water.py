"""Does the water get there, and is there enough of it? What is on hand first, then all kilns, then one of them."""

from __future__ import annotations

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.hydraulics.friction import KPA_PER_M
from sitemap.plan.parts.water import source_effect
from sitemap.plan.phrases import words_for
from sitemap.safety.effects import RULED_OUT
from sitemap.summary import said
from sitemap.telling import word
from sitemap.units import compared, text
from sitemap.views import charts, state
from sitemap.views.figures import alike, height_text, sign, table, verdict
from sitemap.views.folds import fold, once_filled
from sitemap.views.frame import page, plain, to_map
from sitemap.views.inputs import heights, lists
from sitemap.views.inputs.noted import notes
from sitemap.views.map import seen_again
from sitemap.water.values import LinePicture, SourceBudget, SpotWater, WaterLine
from sitemap.wording import capital, listed, told, way, with_unit, without_unit

_GEAR = ("pumps", "hoses", "nozzles", "machines", "tanks")
_ALWAYS = ("Kiln", "Quench line", "Attack line")  # columns that stand also where nothing is known
_LONGEST_MIN = 240.0  # a bar longer than that says no more


def _name(a: Assessment, feature_id: str | None) -> str:
    feature = a.source.get(feature_id) if feature_id else None
    return feature.name if feature else feature_id or "–"


def _on_hand(a: Assessment) -> None:
    """What is typed: pumps and hoses, then the facts of one source and one kiln together; what is there is folded."""
    site = state.site()
    gear = [item.name for kind in _GEAR for item in site.equipment(kind)]
    once_filled(
        "Pumps, hoses, nozzles, machines, tanks",
        listed(gear),
        "water.gear",
        lambda: lists.gear(_GEAR),
        filled=bool(gear),
    )
    spots = site.of_kind("kiln_spot")
    if not spots or not site.of_kind("water_source"):
        return
    linked = {record.text("spot") for record in site.records("links")}
    without = [spot.name for spot in spots if spot.id not in linked]
    told = f"none for {listed(without)}" if without else "for every kiln"

    def links() -> None:
        st.markdown(
            "How far the kiln stands above the water, ±, and how long the far end of the hose takes to fill a bucket. "
            "A measured flow beats every figure here."
        )
        lists.records("links")

    heights.show(a)
    fold("**Heights and bucket tests**", "water.links", links, shut=f": {plain(told)}")
    seen_again.of_buckets(a)


def _compared(a: Assessment, spots: tuple[SpotWater, ...]) -> None:
    st.markdown("#### Does it get there?")
    st.markdown(
        "The quench line puts out the kiln; the attack line goes for an escape, needs pressure to throw, and keeps a "
        "reserve of its own."
    )
    rows = [_figures(a, spot) for spot in spots]
    known = [head for head in rows[0] if head in _ALWAYS or any(row[head] != "not known" for row in rows)]
    table(alike([{head: row[head] for head in known} for row in rows]))
    fold(
        "Way, height, raking, and what limits the line",
        "water.more",
        lambda: table(alike([_ways(a, spot) for spot in spots])),
    )


def _sign_and_word(line: WaterLine) -> tuple[str, str]:
    """How a line is told: an attack line that is short is told as on paper, for it stops no escape."""
    if line.line == "attack" and line.verdict == "short":
        return RULED_OUT, words_for(state.site(), "en")("decision.weak")
    return line.effect, word(line.verdict)


def _verdict(line: WaterLine) -> str:
    effect, words = _sign_and_word(line)
    return f"{sign(effect)} {words}"


def _figures(a: Assessment, spot: SpotWater) -> dict[str, str]:
    units, best = a.source.units, spot.quench
    return {
        "Kiln": _name(a, spot.spot_id),
        "Quench line": _verdict(spot.quench),
        "Attack line": _verdict(spot.attack),
        with_unit("Comes out", "l_min", units): _bare(said(best.flow_l_min, "l_min", units), "l_min", units),
        with_unit("Asked for", "l_min", units): _bare(text(best.needed_l_min, "l_min", units, 2), "l_min", units),
        with_unit("Water runs", "min", units): _bare(said(best.minutes_to_quench, "min", units), "min", units),
    }


def _ways(a: Assessment, spot: SpotWater) -> dict[str, str]:
    """What the water has to pass, and what it is for."""
    units, best = a.source.units, spot.quench
    run = next((run for run in a.kilns if run.spot == spot.spot_id), None)
    rake = said(run.rake_min, "min", units) if run and run.rake_min.likely else "not raked"
    return {
        "Kiln": _name(a, spot.spot_id),
        with_unit("To rake it out", "min", units): _bare(rake, "min", units),
        with_unit("Way", "m", units): _bare(text(best.route_m, "m", units, 2), "m", units),
        "Kiln to water": height_text(best.lift_m, units, "below", "above"),
        "What limits it": best.fails_first or "–",
    }


def _bare(figure: str, unit: str, units: str) -> str:
    return without_unit(figure, unit, units)


def _one(a: Assessment, spots: tuple[SpotWater, ...]) -> None:
    """One kiln in full: why, what would turn it, every way, the lay as a picture."""
    names = {spot.spot_id: _name(a, spot.spot_id) for spot in spots}
    weakest = next((spot for spot in spots if spot.quench.effect != "passes"), spots[0]).spot_id
    st.markdown("#### One kiln in full")
    chosen = weakest
    if len(names) > 1:
        chosen = st.segmented_control(
            "Kiln",
            list(names),
            default=weakest,
            format_func=lambda kiln: plain(names[kiln]),
            key="water.kiln",
            required=True,
        )
    spot = next((spot for spot in spots if spot.spot_id == chosen), spots[0])
    units = a.source.units
    for line, heading in ((spot.quench, "Quench line"), (spot.attack, "Attack line")):
        effect, words = _sign_and_word(line)
        verdict(effect, f"{heading}: {words}", told(line.reason, units))
    if spot.advice:
        st.markdown("**What would turn it**\n" + "\n".join(f"- {plain(words)}" for words in _advice(spot, units)))
    hose = next((e.picture for e in spot.entries if e.picture is not None and e.line == "quench"), None)
    if hose is not None:
        _profile(hose, units, f"water.lay.{spot.spot_id}")

    def ways() -> None:
        _minutes(a, spot)
        table([_row(a, entry) for entry in spot.entries])
        if hose is not None:
            st.markdown("**Pressure in the hose**")
            _meeting(hose, units, f"water.meeting.{spot.spot_id}")

    fold("Every source and way" + (", pressure in the hose" if hose is not None else ""), "water.all", ways)


def _advice(spot: SpotWater, units: str) -> list[str]:
    return [
        f"{capital(one.line)} line: {told(one.text, units).rstrip('.')} ({one.before} → {one.after})"
        for one in spot.advice
    ]


def _row(a: Assessment, entry: WaterLine) -> dict[str, str]:
    units = a.source.units
    return {
        "Source": _name(a, entry.source),
        "Way": way(entry.way, "–"),
        "For": f"{entry.line} line",
        "Verdict": _sign_and_word(entry)[1],
        with_unit("Flow", "l_min", units): _bare(said(entry.flow_l_min, "l_min", units), "l_min", units),
        with_unit("At the nozzle", "kpa", units): _bare(text(entry.nozzle_kpa, "kpa", units), "kpa", units),
        "Minutes": _bare(said(entry.minutes_to_quench, "min", units), "min", units),
        "Bucket loads": str(entry.loads or "–"),
        "Why": told(entry.reason, units),
    }


def _minutes(a: Assessment, spot: SpotWater) -> None:
    """A bar for each way: minutes the water runs, against the hour in which the kiln must be out."""
    rows: list[tuple[str, float, float, float]] = []
    for entry in spot.entries:
        if entry.line == "quench" and entry.minutes_to_quench is not None:
            name = f"{_name(a, entry.source)} {way(entry.way, '')}".strip()
            low, likely, high = (min(end, _LONGEST_MIN) for end in entry.minutes_to_quench.triple())
            rows.append((name, low, likely, high))
    charts.range_bars(rows, "min", "metric", "Water runs; within 60 (dashed)", f"water.bars.{spot.spot_id}", limit=60.0)


def _profile(picture: LinePicture, units: str, key: str) -> None:
    """The ground below the lay, and how high its pressure would lift water: the hydraulic grade line."""
    lifts = [h + kpa / KPA_PER_M for h, kpa in zip(picture.height_m, picture.pressure_kpa, strict=True)]
    charts.lines(
        [
            ("ground", picture.distance_m, picture.height_m),
            ("as high as its pressure lifts it", picture.distance_m, lifts),
        ],
        ("along the lay from the water", "m"),
        ("above the water", "m"),
        units,
        key,
    )


def _meeting(picture: LinePicture, units: str, key: str) -> None:
    st.markdown(f"{_shut(picture, units)} Where what the supply gives meets what the line asks, that flow comes out.")
    at = next(
        (
            (picture.flow_l_min, (supply + asked) / 2, text(picture.flow_l_min, "l_min", units, 2))
            for flow, supply, asked in zip(picture.curve_l_min, picture.supply_m, picture.system_m, strict=True)
            if flow >= picture.flow_l_min
        ),
        None,
    )
    charts.lines(
        [
            ("the supply gives", picture.curve_l_min, picture.supply_m),
            ("the line asks", picture.curve_l_min, picture.system_m),
        ],
        ("flow", "l_min"),
        ("head", "m"),
        units,
        key,
        at,
    )


def _shut(picture: LinePicture, units: str) -> str:
    """The highest pressure, and what the hose bears."""
    if picture.rated_kpa is None:
        return f"With the nozzle shut the pressure rises to {text(picture.shut_kpa, 'kpa', units)}."
    rises, rated = compared(picture.shut_kpa, picture.rated_kpa, "kpa", units, 3)
    return f"With the nozzle shut the pressure rises to {rises}; the weakest hose is rated {rated}."


def _sources(a: Assessment) -> None:
    st.markdown("#### Each source, over all kilns alight that day")
    table(
        [
            {
                "Source": _name(a, source.id),
                "Verdict": f"{sign(source_effect(source))} {word(source.verdict)}",
                "Last one out, every kiln lit": f"{source.last_finish:%H:%M}" if source.last_finish else "not known",
                "Why": _why(a, source),
            }
            for source in a.sources
        ]
    )


def _why(a: Assessment, source: SourceBudget) -> str:
    """What is asked and what is there, which the finding says where both are known."""
    units, why = a.source.units, told(source.reason, a.source.units)
    if source.litres_needed is None or source.endless or source.litres_there is not None:
        return why
    return f"{why.rstrip('.')}; needed: {said(source.litres_needed, 'l', units)}."


with page("water"):
    a = state.assessment()
    if not a.source.of_kind("water_source"):
        st.info("No water source yet: put a tank, tap, pond or stream on the map, then type what it holds and gives.")
        to_map("Draw it on the map", "water.map", "water_source")
    _on_hand(a)
    if a.water is None or not a.water.spots:
        st.info("Place a kiln spot and a water source on the map: then this page says whether the water gets there.")
    else:
        _compared(a, a.water.spots)
        _one(a, a.water.spots)
        _sources(a)
        notes(a.water.unknowns, "Not known", "water.unknown")
        moved = [note for note in a.assumed if note.what == "counted_as_if_moved"]
        notes((*moved, *a.water.assumed), "Assumed", "water.assumed", folded=True)
