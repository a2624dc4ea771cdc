"""The permission sheet: what an authority asks, room for its answer, one side."""

from __future__ import annotations

import re

import pytest

from sitemap.plan.contents import plan_of
from sitemap.plan.model import Blanks, every_block, every_word
from sitemap.plan.pdf import pdf_of
from sitemap.summary import said
from tests.plan.builders import assessed, one_kiln, point, sample, site


def test_law_it_holds_what_an_authority_asks_and_room_for_the_answer() -> None:
    a = sample("farm_dam")
    plan = plan_of(a, ["permission"])
    told = "\n".join(every_word(plan.sheets))
    for wanted in (
        *("Road gate", "12", "K1, K2, K3, K4", "last burn day", "WGS 84", "no heap is lit", "Escape water"),
        *(said(a.slash.char_stock_dry_t, "t", "metric"), "Fire authority (invented)", "embers", "it is none"),
    ):
        assert wanted in told, wanted
    labels = [label for block in every_block(plan) if isinstance(block, Blanks) for label in block.labels]
    assert any("number" in label for label in labels)
    assert any("signature" in label for label in labels)


@pytest.mark.parametrize(("kilns", "told"), [(10, "K1, K2, K3, K4, K5, K6, K7, K8, K9, K10"), (11, "K9 and 2 more")])
def test_law_ten_kilns_are_named_and_of_more_how_many(kilns: int, told: str) -> None:
    made = site()
    for number in range(1, kilns + 1):
        made = made.put(point(f"k{number}", "kiln_spot", 15.0 + number / 500, 60.0, name=f"K{number}", kiln="ring"))
    words = "\n".join(every_word(plan_of(assessed(made), ["permission"]).sheets))
    assert told in words


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_law_it_is_one_side_for_ten_kilns_with_long_names_and_for_nothing(paper: str) -> None:
    made = one_kiln(crew={"directions": "up the landing track " * 20, "leader": "x" * 200})
    for number in range(1, 11):
        name = f"Kiln {number} by the old oak " * 7
        made = made.put(point(f"k{number}", "kiln_spot", 15.0 + number / 500, 60.0, name=name, kiln="ring"))
        made = made.put(point(f"h{number}", "pile", 15.0 + number / 500, 60.0005, name="Heap " + "y" * 195))
    for a in (assessed(made), assessed(site())):
        assert len(re.findall(rb"/MediaBox", pdf_of(plan_of(a, ["permission"]), {}, a.on, paper))) == 1
