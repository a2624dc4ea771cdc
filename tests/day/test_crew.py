"""People at the busiest minute: days worked by hand, and what must hold for any."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.day.crew import Batch, Jobs, busiest, hands_at, hands_check, method_check, raking_check
from sitemap.day.crew_of_site import crew_checks, people_needed
from sitemap.kiln.values import CrewFacts
from sitemap.safety.effects import ORDER, PASSES
from sitemap.telling import tell
from tests.safety.dangerous.safe_site import SafeSite

JOBS = Jobs(lookout=1, patrol=1, pump=1, carriers=0)
ONE = Batch(lit_h=8.0, water_h=13.0, out_h=14.0, feeders=2, quenching=2)
NEXT = replace(ONE, lit_h=9.0, water_h=14.25, out_h=15.25)


def test_published_one_kiln_by_hand() -> None:
    """House rule: two feed and one looks out; then two rake, and who looks out sees to the pump: three all day."""
    assert hands_at([ONE], JOBS, 8.0).people == 3
    assert busiest([ONE], JOBS) == (8.0, hands_at([ONE], JOBS, 8.0))
    assert hands_at([ONE], JOBS, 13.0).people == 3
    assert hands_at([ONE], JOBS, 14.0).people == 0
    assert hands_check(3, busiest([ONE], JOBS)).effect == PASSES
    assert hands_check(2, busiest([ONE], JOBS)).verdict == "too few people"


def test_published_two_adults_and_one_kiln() -> None:
    """FIELD 19: fewer than two do not light. Two may: one feeds, then floods, the other looks out."""
    alone = replace(ONE, feeders=1, quenching=1)
    assert hands_check(2, busiest([alone], JOBS)).effect == PASSES
    assert hands_check(2, busiest([replace(alone, quenching=2)], JOBS)).verdict == "too few people"
    assert hands_check(2, busiest([alone], replace(JOBS, carriers=1))).verdict == "too few people"


def test_law_only_jobs_that_somebody_has_are_told() -> None:
    """At a kiln fed by three with two adults nobody carries, pumps or walks downwind."""
    said = tell(hands_check(2, busiest([replace(ONE, feeders=3)], JOBS)).reason)
    assert "feeding 3 and looking out 1" in said
    assert " 0" not in said


def test_published_two_kilns_by_hand() -> None:
    """K2 is fed by two while K1 is raked by two: pump, lookout, patrol make seven; by bucket, three carriers, nine."""
    moment, hands = busiest([ONE, NEXT], JOBS) or (0.0, hands_at([], JOBS, 0.0))
    assert (moment, hands.people) == (13.0, 7)
    assert hands_at([ONE, NEXT], replace(JOBS, carriers=3), 13.0).people == 9


def test_published_ten_kilns_with_two_adults_lack_people() -> None:
    """The case of issue H, item 9: ten quenched in one hour, two at each, one at the pump, lookout and patrol: 23."""
    ten = [ONE] * 10
    found = hands_check(2, busiest(ten, JOBS))
    assert found.verdict == "too few people"
    assert "23" in tell(found.reason)
    assert hands_check(23, busiest(ten, JOBS)).effect == PASSES


def test_law_moments_that_differ_by_the_last_digit_are_one() -> None:
    """0.1 h + 0.2 h is a hair above 0.3 h: who quenched till then is free for the kiln lit then, and counts once."""
    late = 0.1 + 0.2
    assert late > 0.3
    before = Batch(lit_h=0.0, water_h=0.2, out_h=late, feeders=2, quenching=3)
    after = Batch(lit_h=0.3, water_h=1.0, out_h=2.0, feeders=2, quenching=2)
    assert hands_at([before, after], JOBS, 0.3) == hands_at([after], JOBS, 0.3)
    quenched = hands_at([replace(before, water_h=late, out_h=1.0)], JOBS, 0.3)
    assert (quenched.feeding, quenched.quenching) == (0, 3)
    assert hands_at([replace(after, lit_h=late)], JOBS, 0.3).feeding == 2


def test_law_what_is_not_known_passes_nothing() -> None:
    assert hands_check(None, busiest([ONE], JOBS)).verdict == "not known"
    assert hands_check(50, None).verdict == "not known"
    assert busiest([], JOBS) is None
    for known, holds in ((False, True), (True, False)):
        assert method_check("k1", "kiln K1", known=known, holds_known=holds).verdict == "not known"
    assert method_check("k1", "kiln K1", known=True, holds_known=True).effect == PASSES


@pytest.mark.parametrize(
    ("takes", "verdict"), [(59.9, "raked in time"), (60.0, "raked in time"), (61.0, "raked too late")]
)
def test_law_a_batch_is_raked_within_the_hour(takes: float, verdict: str) -> None:
    """FIELD 14: raked and no steam by 60 min."""
    assert raking_check("k1", "kiln K1", takes, 60.0).verdict == verdict


@given(
    st.lists(
        st.tuples(st.floats(6, 10), st.floats(1, 6), st.floats(0.5, 2), st.integers(1, 4)), min_size=1, max_size=6
    ),
    st.integers(0, 30),
)
def test_law_a_kiln_more_or_a_person_fewer_never_helps(
    kilns: list[tuple[float, float, float, int]], adults: int
) -> None:
    day = [Batch(lit, lit + burn, lit + burn + out, feed, 2) for lit, burn, out, feed in kilns]
    worst = hands_check(adults, busiest(day, JOBS)).effect
    assert ORDER.index(hands_check(adults, busiest(day[1:] or day, JOBS)).effect) <= ORDER.index(worst)
    assert ORDER.index(hands_check(max(adults - 1, 0), busiest(day, JOBS)).effect) >= ORDER.index(worst)


@given(st.lists(st.tuples(st.floats(6, 10), st.floats(1, 6), st.floats(0.5, 2)), min_size=1, max_size=6))
def test_law_no_minute_takes_more_than_the_busiest(kilns: list[tuple[float, float, float]]) -> None:
    """Brute force: the day minute by minute."""
    day = [Batch(lit, lit + burn, lit + burn + out, 2, 3) for lit, burn, out in kilns]
    found = busiest(day, JOBS)
    assert found is not None
    assert max(hands_at(day, JOBS, 6 + minute / 60).people for minute in range(0, 18 * 60, 5)) <= found[1].people


def test_law_a_kiln_that_is_not_here_leaves_its_people_gear_and_minutes_to_the_other() -> None:
    """Five people do for one kiln, not for two. On peat K1 may not burn: K2 has all hands and its hour alone, and the
    water of both is still asked of the sources, because K1's heap must burn somewhere."""
    few = SafeSite().say("crew", adults=5, rakers=1).assessed()
    alone = SafeSite().say("crew", adults=5, rakers=1).put("k1", ground="peat").assessed()
    assert [each.word for each in few.decisions] == ["not yet", "not yet"]
    assert [each.word for each in alone.decisions] == ["not here", "may be lit"]
    out_few, out_alone = ({run.spot: run.clock.no_steam_by for run in a.kilns} for a in (few, alone))
    assert out_few["k1"] != out_few["k2"]
    assert out_alone["k2"] == max(out_few.values())
    asked = [sum(each.litres_needed.likely for each in a.sources if each.litres_needed) for a in (few, alone)]
    assert asked[0] == pytest.approx(asked[1])
    assert alone.water.of_spot("k2").quench.water_on == alone.kilns[1].clock.water_on


