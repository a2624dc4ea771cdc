"""Is it cold? What counts as a look, what a kiln that is not proved cold bars, and the close-out of a site."""

from __future__ import annotations

import copy
import datetime as dt
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitemap.assessment import Assessment
from sitemap.day.decision import MAY
from sitemap.maps.draw import map_view
from sitemap.plan.contents import plan_of
from sitemap.plan.html import html_of
from sitemap.plan.map import map_svg
from sitemap.plan.phrases import words_for
from sitemap.season.batches import batches_of
from sitemap.season.closing import STEPS
from sitemap.season.cold import Look, Since, cold_after
from sitemap.site.check import check
from sitemap.summary import summary_text
from sitemap.telling import tell
from sitemap.views.after.ringing import ringing
from tests.plan.builders import as_typed
from tests.safety.dangerous.afterwards import BURNED, EVENING, MORNING, ROWS, burned
from tests.safety.dangerous.safe_site import SafeSite
from tests.safety.dangerous.safe_values import lonlat

DAY = dt.date(2026, 5, 18)
FIRE = Since(DAY, dt.datetime(2026, 5, 18, 14))
LOOKS = st.lists(
    st.builds(
        Look,
        st.one_of(st.none(), st.dates(DAY - dt.timedelta(days=1), DAY + dt.timedelta(days=3))),
        st.one_of(st.none(), st.times()),
        st.sampled_from(["", "Ann"]),
        st.sampled_from(["cold", "cold", "warm", None]),
    ),
    max_size=5,
)
BLANKED = st.sampled_from(ROWS)


@given(LOOKS, st.integers(0, 4))
def test_law_a_look_taken_away_or_left_blank_never_makes_it_cold(looks, place) -> None:
    """Only looks that found it cold prove anything: without one of them, or with one of them blank, it is no colder."""
    if not looks:
        assert not cold_after(FIRE, (), None).proved
        return
    one = place % len(looks)
    before = cold_after(FIRE, looks, None).proved
    rest = [*looks[:one], *looks[one + 1 :]]
    if looks[one].found == "cold":
        assert before or not cold_after(FIRE, rest, None).proved
    for less in ({"on": None}, {"at": None}, {"who": ""}, {"found": None}):
        blank = Look(**{**vars(looks[one]), **less})
        if looks[one].found == "cold" and "at" not in less:
            assert before or not cold_after(FIRE, [*looks[:one], blank, *looks[one + 1 :]], None).proved


@given(LOOKS)
def test_law_a_later_fire_is_never_colder(looks) -> None:
    later = Since(DAY + dt.timedelta(days=1), FIRE.moment + dt.timedelta(days=1))
    sure = [look for look in looks if look.found == "cold"]
    assert cold_after(FIRE, sure, None).proved or not cold_after(later, sure, None).proved


@given(BLANKED, st.data())
def test_law_a_blank_in_log_or_look_never_lights_a_kiln(row, data) -> None:
    """On each set-up of the table: without one of the values somebody typed the kiln is barred as well."""
    site = row.values[0].change(SafeSite())
    lists = [(key, number) for key in ("log", "cold", "ticks") for number in range(len(site.member.get(key) or ()))]
    key, number = data.draw(st.sampled_from(lists))
    less = copy.deepcopy(site.member[key])
    said = data.draw(st.sampled_from(sorted(less[number])))
    if key == "log" and set(less[number]) - {said} <= {"text", "phone"}:
        return  # words of the day without a kiln: nothing is said to have burned
    del less[number][said]
    assert site.top(**{key: less}).assessed().decision("k1").word != MAY  # type: ignore[union-attr]


def test_law_two_looks_on_two_days_prove_it_and_free_the_kiln() -> None:
    a = burned(SafeSite(), EVENING, MORNING).assessed()
    assert [each.word for each in a.decisions] == [MAY, MAY]
    assert a.burned[0].proved
    done = [due.what for due in a.burned[0].cold.dues if due.done is not None]  # type: ignore[union-attr]
    assert done == ["first", "next_morning"]


def test_law_what_lies_far_off_or_burns_today_bars_nothing() -> None:
    far = burned(SafeSite(), kiln="K2", seen={"*": {"at": lonlat(84, 0)}}).move("k2", 60, 0)
    assert "cold" not in {bar.check for bar in far.assessed().decision("k1").because}  # type: ignore[union-attr]
    today = burned(SafeSite(), date="2026-05-20")
    assert [each.word for each in today.assessed().decisions] == [MAY, MAY]


