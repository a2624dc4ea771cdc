"""Clearance by voltage, and the machine's reach."""

import pytest

from sitemap.errors import BadValue
from sitemap.safety.power_line import clearance_m, longest_reach_m, required_m
from tests.safety.drawn import machine

FOOT = 0.3048


@pytest.mark.parametrize(("kilovolts", "feet"), [(0.4, 10), (50, 10), (50.1, 15), (200, 15), (201, 20), (350, 20)])
def test_published_clearance_by_voltage(kilovolts, feet) -> None:
    """OSHA 29 CFR 1926.1408 Table A (S), exact."""
    assert clearance_m(kilovolts) == pytest.approx(feet * FOOT)


@pytest.mark.parametrize("kilovolts", [None, 351, 500, 765, 1200, 1500])
def test_published_fifty_feet_are_presumed(kilovolts) -> None:
    """OSHA 29 CFR 1926.1409 (S): above 350 kV, or nothing known, 50 ft."""
    assert clearance_m(kilovolts) == pytest.approx(50 * FOOT)


def test_law_the_longer_of_rule_and_reach() -> None:
    assert required_m(30.0, 20.0, None) == 30.0
    assert required_m(30.0, 20.0, 10.0) == 30.0  # 10 + 3.05
    assert required_m(30.0, None, 16.0) == pytest.approx(16.0 + 50 * FOOT)


def test_law_longest_reach_and_what_was_assumed() -> None:
    assert longest_reach_m(()) == (None, ())
    reach, notes = longest_reach_m((machine(reach_m=6.0), machine()))
    assert reach == 10.0
    assert [note.what for note in notes] == ["reach_m"]


def test_refuses_a_voltage_of_nothing() -> None:
    with pytest.raises(BadValue, match="voltage of a power line must be above 0 kV; it is 0 kV"):
        clearance_m(0.0)
