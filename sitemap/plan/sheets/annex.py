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
    open_points,
    people,
    slash,
    water,
    workings,
)
from sitemap.plan.phrases import Words


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """The one sheet, as long as it needs."""
    blocks = (
        entered.entered(a),
        kilns.kilns(a),
        slash.slash(a),
        workings.workings(a),
        water.water(a),
        distances.distances(a),
        people.people(a),
        people.places(a),
        open_points.not_known_and_assumed(a),
        afterwards.logged(a),
        afterwards.cautions(a),
        workings.formula_list(a),
        figures.sources(a),
        figures.words(a),
    )
    return (Sheet("annex", words("annex.title"), blocks, one_side=False, body_pt=8),)
