"""Ground in colour, beside the usable ground it is drawn from."""

import itertools

import numpy as np
import pytest
from shapely.geometry import shape

from sitemap.assessment import assess
from sitemap.maps.ground import PATTERNS, ground_overlays
from sitemap.maps.symbols import HATCHES, OVERLAY_SAYS, OVERLAYS
from sitemap.siting.of_site import usable_of
from sitemap.terrain.terrain import Terrain
from tests.siting.test_propose import FLAT, ON, small_site


def test_law_a_place_has_one_pattern_and_barred_and_usable_ground_fill_the_work_area() -> None:
    """12 % on the eastern half; heaps bar by their distance. The areas are made of cells of 2 m, so to a cell's width
    along each edge."""
    x, _ = FLAT.grid.centres()
    slope = Terrain(FLAT.grid, np.where(x > 0, 0.12 * x, 0.0).astype(np.float32), 2.0)
    a = assess(small_site(), slope, on=ON)
    assert a.plane is not None
    usable = usable_of(a)
    drawn = {each.style: a.plane.forward(shape(each.geometry)) for each in ground_overlays(usable, a.plane)}
    assert {"usable", "barred near", "barred slope"} <= set(drawn)
    for one, other in itertools.combinations([area for style, area in drawn.items() if style != "usable"], 2):
        assert one.intersection(other).area == pytest.approx(0.0, abs=1.0)
    assert usable.work_area is not None
    whole = sum(area.area for area in drawn.values())
    assert whole == pytest.approx(usable.work_area.area, rel=0.08)
    for style, area in drawn.items():
        if style != "usable":
            assert area.buffer(-2 * FLAT.grid.cell_m).intersection(usable.area).area == pytest.approx(0.0, abs=1.0)


def test_law_every_pattern_is_told_and_differs_without_colour() -> None:
    styles = [style for style, _ in PATTERNS]
    assert set(styles) <= set(OVERLAY_SAYS)
    hatches = [OVERLAYS[style].hatch for style in styles]
    assert len(set(hatches)) == len(styles)
    assert set(hatches) == set(HATCHES)
