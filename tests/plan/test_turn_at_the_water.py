"""Each kiln its own water on: the plan says when a kiln has its turn, and of a kiln that may not be lit no times."""

from __future__ import annotations

import re

from sitemap.plan.parts.water import water
from sitemap.plan.phrases import words_for
from tests.test_samples import sample


def test_law_the_turn_at_the_water_stands_beside_a_kiln_that_may_be_lit_and_no_other() -> None:
    a = sample("farm_dam")
    may = {decision.name: decision.may_be_lit for decision in a.decisions}
    assert sorted(may.values()) == [False, False, False, True]
    heads = [
        block.text
        for block in water(a, words_for(a.source, "en")).blocks
        if getattr(block, "text", "").startswith("Kiln ")
    ]
    for name, lit in may.items():
        (head,) = (text for text in heads if text.startswith(f"Kiln {name}:"))
        assert bool(re.search(r"its turn at the water \d\d:\d\d to \d\d:\d\d;", head)) == lit, head
