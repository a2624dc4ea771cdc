"""Trips timed by the watch: what they prove of a haul, and what they do not."""

from __future__ import annotations

from typing import Any

import pytest

from sitemap.telling import tell
from tests.water.test_of_site import EQUIPMENT as USUAL
from tests.water.test_of_site import lay, need, water

TRIPS = {"source": "w", "spot": "k1", "trips_by": "hand", "trips_litres": 300, "trips_seconds": 600}  # 30 L/min
CARRIERS = {"crew": {"carriers": 6}}


def carried(link: dict[str, Any] | None, litres: float = 300.0, **more: Any) -> Any:
    links = () if link is None else [link]
    return water([need("k1", litres)], [lay("hand", 30.0)], links=links, **(CARRIERS | more)).spots[0].quench


def test_law_trips_by_the_watch_prove_a_haul_as_a_bucket_proves_a_line() -> None:
    """300 L in ten minutes are 30 L/min; of 60 min some two go by until the first bucket, so that 300 L and the 4 L/min
    of the glow ask for 300 / 58 + 4 = 9 L/min (D)."""
    paper, proved = carried(None), carried(TRIPS)
    assert (paper.verdict, proved.verdict) == ("enough on paper", "enough, proved")
    assert tell(paper.action) == "haul or carry some trips as on the day, and enter what each brought and its seconds"
    assert proved.flow_l_min.likely == pytest.approx(30.0)
    assert proved.needed_l_min == pytest.approx(300 / 58 + 4, rel=0.05)
    assert carried(TRIPS | {"trips_seconds": 6000}).verdict == "short"


def test_law_trips_prove_only_the_way_and_the_machine_that_made_them() -> None:
    assert carried(TRIPS | {"trips_by": "machine"}).verdict == "enough on paper"
    assert carried(TRIPS | {"trips_by": None}).verdict == "enough on paper"
    two = [{"id": key, "name": key, "bucket_l": 150} for key in ("m", "n")]
    machines = {"equipment": USUAL | {"machines": two}}
    hauled = TRIPS | {"trips_by": "machine", "trips_litres": 360, "trips_seconds": 1800}

    def line(link: dict[str, Any], slope: float | None = 8.0) -> Any:
        way = lay("haul", 100.0, steepest_pct=slope)
        return water([need("k1", 200.0)], [way], links=[link], **machines).spots[0].quench

    assert line(hauled).verdict != "enough, proved"  # which of the two is not said
    assert line(hauled | {"trips_machine": "m"}).verdict == "enough, proved"
    assert line(hauled | {"trips_machine": "sold"}).verdict != "enough, proved"
    assert line(hauled | {"trips_machine": "m"}, slope=35.0).verdict == "short"  # it proves no slope
    assert line(hauled | {"trips_machine": "m"}, slope=25.0).verdict == "tight"


def test_law_trips_faster_than_these_people_can_walk_are_asked_again() -> None:
    """Seconds or minutes? And the six of the test are not the two of now."""
    wrong = carried(TRIPS | {"trips_seconds": 10})
    assert wrong.verdict == "not known"
    assert "were it seconds or minutes" in tell(wrong.reason)
    assert carried(TRIPS, crew={"carriers": 1}).verdict in ("not known", "short")
