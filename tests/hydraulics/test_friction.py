"""Hose friction against published tables and a library; evidence levels as in the project's list of sources."""

from __future__ import annotations

import fluids
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.errors import BadValue
from sitemap.hydraulics import friction

GALLON = 3.785411784  # [L]
PSI = 6.894757  # [kPa]


def test_published_hazen_williams_example():
    """Open R package hf, example of its Hazen–Williams function (P): 11.94317 m with 10.67 and 4.87.

    Ours has 10.667 and 4.871 (EPANET's), which moves the sixth example by 0.2 %.
    """
    assert friction.hazen_williams_loss_m(1500.0, 150.0, 100.0, 150.0) == pytest.approx(11.94317, rel=2.5e-3)


@pytest.mark.parametrize(
    ("bore_in", "gpm", "roughness"),
    [(1.049, 10, 120), (1.61, 50, 120), (2.067, 100, 120), (2.469, 250, 150), (1, 20, 140)],
)
def test_published_form_of_the_sprinkler_standard(bore_in, gpm, roughness):
    """NFPA 13 (S): psi a foot = 4.52 Q^1.85 / (C^1.85 d^4.87), gpm and inches; its exponents are rounded."""
    published = 100 * 4.52 * gpm**1.85 / (roughness**1.85 * bore_in**4.87)
    lost_m = friction.hazen_williams_loss_m(gpm * GALLON, 30.48, bore_in * 25.4, roughness)
    assert friction.pressure_kpa(lost_m) / PSI == pytest.approx(published, rel=5e-3)


@pytest.mark.parametrize(
    ("bore_in", "gpm", "psi"),
    [(0.75, 10, 14), (0.75, 20, 50), (1.0, 20, 12), (1.0, 30, 24)],
)
def test_published_industrial_hose_chart(bore_in, gpm, psi):
    """Industrial hose chart, psi per 100 ft (P); read off a chart, so within 10 %.

    Its 1 in, 60 gpm, 93 psi is left to the next test: it lies 6 % off.
    """
    loss = friction.hazen_williams_loss_m(gpm * GALLON, 30.48, bore_in * 25.4, 140.0)
    assert friction.pressure_kpa(loss) / PSI == pytest.approx(psi, rel=0.11)


def test_published_industrial_hose_chart_at_high_flow():
    """Same chart (P): 1 in, 60 gpm, 93 psi per 100 ft."""
    loss = friction.hazen_williams_loss_m(60 * GALLON, 30.48, 25.4, 140.0)
    assert friction.pressure_kpa(loss) / PSI == pytest.approx(93, rel=0.10)


@pytest.mark.parametrize(("gpm", "feet", "psi"), [(200, 100, 8), (300, 200, 36)])
def test_published_fire_rule(gpm, feet, psi):
    """Fire service training deck, 2.5 in hose (P); exact in the source."""
    loss = friction.fire_rule_loss_m(gpm * GALLON, feet * 0.3048, 63.5)
    assert friction.pressure_kpa(loss) / PSI == pytest.approx(psi, rel=1e-6)


def test_published_head_of_water():
    """0.4327 psi a foot (D); the field rule of 0.5 psi a foot (NWCG, P) is on the high side of it."""
    assert friction.pressure_kpa(0.3048) / PSI == pytest.approx(0.4327, abs=1e-4)
    assert friction.pressure_kpa(0.3048) / PSI < 0.5


@pytest.mark.parametrize(("bore_mm", "gallons"), [(38.1, 9.2), (25.4, 4.1)])
def test_published_hose_contents(bore_mm, gallons):
    """NWCG, contents of 100 ft of 1.5 in and 1 in hose, US gallons (P), printed to one decimal."""
    assert friction.hose_contents_l(30.48, bore_mm) / GALLON == pytest.approx(gallons, abs=0.06)


def test_agrees_with_fluids_on_a_smooth_pipe():
    """Darcy friction in a smooth pipe (fluids) is near C 150, the smoothest pipes, at 1.5 in and 100 L/min."""
    q, d = 100 / 60000, 0.0381
    v = q / (np.pi / 4 * d**2)
    f = fluids.friction_factor(Re=fluids.Reynolds(V=v, D=d, nu=1.0e-6), eD=0.0)
    darcy_m = f / d * v**2 / (2 * 9.80665)
    assert friction.hazen_williams_loss_m(100.0, 1.0, 38.1, 150.0) == pytest.approx(darcy_m, rel=0.05)


def test_agrees_with_fluids_on_minor_losses():
    """fluids.dP_from_K, K of a globe valve and an elbow (EPANET 2.2 manual, P) in 1.5 in hose at 150 L/min."""
    q, d = 150 / 60000, 0.0381
    v = q / (np.pi / 4 * d**2)
    pascal = fluids.dP_from_K(K=10.9, rho=998.2, V=v)
    loss = friction.minor_loss_m(150.0, 38.1, 10.0 + 0.9)
    assert loss == pytest.approx(pascal / (998.2 * 9.80665), rel=1e-6)


def test_law_planned_is_the_larger_loss_and_continuous_between_the_sizes():
    flow = np.linspace(1, 1500, 400)
    for bore in (25.4, 38.1, 44.45, 63.5):
        planned = friction.friction_gradient(flow, bore)
        assert (planned >= friction.friction_gradient(flow, bore, rule="hazen_williams")).all()
        assert (planned >= friction.fire_rule_loss_m(flow, 1.0, bore) * (1 - 1e-12)).all()
    assert np.isnan(friction.fire_rule_coefficient(np.array([19.0, 90.0]))).all()
    coefficients = friction.fire_rule_coefficient(np.linspace(25.4, 76.2, 300))
    assert (np.diff(coefficients) < 0).all()


@given(st.floats(1, 1000), st.floats(1, 500), st.floats(13, 75), st.floats(1.01, 3))
def test_law_friction_grows_with_flow_and_length_and_falls_with_bore(flow, length, bore, more):
    def loss(q, metres, d):
        return friction.friction_gradient(q, d) * metres

    here = loss(flow, length, bore)
    assert loss(flow * more, length, bore) > here
    assert loss(flow, length * more, bore) == pytest.approx(here * more)
    assert friction.hazen_williams_loss_m(flow, length, bore * more) < friction.hazen_williams_loss_m(
        flow, length, bore
    )


@given(st.floats(0, 1e4))
def test_law_head_and_pressure_round_trip(head):
    assert friction.head_m(friction.pressure_kpa(head)) == pytest.approx(head)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: friction.hazen_williams_loss_m(10.0, 10.0, 0.0), ("Bore", "mm", "0")),
        (lambda: friction.hazen_williams_loss_m(-1.0, 10.0, 38.0), ("Flow", "L/min", "−1")),
        (lambda: friction.fire_rule_loss_m(10.0, -5.0, 38.0), ("Length", " m", "−5")),
        (lambda: friction.friction_gradient(10.0, 38.0, rule="other"), ("rule", "other")),
        (lambda: friction.minor_loss_m(10.0, 38.0, -1.0), ("Loss coefficient", "-1")),
    ],
)
def test_refuses_bad_numbers_by_name_and_value(call, words):
    with pytest.raises(BadValue) as caught:
        call()
    assert all(word in str(caught.value) for word in words)
