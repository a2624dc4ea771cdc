"""The engineer's annex: every figure with what it rests on. Not carried."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.plan.model import Sheet
from sitemap.plan.parts import (
    afterwards,
    distances,
    entered,
    figures,
    kilns,
    names,
    open_points,
    people,
    readings,
    slash,
    water,
    workings,
)
from sitemap.plan.phrases import Words


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """The one sheet, as long as it needs."""
    worked = workings.workings(a, words)
    blocks = (
        entered.entered(a, words),
        kilns.kilns(a, words),
        slash.slash(a, words),
        readings.readings(a, words),
        worked,
        water.water(a, words),
        distances.distances(a, words),
        people.people(a, words),
        people.places(a, words),
        open_points.not_known_and_assumed(a, words),
        afterwards.logged(a, words),
        afterwards.cautions(a, words),
        workings.formula_list(worked, words),
        figures.sources(a, words),
        figures.meanings(a, words),
    )
    said = tuple(each for each in blocks if each.blocks)  # where nothing is reckoned there is no heading for it
    told = names.with_short_names(a, words, said)
    return (Sheet("annex", words("annex.title"), told, one_side=False, body_pt=8),)
