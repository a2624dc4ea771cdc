"""Proposals as the command line tells them: figures rounded as they are known, a sentence once."""

from __future__ import annotations

import json

from sitemap.reasons import reason
from sitemap.siting.paper import place_json, place_text
from sitemap.siting.propose import Placing, Proposed, ProposedPlace

WHY = reason("siting.usable_means")
SPOT = ProposedPlace(-121.123456789, 44.987654321, 12.3456789, (WHY, WHY), ())
PLACING = Placing(
    (Proposed((SPOT, SPOT), 3.14159265, 2.0, 1.0, 0.14159265, (WHY,)), Proposed((SPOT,), 9.0, 8.0, 1.0, 0.0, ())), ()
)


def test_law_places_are_told_to_a_centimetre_and_figures_to_six_digits() -> None:
    """Seven decimals of a degree are 1 cm: the metre was made a ten-millionth of the quarter meridian (S)."""
    told = json.loads(place_json(PLACING, "metric"))
    first, second = told["proposals"]
    assert (len(first["spots"]), len(second["spots"])) == (2, 1)
    assert [first[key] for key in ("machine_hours", "haul_h", "water_h", "move_h")] == [3.14159, 2.0, 1.0, 0.141593]
    spot = first["spots"][0]
    assert (spot["lon"], spot["lat"], spot["dry_t"]) == (-121.1234568, 44.9876543, 12.3457)
    assert spot["why"].count(".") == 1
    assert (told["kiln"], told["why_none"]) == (None, None)


def test_law_the_least_work_stands_first_and_why_there_is_none_instead() -> None:
    lines = place_text(PLACING, "metric").splitlines()
    assert [line[:2] for line in lines] == ["1.", "  ", "  ", "2.", "  ", lines[-1][:2]]
    assert lines[1].startswith("   44.987654, -121.123457: ")
    assert lines[-1] == place_text(Placing((), ()), "us").strip()
    none = Placing((), (reason("plain.not_known"),))
    assert place_text(none, "metric").splitlines()[0] == "Not known."
    assert json.loads(place_json(none, "metric"))["why_none"] == "Not known."