def test_law_a_hand_typed_row_is_a_batch_and_lines_of_a_phone_make_one_a_lighting() -> None:
    line = {"date": "2026-05-18", "kiln": "K1", "phone": "x"}
    log = [
        {**line, "event": "lit", "at": "08:00"},
        {**line, "at": "09:00", "text": "all well"},
        {**line, "event": "water_on", "at": "11:30", "buckets": 40},
        {**line, "event": "lit", "at": "13:00"},
        {**line, "at": "17:00", "buckets": 20, "water_l": 300},
        {**line, "at": "17:30", "buckets": 15},
        {"date": "2026-05-19", "kiln": "k2"},
        {"date": "2026-05-19", "text": "rain all day"},
    ]
    found = batches_of(SafeSite().top(log=log).site())
    assert [(each.spot, each.hours, each.figure("buckets")) for each in found] == [
        ("k2", None, None),
        ("k1", 3.5, 40),
        ("k1", None, 35),
    ]


def test_law_water_past_midnight_is_of_the_next_day() -> None:
    (batch,) = batches_of(SafeSite().top(log=[{**BURNED, "lit": "20:00", "water_on": "01:30"}]).site())
    assert batch.hours == 5.5
    assert batch.time("water_on") == dt.datetime(2026, 5, 19, 1, 30)


def closed() -> SafeSite:
    bag = {"count": 3, "litres": 700, "weight_kg": 120, "goes_to": "barn yard", "kiln": "K1"}
    site = burned(SafeSite(), EVENING, MORNING, buckets=100).top(bags=[bag, {"count": 1}])
    ticks = [{"what": f"close {step}", "who": "Ann", "when": "2026-06-01 10:00"} for step in STEPS]
    return site.top(ticks=ticks)


def test_law_a_site_is_closed_when_all_is_cold_and_every_step_is_signed() -> None:
    closing = closed().assessed().closing
    assert closing.closed
    assert (closing.bags.count, closing.bags.weighed, closing.bags.kg) == (4, 3, 360)
    assert closing.bags.m3 == pytest.approx(3 * 0.7 + 0.703)
    assert closing.bags.places == (("barn yard", 3), ("", 1))
    assert closing.char_m3 == pytest.approx(2.0)  # 100 buckets of 20 L
    assert closing.heaps_left == ("P1", "P2")
    for less in ({"cold": [EVENING]}, {"ticks": closed().member["ticks"][1:]}):
        assert not closed().top(**less).assessed().closing.closed


def test_law_what_burned_stands_on_the_cold_sheet_and_in_the_summary() -> None:
    a = closed().assessed()
    page = as_typed(printed(a))
    for words in (
        "✓ Ann, Mon 18 May",
        "✓ Ann, Tue 19 May",
        "3 ×",
        "120 kg",
        "barn yard",
        "Not burned, 2 in all: P1 and P2",
    ):
        assert words in page
    told = summary_text(a)
    assert "Afterwards: the site is closed." in told
    assert "4 bags, 3 weighed: 360 kg; 2 m³ of char counted in buckets." in told
    assert "Afterwards" not in summary_text(SafeSite().assessed())


def printed(a: Assessment) -> str:
    plan = plan_of(a, ("cold",), "en")
    return html_of(plan, {size: map_svg(a, size) for size in ("small",)})


def test_law_what_is_not_cold_rings_first_and_stops_when_it_is() -> None:
    rings = ringing(burned(SafeSite(), EVENING).site(), dt.date(2026, 5, 20))
    assert "Not proved cold." in rings
    assert "1 of 2 cold checks" in rings
    assert "Due: next morning, Tue 19 May 2026." in rings
    assert ringing(burned(SafeSite(), EVENING, MORNING).site(), dt.date(2026, 5, 20)) == ""
    assert "A cold check is due." in ringing(burned(SafeSite(), EVENING, MORNING).site(), dt.date(2026, 5, 21))
    assert ringing(SafeSite().site(), dt.date(2026, 5, 20)) == ""
    assert "&lt;b&gt;" in ringing(burned(SafeSite(), kiln="<b>").site(), dt.date(2026, 5, 20))


def test_law_a_warm_place_rings_before_one_that_nobody_can_look_at() -> None:
    """A batch of no known kiln has no looks of its own; K1 was found warm."""
    warm = burned(SafeSite(), {**EVENING, "found": "warm"}).site()
    both = warm.with_member("log", [{"date": "2026-05-17", "kiln": "K9"}, *warm.member["log"]])
    rings = ringing(both, dt.date(2026, 5, 20))
    assert 0 < rings.index("warm") < rings.index("K9")


