"""The clock and the water of a kiln as its log tells: slower at once, quicker never by luck. Invented batches."""

from __future__ import annotations

import math

import pytest
import scipy  # stats is dear to load: only where it is asked

from sitemap.plan.contents import plan_of
from sitemap.season.pace import ENOUGH
from sitemap.telling import sentence
from tests.season.test_calendar_of_site import many
from tests.season.test_learning import logged


def burned(*rows: dict[str, object]):
    return logged(many(), *rows).assessed()


LONG = {"lit": "06:00", "water_on": "18:00", "water_l": 4000}
SHORT = {"lit": "08:00", "water_on": "10:30", "water_l": 200}


def test_agrees_with_the_conjugate_posterior_by_hand_and_counts_at_once() -> None:
    """Twelve hours seen once, of a lognormal belief with a scatter of 20 %: mean by the weights of both."""
    plain, told = many().assessed().kilns[0], burned(LONG).kilns[0]
    low, likely, high = plain.hours_per_batch.triple()
    prior = math.log(high / low) / (2 * scipy.stats.norm.ppf(0.9))
    mean = (math.log(likely) / prior**2 + math.log(12) / 0.2**2) / (1 / prior**2 + 1 / 0.2**2)
    assert told.hours_per_batch.likely == pytest.approx(math.exp(mean), rel=1e-3)
    assert told.quench_l_per_batch.likely > plain.quench_l_per_batch.likely
    assert told.reckoned.hours_per_batch.triple() == pytest.approx(plain.hours_per_batch.triple())


def test_law_a_slow_log_lights_earlier_and_asks_for_more_water() -> None:
    plain, a = many().assessed(), burned({**LONG, "lit": "07:00", "water_on": "15:30"})
    assert plain.kilns[0].clocks
    assert not a.kilns[0].clocks or a.kilns[0].clocks[-1].light_by < plain.kilns[0].clocks[-1].light_by
    assert any("what its log tells" in sentence(note.text) for note in a.assumed)
    assert a.burn.reserve_l is not None
    assert plain.burn.reserve_l is not None
    assert a.burn.reserve_l.likely > plain.burn.reserve_l.likely


def test_law_a_quick_batch_or_two_change_neither_clock_nor_water_and_three_do() -> None:
    plain = many().assessed().kilns[0]
    for count in range(1, ENOUGH):
        assert burned(*[SHORT] * count).kilns[0].by_log == (1.0, 1.0)
    quick = burned(*[SHORT] * ENOUGH).kilns[0]
    assert quick.hours_per_batch.likely < plain.hours_per_batch.likely
    assert quick.quench_l_per_batch.likely < plain.quench_l_per_batch.likely


def test_law_the_lesson_starts_from_what_was_reckoned_without_the_log() -> None:
    plain, a = many().assessed(), burned(LONG)
    lesson = next(each for each in a.taught[0].lessons if each.quantity == "hours_per_batch")
    assert lesson.before[1] == pytest.approx(plain.kilns[0].hours_per_batch.likely, rel=0.01)


def test_law_the_annex_reckons_with_it() -> None:
    text = plan_of(burned(LONG), ["annex"]).text
    assert "Lighting to water, as the log tells" in text
    assert "Water for one quench, as the log tells" in text
