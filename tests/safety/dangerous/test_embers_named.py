"""Who is within the reach of embers that the plan itself prints is named on the decision sheet."""

from __future__ import annotations

import pytest

from sitemap.plan.parts.who_where import reached
from tests.safety.dangerous.safe_site import SafeSite
from tests.safety.dangerous.safe_values import Values, point, square


@pytest.mark.parametrize(
    ("kind", "geometry", "said"),
    [
        ("smoke_place", point(-100, 0), {"what": "school"}),
        ("fuel_store", point(-60, -10), {}),
        ("structure", square(-106, 0, 8), {"use": "occupied_by_others"}),
        ("structure", square(-106, 0, 8), {}),
    ],
)
def test_law_places_within_the_reach_of_embers_are_named(kind: str, geometry: Values, said: Values) -> None:
    assert "NEW" not in reached(SafeSite().assessed())
    assert "NEW" in reached(SafeSite().add(kind, geometry, **said).assessed())


def test_law_what_lies_beyond_the_reach_of_embers_is_not_named() -> None:
    assert "FARM" not in reached(SafeSite().assessed())
