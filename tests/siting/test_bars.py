"""What stands against a kiln at a place: barred nearer than it may be, measured within the errors, else nothing."""

from __future__ import annotations

import pytest
from shapely import Point

from sitemap.reasons import reason
from sitemap.siting.usable import Setback


@pytest.mark.parametrize(("margin_m", "bars"), [(-0.01, True), (0.0, False), (1.49, False), (1.5, None), (2.0, None)])
def test_law_a_margin_is_held_against_the_errors_of_both_places(margin_m: float, bars: bool | None) -> None:
    bar = Setback(Point(0, 0), 10.0, reason("plain.not_known"), error_m=1.5)
    found = bar.objection(margin_m)
    assert (None if found is None else found.bars) == bars
