"""The glowing bed: loss by hand, heat on people against numerical integration."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import dblquad

from sitemap import tables
from sitemap.errors import BadValue
from sitemap.kiln import glow


def test_published_glowing_loss() -> None:
    """1–3 g/m² s, from memory (M), for 3 m² and 226 kg is 5–14 % an hour (D)."""
    low, high = (glow.glowing_loss(226.0, 3.0, rate, 60.0) / 226 for rate in (1.0, 3.0))
    assert (100 * low, 100 * high) == pytest.approx((5, 14), abs=0.5)


def test_law_a_bed_burns_out_when_its_loss_has_eaten_it() -> None:
    hours = glow.burn_out_hours(226.0, 3.0, 2.0)
    assert glow.glowing_loss(226.0, 3.0, 2.0, hours * 60) == pytest.approx(226)
    assert glow.glowing_loss(226.0, 3.0, 2.0, hours * 120) == 226


def test_published_heat_on_people_at_the_quench() -> None:
    """House rules: a glowing bed of 2 m gives 2.5–3.9 kW/m² a metre from its rim (D), here at 600 and 700 °C."""
    away, height, share = (
        tables.load("quench")[key]["value"] for key in ("stand_off", "face_height", "char_emissivity")
    )
    heat = glow.glow_heat(1.0, away, np.array([600.0, 700.0]), height, share)
    assert list(heat) == pytest.approx([2.5, 3.9], abs=0.05)


@pytest.mark.parametrize(("radius", "gap", "height"), [(1.0, 1.0, 1.0), (0.6, 0.3, 1.5), (2.0, 4.0, 0.5)])
def test_agrees_with_integration_of_the_view(radius: float, gap: float, height: float) -> None:
    """F = ∫ cos a·cos b/(π·s²) dA over the disc, by scipy; black at the temperature where σT⁴ is 1 kW/m²."""
    away = radius + gap

    def seen(turn: float, r: float) -> float:
        x, y = away - r * np.cos(turn), r * np.sin(turn)
        square = x**2 + y**2 + height**2
        return x * height / (np.pi * square**2) * r

    share = dblquad(seen, 0, radius, 0, 2 * np.pi)[0]
    one_kw = (1 / glow.STEFAN_BOLTZMANN) ** 0.25 - 273.15
    assert glow.glow_heat(radius, gap, one_kw, height, 1.0) == pytest.approx(share, rel=1e-6)


def test_law_heat_falls_with_distance() -> None:
    heat = glow.glow_heat(1.0, np.array([0.5, 1.0, 2.0, 4.0, 8.0]), 600.0, 1.0, 0.9)
    assert (np.diff(heat) < 0).all()


def test_refuses_an_impossible_bed() -> None:
    with pytest.raises(BadValue, match="Emissivity"):
        glow.glow_heat(1.0, 1.0, 600.0, 1.0, 1.5)
    with pytest.raises(BadValue, match="Distance from the rim"):
        glow.glow_heat(1.0, -1.0, 600.0, 1.0, 0.9)
