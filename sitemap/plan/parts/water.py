"""Water of each kiln: quench line and attack line, every way, what fails first, what would help; and the sources."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment
from sitemap.notes import kiln_called
from sitemap.plan.model import Block, Items, Paragraph, Section, Table
from sitemap.plan.say import brief, length, line_words, moment, name_of, signed
from sitemap.ranges import Drawn
from sitemap.summary import held, said
from sitemap.units import text
from sitemap.water.values import SpotWater, WaterLine
from sitemap.wording import capital, told, way

LIMITS = {"speed": "walking time", "lift": "height", "yield": "source"}  # what keeps a line from more, in plain words


def water(a: Assessment) -> Section:
    """What reaches each kiln, and what each source must give on the day."""
    blocks: list[Block] = []
    if a.water is None or not a.water.spots:
        blocks.append(Paragraph("Water has not been worked out: not known, so do not light.", "strong"))
    for wet in a.water.spots if a.water else ():
        blocks += _kiln(a, wet)
    blocks.append(_sources(a))
    reserve = said(a.burn.reserve_l, "l", a.source.units)
    blocks.append(
        Paragraph(
            f"Reserve for an escape: {reserve}, of its own, in place before lighting, at a nozzle with pressure to "
            "throw. The quench may not draw on it. A measured flow beats every figure here: fill a bucket at the far "
            "end of the hose, and write the seconds down."
        )
    )
    return Section("water", "Water", tuple(blocks))


def _kiln(a: Assessment, wet: SpotWater) -> Iterator[Block]:
    name = capital(kiln_called(name_of(a, wet.spot_id)))
    turn = ""
    if a.clock_of(wet.spot_id) and wet.quench.done is not None:
        turn = f"; its turn at the water {moment(wet.quench.water_on, a.on)} to {moment(wet.quench.done, a.on)}"
    yield Paragraph(f"{name}: quench {line_words(a, wet.quench)}{turn}; attack {line_words(a, wet.attack)}", "strong")
    if wet.entries:
        heads = ("Line", "Verdict", "Arrives; needed", "Way; hose; lift; nozzle", "Done in", "Limited by", "Why")
        rows = tuple(_row(a, line) for line in wet.entries)
        yield Table("", heads, rows, (16, 10, 15, 18, 12, 8, 42), small=True)
    if wet.advice:
        tips = tuple(
            f"{told(tip.text, a.source.units).rstrip('.')}: {tip.line} line from {tip.before} to {tip.after}."
            for tip in wet.advice
        )
        yield Paragraph(f"What would turn it, {kiln_called(name_of(a, wet.spot_id))}", "strong")
        yield Items(tips, small=True)


def _row(a: Assessment, line: WaterLine) -> tuple[str, ...]:
    units = a.source.units
    hose = f"; hose {length(line.hose_m, units)}" if line.hose_m is not None else ""
    loads = f"; {line.loads} bucket loads" if line.loads is not None else ""
    lift = f"; lift {length(line.lift_m, units)}" if line.lift_m is not None else "; lift not known"
    needed = f"; {text(line.needed_l_min, 'l_min', units, 2)}" if line.needed_l_min is not None else ""
    nozzle = f"; {text(line.nozzle_kpa, 'kpa', units, 2)}" if line.nozzle_kpa is not None else ""
    return (
        f"{line.line}, {way(line.way)} from {name_of(a, line.source)}",
        signed(line.verdict, line.effect),
        f"{said(line.flow_l_min, 'l_min', units)}{needed}",
        f"{length(line.route_m, units)}{hose}{lift}{nozzle}",
        f"{_minutes(line.minutes_to_quench, units)}{loads}",
        LIMITS.get(line.fails_first or "", line.fails_first or "–"),
        capital(told(brief(line.reason), units)),
    )


def _minutes(quantity: Drawn | None, units: str) -> str:
    return "–" if quantity is None else said(quantity, "min", units)


def _sources(a: Assessment) -> Table:
    units = a.source.units
    rows = []
    for source in a.sources:
        feature = a.source.get(source.id)
        usable = feature.flag("usable_on_date") if feature is not None else None
        leave = feature.choice("permission") if feature is not None else None
        words = {"yes": "given", "asked": "asked, no answer", "no": "refused"}
        rows.append(
            (
                name_of(a, source.id),
                said(source.litres_needed, "l", units) if source.litres_needed is not None else "–",
                held(source, units),
                signed(source.verdict),
                moment(source.last_finish, a.on),
                {True: "usable", False: "not usable", None: "use on the day not known"}[usable]
                + f"; permission {words.get(leave or '', 'not asked')}",
                told(source.reason, units),
            )
        )
    heads = ("Source", "Needed with reserve", "Available", "Verdict", "Last finish, all kilns", "On the day", "Why")
    title = "Sources, shared by all kilns alight that day, in the order of their quenches"
    if not rows:
        rows = [("No water source", *("–",) * 5, "none is on the map")]
    return Table(title, heads, tuple(rows), (16, 14, 12, 15, 11, 17, 30), small=True)
