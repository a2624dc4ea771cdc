"""What was looked for or said on another day: it does not stand for the burn date, but a no always does."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import cache

import pytest

from sitemap.assessment import assess
from sitemap.day.decision import WORDS
from sitemap.day.of_site import past_midnight_checks
from sitemap.site.file import read_site
from sitemap.site.model import Site
from sitemap.site.seen import Day, all_confirmed
from tests.safety.dangerous.safe_site import SafeSite
from tests.views.conftest import ROOT

ON = dt.date(2026, 10, 10)
SAMPLE = ROOT / "sample_sites" / "birch_shore.geojson"


def site() -> Site:
    return read_site(SAMPLE)


def bars(known: Site, on: dt.date | None = ON, today: dt.date | None = None) -> dict[str, str]:
    """Check → word of all that bars kiln K1."""
    decision = assess(known, on=on, today=today).decision("k1")
    assert decision is not None
    return {bar.check: bar.word for bar in decision.because}


def with_dates(known: Site, key: str, name: str, date: str | None) -> Site:
    return known.with_member(key, [{**entry.values, name: date} for entry in known.records(key)])


@cache
def known_bars() -> set[str]:
    return set(bars(site()))


@pytest.mark.parametrize("date", [None, "2025-10-09", "2026-10-11"])
def test_law_a_look_too_old_undated_or_to_come_is_not_known(date: str | None) -> None:
    assert set(bars(with_dates(site(), "looked", "when", date))) - known_bars() == {"looked"}


@pytest.mark.parametrize("date", [None, "2025-10-09", "2026-10-11"])
def test_law_a_yes_too_old_undated_or_to_come_is_none(date: str | None) -> None:
    assert "authority" in bars(with_dates(site(), "asked", "date", date))


@pytest.mark.parametrize("date", [None, "2020-01-01", "2026-10-11", "2026-10-09"])
def test_law_a_no_stands_whatever_its_date(date: str | None) -> None:
    known = site()
    told = [{**entry.values, "answer": "no", "date": date} for entry in known.records("asked")]
    assert bars(known.with_member("asked", told))["authority"] == "not here"


def test_law_nothing_can_have_been_seen_after_the_day_somebody_looks() -> None:
    assert {"looked", "authority"} <= set(bars(site(), today=dt.date(2026, 9, 1)))


def test_law_without_a_burn_date_no_kiln_may_be_lit() -> None:
    found = assess(site(), on=None)
    assert [decision.word == "may be lit" for decision in found.decisions] == [False] * len(found.decisions)
    assert all("date" in {bar.check for bar in decision.because} for decision in found.decisions)
    assert all(found.clock_of(spot.id) == () for spot in found.spots)


@pytest.mark.parametrize("later", [8, 32, 92, 366])
def test_law_a_later_burn_date_never_improves_a_decision(later: int) -> None:
    words = []
    for days in (0, later):
        found = assess(site(), on=ON + dt.timedelta(days=days))
        words.append([WORDS.index(decision.word) for decision in found.decisions])
    assert all(after >= before for before, after in zip(*words, strict=True))


def test_law_facts_confirmed_later_stand_for_a_later_day() -> None:
    later = ON + dt.timedelta(days=20)
    known = all_confirmed(site(), later)
    assert "ground" not in bars(known, later)


@pytest.mark.parametrize(
    ("change", "barred"),
    [
        (lambda s: s, set()),
        (lambda s: s.say("permit", to="2026-05-20"), {"permit"}),
        (lambda s: s.top(closed=[{"from": "2026-05-21"}]), {"date"}),
    ],
)
def test_law_a_kiln_alight_after_midnight_asks_for_the_next_day_too(change, barred: set[str]) -> None:
    """Crews that work through a night without sunset: the permit of the burn date alone does not hold till the end."""
    known = change(SafeSite()).assessed()
    (run,) = [each for each in known.kilns if each.spot == "k1"]
    night = dt.timedelta(hours=12)
    late = replace(run, clocks=tuple(replace(each, no_steam_by=each.no_steam_by + night) for each in run.clocks))
    for at, wanted in ((run, set()), (late, barred)):
        checks = past_midnight_checks(known.source, Day(known.on), {"k1": at}).get("k1", ())
        assert {each.check for each in checks if each.effect != "passes"} == wanted
