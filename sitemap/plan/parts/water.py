"""Water of each kiln: quench line and attack line, every way, what fails first, what would help; and the sources."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment
from sitemap.plan.model import Block, Items, Paragraph, Section, Table
from sitemap.plan.parts.day_water import attack_words
from sitemap.plan.phrases import Words
from sitemap.plan.say import brief, length, name_of, sign_of, ways_of
from sitemap.ranges import Drawn
from sitemap.reasons import KilnName, Term
from sitemap.safety.effects import RULED_OUT, effect_of
from sitemap.summary import held, said
from sitemap.units import text
from sitemap.water.values import SourceBudget, SpotWater, WaterLine
from sitemap.wording import capital, way

LIMITS = {"speed": "walking time", "lift": "height", "yield": "source"}  # what keeps a line from more, in plain words


def water(a: Assessment, words: Words) -> Section:
    """What reaches each kiln, and what each source must give on the day."""
    blocks: list[Block] = []
    spots = a.water.spots if a.water else ()
    if not spots:
        blocks.append(Paragraph(words.own("Water has not been worked out: not known, so do not light."), "strong"))
    for wet in spots:
        blocks += _kiln(a, words, wet)
    ways = dict.fromkeys(way for wet in spots for line in wet.entries for way in ways_of(line.reason))
    if ways:
        blocks.append(Paragraph(" ".join(words.told(way) for way in ways), "small"))
    blocks.append(_sources(a, words))
    reserve = words.figure(said(a.burn.reserve_l, "l", a.source.units))
    blocks.append(
        Paragraph(
            words.own(
                "Escape water: {reserve}, of its own, in place before lighting, at a nozzle with pressure to "
                "throw. The quench may not draw on it. A measured flow beats every figure here: fill a bucket at the "
                "far end of the hose, and write the seconds down.",
                reserve=reserve,
            )
        )
    )
    return Section("water", words.own("Water"), tuple(blocks))


def _kiln(a: Assessment, words: Words, wet: SpotWater) -> Iterator[Block]:
    name = capital(words.shown(KilnName(name_of(a, wet.spot_id))))
    turn = ""
    if a.clock_of(wet.spot_id) and wet.quench.done is not None:
        begin, end = words.moment(wet.quench.water_on, a.on), words.moment(wet.quench.done, a.on)
        turn = words.own("; its turn at the water {begin} to {end}", begin=begin, end=end)
    quench, attack = (_line(a, words, line) for line in (wet.quench, wet.attack))
    told = words.own("{name}: quench {quench}; attack {attack}", name=name, quench=f"{quench}{turn}", attack=attack)
    yield Paragraph(told, "strong")
    if wet.entries:
        heads = words.row(
            "Line", "Verdict", "Arrives; needed", "Way; hose; lift; nozzle", "Done in", "Limited by", "Why"
        )
        rows = tuple(_row(a, words, line) for line in wet.entries)
        yield Table("", heads, rows, (15, 14, 16, 18, 13, 10, 35), small=True)
    if wet.advice:
        tips = tuple(
            words.own(
                "{tip}: {line} line from {before} to {after}.",
                tip=words.told(tip.text).rstrip("."),
                line=words.own(tip.line),
                before=Term(tip.before),
                after=Term(tip.after),
            )
            for tip in wet.advice
        )
        yield Paragraph(words.own("What would turn it, {kiln}", kiln=KilnName(name_of(a, wet.spot_id))), "strong")
        yield Items(tips, small=True)


def _line(a: Assessment, words: Words, line: WaterLine) -> str:
    """Verdict, flow and way of one line."""
    verdict = _verdict(line, words)
    if line.source is None or line.way is None:
        return verdict
    flow = f", {text(line.flow_l_min.likely, 'l_min', a.source.units, 2)}" if line.flow_l_min is not None else ""
    return f"{verdict}{words.figure(flow)}, {_way(a, words, line)}"


def source_effect(source: SourceBudget) -> str:
    """What the verdict on a source does: one that is short bars."""
    return RULED_OUT if source.verdict == "short" else effect_of(source.verdict)


def _verdict(line: WaterLine, words: Words) -> str:
    """Of an attack line as the decision sheet says it."""
    if line.line == "attack":
        return attack_words(line, words, brief=True)
    return f"{sign_of(line.effect)} {words.shown(Term(line.verdict))}"


def _way(a: Assessment, words: Words, line: WaterLine) -> str:
    return words.own("{way} from {source}", way=words.own(way(line.way)), source=name_of(a, line.source))


def _row(a: Assessment, words: Words, line: WaterLine) -> tuple[str, ...]:
    units = a.source.units
    hose = words.own("; hose {long}", long=length(line.hose_m, units)) if line.hose_m is not None else ""
    loads = words.own("; {n} bucket {n:plural|load|loads}", n=line.loads) if line.loads is not None else ""
    lift = words.own("; lift {high}", high=length(line.lift_m, units))
    if line.lift_m is None:
        lift = words.own("; lift not known")
    needed = f"; {text(line.needed_l_min, 'l_min', units, 2)}" if line.needed_l_min is not None else ""
    nozzle = f"; {text(line.nozzle_kpa, 'kpa', units, 2)}" if line.nozzle_kpa is not None else ""
    return (
        f"{words.own(line.line)}, {_way(a, words, line)}",
        _verdict(line, words),
        words.figure(f"{said(line.flow_l_min, 'l_min', units)}{needed}"),
        f"{length(line.route_m, units)}{hose}{lift}{nozzle}",
        f"{_minutes(line.minutes_to_quench, units)}{loads}",
        words.own(LIMITS.get(line.fails_first or "", line.fails_first or "–")),
        capital(words.told(brief(line.reason))),
    )


def _minutes(quantity: Drawn | None, units: str) -> str:
    return "–" if quantity is None else said(quantity, "min", units)


def _sources(a: Assessment, words: Words) -> Table:
    units = a.source.units
    rows = []
    for source in a.sources:
        feature = a.source.get(source.id)
        usable = feature.flag("usable_on_date") if feature is not None else None
        leave = feature.choice("permission") if feature is not None else None
        given = {"yes": "given", "asked": "asked, no answer", "no": "refused"}.get(leave or "", "not asked")
        may = {True: "usable", False: "not usable", None: "use on the day not known"}[usable]
        rows.append(
            (
                name_of(a, source.id),
                words.figure(said(source.litres_needed, "l", units)) if source.litres_needed is not None else "–",
                words.figure(held(source, units)),
                f"{sign_of(source_effect(source))} {words.shown(Term(source.verdict))}",
                words.moment(source.last_finish, a.on),
                words.own("{may}; permission {given}", may=words.own(may), given=words.own(given)),
                words.told(source.reason),
            )
        )
    heads = words.row(
        "Source", "Needed with reserve", "Available", "Verdict", "Last one out, every kiln lit", "On the day", "Why"
    )
    title = words.own("Sources, shared by all kilns alight that day, in the order of their quenches")
    if not rows:
        rows = [(words.own("No water source"), *("–",) * 5, words.own("none is on the map"))]
    return Table(title, heads, tuple(rows), (16, 14, 12, 15, 11, 17, 30), small=True)
