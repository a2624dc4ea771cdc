"""What formulas do with what is no usual number: whole numbers of 32 bits, nothing, not known, below nothing.

Values are those of the same formula at plain numbers, but where a source is named.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from sitemap.errors import BadValue
from sitemap.hydraulics import nozzle, shuttle, storage, suction
from sitemap.kiln import quench
from sitemap.ranges import draw
from sitemap.safety import power_line, stand, weather
from sitemap.season import drying, learning, winds
from sitemap.slash import footprint, moisture
from sitemap.terrain import surface


def test_published_heat_of_steel_in_whole_degrees_of_32_bits() -> None:
    """EN 1993-1-2 clause 3.4.1.2, the integral of its specific heat from 20 to 500 °C by the midpoint rule (D)."""
    middles = np.arange(20.5, 500.0)
    by_steps = np.sum(425 + 0.773 * middles - 1.69e-3 * middles**2 + 2.22e-6 * middles**3) / 1000
    for hot, cold in ((np.int32(500), np.int32(20)), (500, 20), (500.0, 20.0)):
        assert float(quench.steel_heat(hot, cold)) == pytest.approx(by_steps, rel=1e-5)


def test_law_single_numbers_of_32_bits_are_drawn_as_others() -> None:
    plain = draw(10.0, 8.0, 12.0, about="heap", quantity="edge")
    single = draw(np.float32(10), np.float32(8), np.float32(12), about="heap", quantity="edge")
    assert single == pytest.approx(plain)


def test_law_water_has_the_shape_of_all_that_is_given() -> None:
    """A box of 2 × 1 m holds 2,000 L a metre of depth (geometry)."""
    heights = np.array([[1.0, 2.0, 3.0]])
    assert storage.box_l(2.0, 1.0, heights, 0.5).tolist() == [[1000.0] * 3]  # type: ignore[union-attr]
    assert np.shape(storage.standing_cylinder_l(1.0, heights, 0.5)) == heights.shape
    assert np.shape(storage.box_l(2.0, 1.0, np.empty(0), 0.5)) == (0,)


def test_law_nothing_in_gives_nothing() -> None:
    assert np.shape(moisture.as_dry_basis(np.empty(0), "dry")) == (0,)


def test_law_a_limit_that_is_no_number_passes_nothing() -> None:
    assert weather.limit_verdict("wind_m_s", 3.0, math.nan) == weather.NOT_KNOWN


@pytest.mark.parametrize(
    "call",
    [
        lambda: shuttle.slope_word(math.nan),
        lambda: shuttle.slope_word(5.0, side_pct=math.nan),
        lambda: shuttle.first_load_min(100.0, load_min=-1.0),
        lambda: shuttle.haul_flow_l_min(-90.0, 8.0),
        lambda: power_line.required_m(30.0, None, math.nan),
        lambda: power_line.required_m(math.nan, None, 9.0),
        lambda: stand.slope_check(-40.0, "no", "k1"),
        lambda: suction.most_suction_flow_l_min(4.0, 6.0, 50.0, 0.0),
        lambda: nozzle.outlet_flow_l_min(5.0, -1.0),
        lambda: learning.belief_of(5.0, 7.0, 0.0),
        lambda: drying.after(1.0, 0.2, -24.0, 1000.0),
        lambda: winds.sigmas(1000.0, "G"),
        lambda: winds.blocked([(math.nan, 0.0)], 30.0),
        lambda: winds.wetness_factor(30.0, 40.0, 40.0, 10.0),
        lambda: footprint.typed_footprint("pyramid", 4.0, 3.0),
        lambda: footprint.typed_footprint("tapered_ridge", 4.0, 3.0, -1.0),
        lambda: surface.gradient(np.zeros((3, 3)), 0.0),
    ],
)
def test_refuses_what_is_no_figure_of_the_world(call: Callable[[], object]) -> None:
    with pytest.raises(BadValue):
        call()
