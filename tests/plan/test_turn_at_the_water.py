"""Each kiln its own water on: the plan says when a kiln has its turn, and of a kiln that may not be lit no times."""

from __future__ import annotations

import re

from sitemap.plan.contents import plan_of
from sitemap.plan.model import words_of
from sitemap.plan.parts.water import water
from sitemap.plan.phrases import words_for
from sitemap.units import text
from tests.safety.dangerous.safe_site import SafeSite
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


def test_law_who_would_steam_past_dusk_for_want_of_a_hose_is_told_on_the_signed_sheet_to_light_earlier() -> None:
    """Two kilns at one line, both done an hour before sunset by the clock: the second waits for the hose of the first,
    and FIELD wants all done by then. One alone is not told so."""
    alone = SafeSite().drop("k2")
    alone.member["equipment"]["kilns"][0]["count"] = 1
    for safe, told in ((SafeSite(), True), (alone, False)):
        a = safe.assessed()
        assert not told or all(decision.may_be_lit for decision in a.decisions)
        late = [spot.quench.past_min for spot in (a.water.spots if a.water else ()) if spot.quench.past_min]
        assert bool(late) == told
        earlier = text(max(late), "min", "metric", 2, "up") if late else ""
        for sheet in plan_of(a, ["decision", "day"]).sheets:
            words = " ".join(words_of(sheet)).replace("\u00a0", " ")
            assert (f"{earlier} before their times: 1 waits for it, and would steam too late" in words) == told