def test_law_who_carries_is_counted_only_where_it_is_said() -> None:
    """By bucket: where nobody is named the hands are those of a crew without carriers; three named are three more."""
    burns, names = SafeSite().assessed().burn, {"k1": "K1", "k2": "K2"}

    def said(carriers: int | None) -> str:
        crew = CrewFacts(adults=5, carriers=carriers)
        return tell(crew_checks(burns, names, crew, by_hand=True)["k1"][0].reason)

    assert said(None) == said(0) != said(3)


def test_law_one_kiln_moved_between_two_spots_counts_once() -> None:
    """Two boxes at two spots take seven people at once; one box that is taken from spot to spot takes three, has pump
    and hose for itself, and draws one quench a day: the larger of the two."""
    two = SafeSite().say("crew", adults=3).assessed()
    one = SafeSite().say("crew", adults=3).gear("kilns", "box", count=1).assessed()
    assert [each.word for each in two.decisions] == ["not yet", "not yet"]
    assert [each.word for each in one.decisions] == ["may be lit", "may be lit"]
    asked = [sum(each.litres_needed.likely for each in a.sources if each.litres_needed) for a in (two, one)]
    largest = max(run.quench_l_per_batch.likely * (run.batches_per_day or 1) for run in one.kilns)
    assert largest < asked[1] < asked[0]
    assert people_needed(one.kilns, 0) == 3
    assert people_needed(two.kilns, 0) == 2 * 3
    assert people_needed((), 2) == 0
    assert one.water is not None
    assert all(each.quench.verdict == "enough, proved" for each in one.water.spots)
    not_counted = SafeSite().say("crew", adults=3).gear("kilns", "box", count=None).assessed()
    assert [each.word for each in not_counted.decisions] == ["not yet", "not yet"]
