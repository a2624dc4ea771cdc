"""What the log teaches: the posterior against a numerical integral, and the laws of a whole site."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
import scipy  # stats is dear to load: only where it is asked
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, simpson

from sitemap.errors import BadValue
from sitemap.ranges import N_DRAWS
from sitemap.season.learning import Belief, belief_of, carried, taught, taught_pace, taught_together
from sitemap.telling import sentence
from tests.safety.dangerous.safe_site import SafeSite
from tests.season.test_calendar_of_site import many

SEEN = st.lists(st.floats(2, 20), min_size=1, max_size=6)


@pytest.mark.parametrize("seen", [[6.0], [6.0, 6.4], [9.0, 5.0, 7.0]])
def test_agrees_with_a_numerical_integral(seen) -> None:
    """Prior times likelihood integrated by scipy, mean and spread of the logarithm."""
    prior = belief_of(5.5, 7.6, 10.5)

    def density(x: float) -> float:
        return float(
            scipy.stats.norm.pdf(x, prior.mean, prior.spread) * np.prod(scipy.stats.norm.pdf(np.log(seen), x, 0.2))
        )

    whole, mean, square = (quad(lambda x, n=n: x**n * density(x), 0, 4, points=[2])[0] for n in (0, 1, 2))
    found = taught(prior, seen)
    assert found.mean == pytest.approx(mean / whole, rel=1e-6)
    assert found.spread == pytest.approx(np.sqrt(square / whole - (mean / whole) ** 2), rel=1e-5)


def test_agrees_with_scipy_on_the_range_a_belief_stands_for() -> None:
    belief = Belief(np.log(7.0), 0.25)
    assert belief.triple == pytest.approx(scipy.stats.lognorm(0.25, scale=7.0).ppf([0.1, 0.5, 0.9]))


@given(SEEN)
def test_law_what_is_seen_pulls_and_narrows(seen) -> None:
    before = belief_of(5.5, 7.6, 10.5)
    after = taught(before, seen)
    assert after.spread < before.spread
    ends = sorted((before.mean, float(np.mean(np.log(seen)))))
    assert ends[0] - 1e-12 <= after.mean <= ends[1] + 1e-12
    draws = np.exp(before.mean + before.spread * scipy.stats.norm.ppf(np.linspace(0.01, 0.99, N_DRAWS)))
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
        "stock",
    ]
    hours = found.lessons[0]
    assert min(3.0, hours.before[1]) <= hours.after[1] <= max(3.0, hours.before[1])
    told = " ".join(sentence(each) for each in found.told)
    assert "2 batches burned, hours a batch" in told
    assert "instead of" in told


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ({"lit": "soon", "water_on": "12:00"}, "soon"),
        (
            {"uncharred": 7, "cause": "late"},
            "7 uncharred pieces, 7 of them put in too late: put the last thick pieces in earlier",
        ),
        ({"uncharred": 4, "uncharred_where": "rim"}, "4 of them along the rim: rake the rim inwards"),
        ({"uncharred": 4}, "4 uncharred pieces; note where they lay and why"),
    ],
)
def test_refuses_times_it_cannot_read_and_tells_why_pieces_came_out_uncharred(row, says) -> None:
    assert says in " ".join(sentence(each) for each in logged(many(), row).assessed().taught[0].told)


def test_refuses_a_log_that_burns_more_than_there_was() -> None:
    found = logged(SafeSite(), *[FAST] * 60).assessed().taught[0]
    assert found.run.batches.likely == 0
    assert "may stand twice" in " ".join(sentence(each) for each in found.told)


def test_refuses_char_no_batch_gives_and_more_buckets_never_leave_more() -> None:
    lying = []
    for buckets in (20, 60, 200, 4000):
        row = {"buckets": buckets, "bucket_kg": 3, "fed_kg": 900, "moisture_pct": 20}
        found = logged(many(), row).assessed().taught[0]
        told = " ".join(sentence(each) for each in found.told)
        assert ("count the buckets again" in told) == (buckets >= 200)
        assert ("weigh again" in told) == (buckets >= 200)  # 480 kg and more out of 750 kg dry
        lessons = {each.quantity: each for each in found.lessons}
        assert ("char_yield" in lessons) == (buckets < 200)
        lying.append(lessons["stock"].after[1])
    assert lying == sorted(lying, reverse=True)


@pytest.mark.parametrize("seen", [[0.6], [1.9, 1.4]])
def test_agrees_with_a_double_integral_on_two_numbers_seen_together(seen) -> None:
    """Prior of both times the likelihood of their product, integrated by scipy over the plane of their logarithms."""
    one, other = Belief(0.1, 0.316), Belief(-0.2, 0.21)
    means = np.log(seen)

    x, y = np.linspace(-2, 2, 1601)[:, None], np.linspace(-1.6, 1.2, 1601)[None]
    density = scipy.stats.norm.pdf(x, one.mean, one.spread) * scipy.stats.norm.pdf(y, other.mean, other.spread)
    for mean in means:
        density = density * scipy.stats.norm.pdf(mean, x + y, 0.25)

    def whole(which: int, power: int) -> float:
        return float(simpson(simpson((x, y)[which] ** power * density, x=y[0]), x=x[:, 0]))

    total = whole(0, 0)
    for which, belief in enumerate(taught_together(one, other, seen, 0.25)):
        mean = whole(which, 1) / total
        assert belief.mean == pytest.approx(mean, abs=1e-6)
        assert belief.spread == pytest.approx(np.sqrt(whole(which, 2) / total - mean**2), rel=1e-5)


def test_agrees_with_a_numerical_integral_on_the_pace_of_trips() -> None:
    """Trips of 11 and 9.5 min, 2 min of them at both ends and 6 on the way as reckoned: scipy over the same density."""
    prior, trips = Belief(-0.05, 0.21), [(11.0, 2.0, 6.0), (9.5, 2.0, 6.0)]

    def density(x: float) -> float:
        likely = [
            scipy.stats.norm.pdf(np.log(timed), np.log(still + way * np.exp(-x)), 0.2) for timed, still, way in trips
        ]
        return float(scipy.stats.norm.pdf(x, prior.mean, prior.spread) * np.prod(likely))

    whole, mean, square = (quad(lambda x, n=n: x**n * density(x), -1.3, 1.2, limit=200)[0] for n in (0, 1, 2))
    found = taught_pace(prior, trips)
    assert found.mean == pytest.approx(mean / whole, abs=2e-5)
    assert found.spread == pytest.approx(np.sqrt(square / whole - (mean / whole) ** 2), rel=1e-4)
    assert found.mean < prior.mean  # slower than reckoned


def test_agrees_with_scipy_that_few_batches_leave_more_doubt_than_a_known_scatter_says() -> None:
    """Two batches alone, scatter unknown: Student's t of one degree of freedom is far wider (scipy.stats.t); the prior
    and the scatter of the trade are what keeps the range of a short log narrow, which is why they are stated."""
    logs = np.log([5.6, 6.9])
    alone = scipy.stats.t(1).ppf(0.9) * logs.std(ddof=1) / np.sqrt(2)
    after = taught(belief_of(5.5, 7.6, 10.5), [5.6, 6.9])
    assert alone == pytest.approx(3.0776835 * logs.std(ddof=1) / np.sqrt(2))  # t table, one degree, 90 % (S)
    assert 1.2815516 * after.spread < alone


def test_law_weighed_wood_and_buckets_teach_yield_and_weight() -> None:
    """By hand: 40 buckets of 20 L at 2.4 kg are 96 kg; 480 kg of wood at 20 % hold 400 kg dry; 96/400 = 24 %."""
    row = {"buckets": 40, "bucket_kg": 2.4, "fed_kg": 480, "moisture_pct": 20}
    lessons = {each.quantity: each for each in logged(many(), row).assessed().taught[0].lessons}
    weight, share = lessons["char_density"], lessons["char_yield"]
    assert 120 < weight.after[1] < weight.before[1]
    assert share.before[1] < share.after[1] < 24
    plain = logged(many(), {"buckets": 40}).assessed().taught[0].run.feed_dry_t_per_batch.likely
    lighter = logged(many(), {"buckets": 40, "bucket_kg": 2.4}).assessed().taught[0].run.feed_dry_t_per_batch.likely
    assert lighter < plain


def test_law_a_heap_burned_up_is_burned_and_never_leaves_more() -> None:
    rows = [{"buckets": 60, "heaps": ["p1"]}] * 3
    open_, done = (
        logged(many(), *rows, {"buckets": 10, "heaps": ["p1"], **end}).assessed()
        for end in ({}, {"heaps_done": ["P1"]})
    )
    assert open_.source.get("p1").choice("status") is None  # type: ignore[union-attr]
    assert done.source.get("p1").choice("status") == "burned"  # type: ignore[union-attr]
    lying = [a.taught[0].lessons[-1] for a in (open_, done)]
    assert sum(run.run.batches.likely for run in done.taught) <= sum(run.run.batches.likely for run in open_.taught)
    assert lying[0].quantity == "stock"
    future = logged(many(), {"heaps_done": ["p1"]}, {"date": "soon", "heaps_done": ["p2"]}).assessed()
    assert future.source.get("p2").choice("status") is None  # type: ignore[union-attr]


def test_law_char_of_a_heap_burned_up_corrects_what_still_lies() -> None:
    """Half of the char that was reckoned: both the yield and the wood of the other heaps are less than thought."""
    before = many().assessed()
    stock = {item.id: item.char_stock_dry_t.likely for item in before.slash.items}
    buckets = round(stock["p1"] * 1000 * 0.20 * 0.5 / 150 / 0.020)  # half of the usual 20 % at 150 kg/m3
    site = logged(many(), {"buckets": buckets, "heaps": ["p1"], "heaps_done": ["p1"]})
    lessons = {each.quantity: each for each in site.assessed().taught[0].lessons}
    assert lessons["char_yield"].after[1] < lessons["char_yield"].before[1]


def test_law_lines_of_a_phone_are_one_batch() -> None:
    line = {"phone": "a"}
    rows = [{**line, "event": "lit", "at": "09:00"}, {**line, "event": "water_on", "at": "12:00", "buckets": 40}]
    found = logged(many(), *rows).assessed().taught[0]
    assert (found.burned, found.lessons[0].quantity) == (1, "hours_per_batch")
    words = logged(many(), {"phone": "b", "text": "08:10 Ann: all well"}).assessed().taught[0]
    assert words.burned == 0


def test_refuses_a_burn_longer_than_a_day_and_says_so_and_what_burned_at_no_kiln() -> None:
    """Water in the morning and lit in the afternoon: the hours were changed about, and nobody learns from them."""
    a = logged(many(), {**FAST, "lit": "14:00", "water_on": "09:00"}).assessed()
    assert "longer than a burn can be" in " ".join(sentence(why) for why in a.taught[0].told)
    assert all(each.quantity != "hours_per_batch" for each in a.taught[0].lessons)
    elsewhere = logged(many(), FAST, {**FAST, "kiln": "old ring"}).assessed()
    told = [sentence(note.text) for note in elsewhere.unknowns]
    assert any("old ring: 1 batch of the log burned at no kiln" in each for each in told)
