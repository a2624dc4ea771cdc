"""What matters most: the figures that widen the tonnes, and the checks that hold verdicts."""

from __future__ import annotations

import datetime as dt

import numpy as np

from sitemap.assessment import Assessment, assess
from sitemap.plan.second_walk import _HOW, holds, widens
from sitemap.slash.result import QUANTITIES
from tests.site.builders import SQUARE, point, site_of, thing

SIZES = {"length_m": 6, "width_m": 5, "height_m": 2}


def of(*things: object, **site: object) -> Assessment:
    return assess(site_of(*things, site=site), on=dt.date(2026, 11, 25))


def test_law_every_quantity_has_a_way_to_know_it_better() -> None:
    assert set(_HOW) == set(QUANTITIES)


def test_law_the_order_is_that_of_the_spread_each_makes() -> None:
    """Held against the figure itself: what stands first narrows the tonnes most when it is made exact.

    A heap without look or shape: the sketch of packing (± 40 %) is wider than the tape (± 10 %).
    """
    rough = of(thing("p", name="P1", **SIZES))
    found = widens(rough)
    assert [one.share for one in found] == sorted((one.share for one in found), reverse=True)
    assert sum(one.share for one in found) < 1.2
    first = found[0]
    assert first.what.startswith("wood share")
    known = of(thing("p", name="P1", packing_ratio=0.12, packing_ratio_low=0.1199, packing_ratio_high=0.1201, **SIZES))
    taped = of(thing("p", name="P1", length_m_low=5.99, length_m_high=6.01, **SIZES))

    def spread(a: Assessment) -> float:
        return float(np.std(a.slash.char_stock_dry_t.values[1:]))

    assert spread(known) < spread(taped) < spread(rough) * 1.001


def test_law_nothing_known_widens_nothing() -> None:
    assert widens(of()) == ()
    assert holds(of()) == ()


def test_law_what_alone_holds_most_kilns_comes_first() -> None:
    """Two kilns on known ground wait for the same answers; a third, on peat, is ruled out and waits for nothing."""
    area = thing("a", "logged_area", {"type": "Polygon", "coordinates": [SQUARE]})
    spots = [
        thing("k1", "kiln_spot", point(-119.9998, 44.0005), name="K1", ground="mineral_soil"),
        thing("k2", "kiln_spot", point(-119.9994, 44.0005), name="K2", ground="rock"),
        thing("k3", "kiln_spot", point(-119.9990, 44.0005), name="K3", ground="peat"),
    ]
    a = of(area, *spots)
    found = holds(a)
    ranks = [(len(h.alone), len(h.spots)) for h in found]
    assert ranks == sorted(ranks, reverse=True)
    assert all("K3" not in h.spots for h in found)
    assert found[0].spots == ("K1", "K2")
    assert {h.check for h in found} == {
        c.check for s in a.spots if s.effect == "conditional" for c in s.checks if c.effect == "conditional"
    }
