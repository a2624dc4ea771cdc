"""Dangerous set-ups of the water, one change each to a kiln that may be lit: whole site in, decision out."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from sitemap.assessment import Assessment, assess
from sitemap.site.model import Site
from sitemap.telling import tell
from tests.test_samples import sample

Change = Callable[[Site], Site]
BASE = sample("farm_dam")
KILN = "k1"


def decided(change: Change) -> tuple[Assessment, str, str]:
    """The decision on K1 of the dam after a change, and all that bars it in words."""
    site = change(BASE.source)
    on = BASE.on
    assert on is not None
    found = assess(site, BASE.terrain, on=on)
    decision = found.decision(KILN)
    assert decision is not None
    return found, decision.word, " · ".join(f"{bar.check}: {tell(bar.reason)}" for bar in decision.because)


def dam(**values: Any) -> Change:
    def change(site: Site) -> Site:
        source = site.get("dam")
        assert source is not None
        return site.put(source.with_values(**values))

    return change


def link(**values: Any) -> Change:
    return lambda site: site.with_member("links", [{**site.records("links")[0].values, **values}])


def gear(kind: str, **values: Any) -> Change:
    return lambda site: site.with_item(kind, {**site.equipment(kind)[0].values, **values})


#  Where the hose cannot work the excavator may still bring the quench, which nobody has proved: not yet.
DANGERS: dict[str, tuple[Change, str, str]] = {
    "a bucket in minutes typed as seconds": (link(bucket_seconds=2.6), "not yet", "seconds or minutes"),
    "a bucket without its nozzle": (link(bucket_seconds=18), "not yet", "was the nozzle on"),
    "a bucket too slow": (link(bucket_seconds=120), "not yet", "by the bucket test"),
    "no bucket": (link(bucket_litres=None, bucket_seconds=None), "not yet", "water_quench"),
    "a bucket of no litres": (link(bucket_litres=None), "not yet", "water_quench"),
    "lift against the raster": (link(lift_m=1.0), "not yet", "measure it again"),
    "a hose that bursts": (gear("hoses", rated_kpa=300), "not yet", "may burst"),
    "a hose nobody knows": (gear("hoses", rated_kpa=None), "not yet", "rated for is not known"),
    "a hose in feet typed as metres": (gear("hoses", lengths_m=[20, 20]), "not yet", "does not cover"),
    "a pump without a plate": (gear("pumps", max_head_m=None), "not yet", "plate"),
    "a weak pump": (gear("pumps", max_head_m=9), "not yet", "seconds or minutes"),
    "a pump too high": (dam(suction_lift_m=7.5), "not yet", "set it lower"),
    "a pump high": (dam(suction_lift_m=5.5), "not yet", "may fail"),
    "a pump anywhere": (dam(suction_lift_m=None), "not yet", "pump stands above the water"),
    "an open hose end": (gear("nozzles", open_end=True), "not yet", "put a nozzle on"),
    "a dam run dry": (dam(usable_on_date=False), "not here", "cannot be used"),
    "a dam nobody looked at": (dam(usable_on_date=None), "not yet", "still to be had"),
    "leave refused": (dam(permission="no"), "not here", "refused"),
    "leave not asked": (dam(permission=None), "not yet", "permission to take water"),
    "leave asked": (dam(permission="asked"), "not yet", "permission to take water"),
    "a dam out of season": (dam(usable_to="2026-01-31"), "not here", "cannot be used"),
    "a dam of no depth": (dam(depth_m=None), "not yet", "how much water"),
    "a puddle": (dam(area_m2=4.0, depth_m=0.3), "not here", "lacks"),
    "no kind of source": (dam(source=None), "not yet", "kind of source"),
    "a pump that is not there": (dam(pump="lost"), "not yet", "not in the list"),
    "a pump that carries one line": (gear("pumps", max_head_m=47), "not yet", "no line is left for an escape"),
}


def test_law_the_kiln_itself_may_be_lit() -> None:
    """What every change is made to."""
    _, word, why = decided(lambda site: site)
    assert (word, why) == ("may be lit", "")


@pytest.mark.parametrize("danger", DANGERS)
def test_law_a_kiln_whose_water_is_in_doubt_may_not_be_lit(danger: str) -> None:
    """FIELD 10, 11, 13, 23, 26: told in the words of the water, and with an action."""
    change, word, says = DANGERS[danger]
    found, decision, why = decided(change)
    assert decision == word, why
    assert says in why
    assert found.clock_of(KILN) == ()
    bars = [bar for bar in found.decision(KILN).because if bar.check.startswith("water_")]  # type: ignore[union-attr]
    assert all(bar.action is not None for bar in bars)