@pytest.mark.parametrize("said", [{"count": -2}, {"weight_kg": -5}, {"litres": "many"}])
def test_refuses_a_bag_that_cannot_be_in_a_sentence(said) -> None:
    site = SafeSite().top(bags=[{"count": 1, **said}]).site()
    told = [tell(note.text) for note in check(site) if note.what == "bad_value"]
    assert len(told) == 1
    assert "Bags" in told[0]
    assert json.loads(SafeSite().top(bags=[{"count": 1, **said}]).text())["site"]["bags"][0] == {"count": 1, **said}


def test_law_map_and_paper_say_how_it_stands_with_each_heap_and_kiln() -> None:
    site = burned(SafeSite(), EVENING, MORNING).put("p1", status="drying").put("p2", status="burned")
    a = site.with_record("log", date="2026-05-19", kiln="K2").assessed()
    assert dict(a.states) == {"p1": "drying", "p2": "burned", "k1": "cold", "k2": "burned"}
    labels = {feature.id: feature.label for feature in map_view(a, "x").features}
    assert [labels[key] for key in ("p1", "k1", "k2", "pond")] == ["P1 · drying", "K1 · cold", "K2 · burned", "POND"]
    drawn = map_svg(a, "full") or ""
    assert all(word in drawn for word in ("drying", "burned", "cold"))
    assert "secándose" in (map_svg(a, "full", words=words_for(a.source, "es")) or "")


def test_law_a_kiln_burned_at_two_places_needs_looks_at_both() -> None:
    """Two looks after it was moved prove the newer place alone; the older is named, and proved by its name."""
    here, there = ({"*": {"at": lonlat(east, 0)}} for east in (0, 60))
    first, then = {**BURNED, "seen": here}, {**BURNED, "date": "2026-05-15", "seen": there}
    later = [{**EVENING}, {**MORNING}]
    site = SafeSite().top(log=[then, first], cold=later)
    a = site.assessed()
    assert [each.proved for each in a.burned] == [False, True]
    older = a.burned[0].name
    assert older == "K1 @ {1:.5f}, {0:.5f}".format(*lonlat(60, 0))
    assert a.states["k1"] == "burned"
    assert a.decision("k1").word != MAY  # type: ignore[union-attr]
    assert older in ringing(site.site(), dt.date(2026, 5, 20))
    named = [{**look, "kiln": older} for look in later]
    both = site.top(cold=[*later, *named]).signed().assessed()
    assert [each.proved for each in both.burned] == [True, True]
    assert both.decision("k1").word == MAY  # type: ignore[union-attr]
    while_there = [{**EVENING, "date": "2026-05-15"}, {**MORNING, "date": "2026-05-16"}]
    assert all(each.proved for each in site.top(cold=[*later, *while_there]).assessed().burned)
    warm = {**MORNING, "time": "18:00", "found": "warm"}
    assert not any(each.proved for each in site.top(cold=[*later, *named, warm]).assessed().burned)
    at_older = site.top(cold=[*later, *named, {**warm, "kiln": older}]).assessed()
    assert [each.proved for each in at_older.burned] == [False, True]
    elsewhere = [{**look, "kiln": "K1 @ 10.00000, 10.00000"} for look in later]
    assert not any(each.proved for each in site.top(log=[first], cold=elsewhere).assessed().burned)


def test_law_a_kiln_set_right_by_a_step_burned_on_the_same_ground() -> None:
    here, beside = ({"*": {"at": lonlat(east, 0)}} for east in (0, 3))
    log = [{**BURNED, "date": "2026-05-15", "seen": here}, {**BURNED, "seen": beside}]
    found = SafeSite().top(log=log, cold=[EVENING, MORNING]).assessed().burned
    assert [(each.name, each.proved) for each in found] == [("K1", True)]


def bars(site: SafeSite) -> set[str]:
    """What bars the first kiln because it is not cold."""
    return {bar.about for bar in site.assessed().decision("k1").because if bar.check == "cold"}  # type: ignore[union-attr]


def test_law_a_heap_burned_in_a_kiln_or_found_cold_bars_nothing() -> None:
    site = SafeSite().put("p2", status="burned").move("p2", -15, 0)
    assert bars(site) == {"p2"}
    assert not bars(site.put("p2", status="cold"))
    looks = ({**look, "kiln": "K2"} for look in (EVENING, MORNING))
    assert not bars(burned(site.put("p2", status="burned"), *looks, kiln="K2", heaps_done=["P2"]))
