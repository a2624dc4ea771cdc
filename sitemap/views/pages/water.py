"""Does the water get there, and is there enough of it?"""

from __future__ import annotations

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.summary import held, said
from sitemap.units import text, to_display
from sitemap.views import charts, state
from sitemap.views.figures import figures, height_text, table, verdict
from sitemap.views.frame import page, plain
from sitemap.views.inputs import lists
from sitemap.views.inputs.noted import not_understood, notes
from sitemap.water.values import LinePicture, SpotWater, WaterLine
from sitemap.wording import capital, told, way, with_unit


def _spot(a: Assessment, spot: SpotWater) -> None:
    units = a.source.units
    name = f.name if (f := a.source.get(spot.spot_id)) else spot.spot_id
    with st.container(border=True, key=f"water.{spot.spot_id}"):
        st.markdown(f"#### Kiln {plain(name)}")
        for line, heading in ((spot.quench, "Quench line"), (spot.attack, "Attack line")):
            verdict(line.effect, f"{heading}: {line.verdict}", told(line.reason, units))
        best = spot.quench
        figures(
            (
                ("What comes out", said(best.flow_l_min, "l_min", units)),
                ("Asked for", text(best.needed_l_min, "l_min", units, 2)),
                ("Until raked and no steam", said(best.minutes_to_quench, "min", units)),
                ("Way", text(best.route_m, "m", units, 2)),
                ("Kiln to water", height_text(best.lift_m, units, "below it", "above it")),
                ("What limits it", best.fails_first or "–"),
            )
        )
        for advice in spot.advice:
            st.success(
                plain(
                    f"{capital(advice.line)} line: {told(advice.text, units).rstrip('.')} "
                    f"({advice.before} → {advice.after})"
                ),
                icon=":material/lightbulb:",
            )
        _minutes(a, spot.entries)
        hose = next((e for e in spot.entries if e.picture is not None and e.line == "quench"), None)
        if hose is not None and hose.picture is not None:
            with st.expander("The hose line as a picture", key=f"water.{spot.spot_id}.line"):
                _picture(hose.picture, units)
        with st.expander("Every source and way", key=f"water.{spot.spot_id}.all"):
            table([_row(a, entry) for entry in spot.entries])


def _row(a: Assessment, entry: WaterLine) -> dict[str, str]:
    units = a.source.units
    source = a.source.get(entry.source) if entry.source else None
    return {
        "Source": source.name if source else "–",
        "Way": way(entry.way, "–"),
        "For": f"{entry.line} line",
        "Verdict": entry.verdict,
        "Flow": said(entry.flow_l_min, "l_min", units),
        "At the nozzle": text(entry.nozzle_kpa, "kpa", units),
        "Minutes": said(entry.minutes_to_quench, "min", units),
        "Bucket loads": str(entry.loads or "–"),
        "Why": told(entry.reason, units),
    }


def _minutes(a: Assessment, entries: tuple[WaterLine, ...]) -> None:
    """A bar for each way: minutes until raked and no steam, against the hour it must be done in."""
    rows: list[tuple[str, float, float, float]] = []
    for entry in entries:
        if entry.line == "quench" and entry.minutes_to_quench is not None:
            source = a.source.get(entry.source) if entry.source else None
            name = f"{source.name if source else ''} {way(entry.way, '')}"
            low, likely, high = (min(end, 240.0) for end in entry.minutes_to_quench.triple())
            rows.append((name.strip(), low, likely, high))
    charts.range_bars(rows, "min", "metric", "Minutes to quench; within 60 (dashed)", limit=60.0)


def _picture(picture: LinePicture, units: str) -> None:
    def shown(values: tuple[float, ...], unit: str) -> list[float]:
        return [to_display(value, unit, units) for value in values]

    st.caption("Pressure along the lay, from the water to the nozzle.")
    charts.curves(
        [("pressure", shown(picture.distance_m, "m"), shown(picture.pressure_kpa, "kpa"), "")],
        with_unit("along the lay", "m", units),
        with_unit("pressure", "kpa", units),
        "Pressure along the lay",
    )
    st.caption("Where what the supply gives meets what the line asks, that flow comes out.")
    flow = to_display(picture.flow_l_min, "l_min", units)
    curve = shown(picture.curve_l_min, "l_min")
    marks = []
    for x, y, z in zip(picture.curve_l_min, picture.supply_m, picture.system_m, strict=True):
        if x >= picture.flow_l_min:
            marks = [(flow, to_display((y + z) / 2, "m", units), text(picture.flow_l_min, "l_min", units, 2))]
            break
    charts.curves(
        [
            ("the supply gives", curve, shown(picture.supply_m, "m"), ""),
            ("the line asks", curve, shown(picture.system_m, "m"), "6 4"),
        ],
        with_unit("flow", "l_min", units),
        with_unit("head", "m", units),
        "Supply and line",
        marks,
    )
    st.caption(
        f"With the nozzle shut the pressure rises to {text(picture.shut_kpa, 'kpa', units)}; the weakest hose is rated "
        f"{text(picture.rated_kpa, 'kpa', units)}."
    )


def _sources(a: Assessment) -> None:
    st.markdown("#### Each source, over all kilns alight that day")
    units = a.source.units
    table(
        [
            {
                "Source": f.name if (f := a.source.get(source.id)) else source.id,
                "Needed": said(source.litres_needed, "l", units),
                "There": held(source, units),
                "Last quench done": f"{source.last_finish:%H:%M}" if source.last_finish else "not known",
                "Verdict": source.verdict,
                "Why": told(source.reason, units),
            }
            for source in a.sources
        ]
    )


with page("water"):
    a = state.assessment()
    if a.water is None:
        st.info("Place a kiln spot and a water source on the map: then this page says whether the water gets there.")
    else:
        st.caption(
            "The quench line puts out the bin; the attack line goes for an escape, needs pressure to throw, and keeps "
            "a reserve of its own. A measured flow beats every figure here: fill a bucket at the far end of the hose."
        )
        for spot in a.water.spots:
            _spot(a, spot)
        _sources(a)
        st.markdown("#### Heights and bucket tests, source by kiln")
        lists.records(
            "links",
            "How far the kiln stands above the water, ±, and how long the far end of the hose takes to fill a bucket.",
        )
        notes(a.water.unknowns, "Not known", "water.unknown")
        notes(a.water.assumed, "Assumed", "water.assumed")
    st.markdown("#### Pumps, hoses, nozzles, machines, tanks")
    not_understood("water.wrong")
    for kind in ("pumps", "hoses", "nozzles", "machines", "tanks"):
        lists.equipment(kind)
