"""What the log teaches: the posterior against a numerical integral, and the laws of a whole site."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import lognorm, norm

from sitemap.errors import BadValue
from sitemap.ranges import N_DRAWS
from sitemap.season.learning import Belief, belief_of, carried, taught
from sitemap.telling import sentence
from tests.safety.dangerous.safe_site import SafeSite
from tests.season.test_calendar_of_site import many

SEEN = st.lists(st.floats(2, 20), min_size=1, max_size=6)


@pytest.mark.parametrize("seen", [[6.0], [6.0, 6.4], [9.0, 5.0, 7.0]])
def test_agrees_with_a_numerical_integral(seen) -> None:
    """Prior times likelihood integrated by scipy, mean and spread of the logarithm."""
    prior = belief_of(5.5, 7.6, 10.5)

    def density(x: float) -> float:
        return float(norm.pdf(x, prior.mean, prior.spread) * np.prod(norm.pdf(np.log(seen), x, 0.2)))

    whole, mean, square = (quad(lambda x, n=n: x**n * density(x), 0, 4, points=[2])[0] for n in (0, 1, 2))
    found = taught(prior, seen)
    assert found.mean == pytest.approx(mean / whole, rel=1e-6)
    assert found.spread == pytest.approx(np.sqrt(square / whole - (mean / whole) ** 2), rel=1e-5)


def test_agrees_with_scipy_on_the_range_a_belief_stands_for() -> None:
    belief = Belief(np.log(7.0), 0.25)
    assert belief.triple == pytest.approx(lognorm(0.25, scale=7.0).ppf([0.1, 0.5, 0.9]))


@given(SEEN)
def test_law_what_is_seen_pulls_and_narrows(seen) -> None:
    before = belief_of(5.5, 7.6, 10.5)
    after = taught(before, seen)
    assert after.spread < before.spread
    ends = sorted((before.mean, float(np.mean(np.log(seen)))))
    assert ends[0] - 1e-12 <= after.mean <= ends[1] + 1e-12
    draws = np.exp(before.mean + before.spread * norm.ppf(np.linspace(0.01, 0.99, N_DRAWS)))
    assert np.median(carried(draws, before, after)) == pytest.approx(np.exp(after.mean), rel=1e-3)


def test_refuses_a_number_that_cannot_be() -> None:
    with pytest.raises(BadValue):
        taught(Belief(0.0, 0.2), [0.0])


def logged(site: SafeSite, *rows: dict[str, object]) -> SafeSite:
    site.member["log"] = [{"date": "2026-05-19", "kiln": "K1", **row} for row in rows]
    return site


FAST = {"lit": "09:00", "water_on": "12:00", "buckets": 40, "water_l": 800}


def test_law_an_empty_log_changes_nothing() -> None:
    a = many().assessed()
    assert tuple(each.run for each in a.taught) == a.kilns
    assert all(not each.told for each in a.taught)
    other = logged(many(), {"kiln": "somebody else's"}).assessed()
    assert tuple(each.run for each in other.taught) == other.kilns


def test_law_more_burned_is_never_more_left() -> None:
    left, last = [], []
    for count in range(5):
        a = logged(many(), *[{}] * count).assessed()
        assert a.calendar is not None
        left.append(a.taught[0].run.batches.likely)
        last.append(a.calendar.last_burn_day or dt.date.min)
    assert left == sorted(left, reverse=True)
    assert left[0] > left[-1]
    assert last == sorted(last, reverse=True)


def test_law_before_and_after_are_told_side_by_side() -> None:
    found = logged(many(), FAST, FAST).assessed().taught[0]
    assert found.burned == 2
    assert [lesson.quantity for lesson in found.lessons] == [
        "hours_per_batch",
        "char_m3_per_batch",
        "quench_l_per_batch",
    ]
    hours = found.lessons[0]
    assert min(3.0, hours.before[1]) <= hours.after[1] <= max(3.0, hours.before[1])
    told = " ".join(sentence(each) for each in found.told)
    assert "2 batches at kiln K1: hours a batch" in told
    assert "2 batches burned" in told


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ({"lit": "soon", "water_on": "12:00"}, "soon"),
        ({"uncharred": 7, "cause": "late"}, "7 uncharred pieces, 7 of them put in too late"),
    ],
)
def test_refuses_times_it_cannot_read_and_tells_why_pieces_came_out_uncharred(row, says) -> None:
    assert says in " ".join(sentence(each) for each in logged(many(), row).assessed().taught[0].told)


def test_refuses_a_log_that_burns_more_than_there_was() -> None:
    found = logged(SafeSite(), *[FAST] * 60).assessed().taught[0]
    assert found.run.batches.likely == 0
    assert "may stand twice" in " ".join(sentence(each) for each in found.told)
