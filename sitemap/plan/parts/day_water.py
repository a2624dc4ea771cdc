"""Water of the day in few lines: what each source must give and has, and what reaches a kiln."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment
from sitemap.plan.model import Block, Paragraph, Table
from sitemap.plan.phrases import Words
from sitemap.plan.say import name_of, short_kiln, shortened, sign_of
from sitemap.plan.working.sources import counts
from sitemap.ranges import Drawn
from sitemap.reasons import Quantity, Range, Term, l_min, litres
from sitemap.safety.effects import CONDITIONAL, RULED_OUT, effect_of
from sitemap.water.values import SourceBudget, WaterLine
from sitemap.wording import WAYS


def water_of_the_day(a: Assessment, words: Words, most: int, letters: int) -> Iterator[Block]:
    """A row per source, the worst first; most : rows there is room for; letters : of a name."""
    sources = sorted(a.sources, key=lambda source: _ORDER.index(_effect(source)))
    shown = sources if len(sources) <= most else sources[: most - 1] if most > 1 else sources[:1]
    rows = [_row(a, source, words, letters) for source in shown]
    there = a.source.of_kind("water_source")
    if not there:
        rows = [(words("decision.no_source"), "–", "–", f"{sign_of(CONDITIONAL)} {words.shown(Term('not known'))}")]
    elif not rows:
        rows = [_waiting(shortened(feature.name, letters), words) for feature in there[:most]]
    yield Table("", words.lines("decision.water_heads"), tuple(rows), (24, 24, 24, 26))
    if len(sources) > len(shown):
        yield Paragraph(words("decision.more", n=len(sources) - len(shown)), "small")
    yield Paragraph(_reserve(a, words), "small")
    idle = [each.spot for each in a.decisions if each.effect == RULED_OUT]
    counted = [spot for spot in idle if _draws(a, spot)]
    for key, spots in (("idle", counted), ("idle_not", [spot for spot in idle if spot not in counted])):
        if spots:
            kilns = ", ".join(short_kiln(a, spot, letters) for spot in spots)
            yield Paragraph(words(f"decision.{key}", kilns=kilns), "small")


_ORDER = ("ruled out", "conditional", "passes")


def _effect(source: SourceBudget) -> str:
    return RULED_OUT if source.verdict == "short" else effect_of(source.verdict)


def _row(a: Assessment, source: SourceBudget, words: Words, letters: int) -> tuple[str, ...]:
    needed, there = source.litres_needed, source.litres_there
    held = None if there is None else litres(there, toward="down")
    return (
        shortened(name_of(a, source.id), letters),
        words("decision.nobody_draws") if needed is None else words.shown(spread(needed, "l")),
        words("decision.endless") if source.endless else words.shown(held),
        f"{sign_of(_effect(source))} {words.shown(Term(source.verdict))}",
    )


def _waiting(name: str, words: Words) -> tuple[str, ...]:
    """A source that no kiln has been reckoned against."""
    return name, words("decision.nobody_draws"), "–", "–"


def _reserve(a: Assessment, words: Words) -> str:
    if a.burn.reserve_l is None:
        return words("decision.reserve_unknown")
    return words("decision.reserve", reserve=words.shown(spread(a.burn.reserve_l, "l")))


def _draws(a: Assessment, spot: str) -> bool:
    wet = a.water.of_spot(spot) if a.water else None
    return wet is not None and wet.quench.source is not None and counts(wet.quench)


def quench_words(a: Assessment, line: WaterLine | None, words: Words, letters: int | None) -> str:
    """Verdict, flow and way of the quench line of a kiln; letters : of its source; None: no more than its verdict."""
    if line is None:
        return f"{sign_of(CONDITIONAL)} {words.shown(Term('not known'))}"
    sign = sign_of(line.effect)
    if letters is None or line.source is None or line.way is None or line.flow_l_min is None:
        return f"{sign} {words.shown(Term(line.verdict))}"
    flow, source = l_min(line.flow_l_min.likely), shortened(name_of(a, line.source), letters)
    return f"{sign} {words('decision.line', flow=flow, way=Term(WAYS[line.way]), source=source)}"


def attack_words(line: WaterLine | None, words: Words, brief: bool = False) -> str:
    """Whether the attack line throws, while a quench runs. brief : without the pressure it has"""
    if line is None:
        return f"{sign_of(CONDITIONAL)} {words.shown(Term('not known'))}"
    weak = line.verdict == "short"
    told = words("decision.weak") if weak else words.shown(Term(line.verdict))
    pressure = (
        "" if line.nozzle_kpa is None or weak or brief else f", {words.shown(Quantity(line.nozzle_kpa, 'kpa', 2))}"
    )
    return f"{sign_of(RULED_OUT if weak else line.effect)} {told}{pressure}"


def spread(drawn: Drawn, unit: str) -> Range:
    """A drawn quantity as it is told: likely, with low and high."""
    return Range(*drawn.triple(), unit, 2)
