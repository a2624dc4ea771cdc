"""What is looked at again on the morning: nothing that expires is left out, and each matter says what is known."""

from __future__ import annotations

import datetime as dt

import pytest

from sitemap.day.on_the_day import on_the_day
from sitemap.reasons import Quantity, reason
from sitemap.telling import tell
from tests.safety.dangerous.safe_site import SafeSite
from tests.site.builders import site_of, thing


def told(site: SafeSite) -> list[str]:
    return [tell(each) for each in site.assessed().on_the_day]


def test_law_every_matter_that_expires_is_on_the_list() -> None:
    """FIELD 20: ban, permit, forecast, neighbours print empty the next day; water, wood and people are of the day."""
    said = told(SafeSite())
    assert len(said) == len(set(said))
    words = (
        "fire ban",
        "gusts up to 29 km/h",
        "still green",
        "quench lines laid from TANK",
        "escape water kept at TANK",
    )
    for each in (
        *words,
        "Somebody is in charge and 12 adults",
        "tell Invented",
        "Neighbour to the east",
        "no rain",
        "ways out",
    ):
        assert any(each in line for line in said), each


def test_law_the_permits_limits_are_those_of_the_morning_where_they_are_stricter() -> None:
    """12 km/h at 10 m are 10.4 at 20 ft (Turner & Lawson 1978, S), rounded down; a laxer one leaves ours."""
    site = SafeSite().say("permit", wind_km_h=12, gust_km_h=90, wind_at="10_m", humidity_pct=50.4)
    line = next(each for each in told(site) if "mean wind" in each)
    assert all(each in line for each in ("to 10 km/h", "gusts up to 29 km/h", "humidity 51% or more"))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda s: s.say("season", ban=None), "ask whether a fire ban is in force"),
        (lambda s: s.say("season", ban="in_force"), "one was on Fri 15 May 2026"),
        (lambda s: s.say("season", surroundings=None), "look how green or cured"),
        (lambda s: s.drop("tank", "pond").top(links=[]), "no line is known"),
        (lambda s: s.say("crew", leader=None), "two adults at least"),
        (lambda s: s.say("permit", phone="000 0003"), "tell Invented before lighting, 000 0003"),
    ],
)
def test_law_what_is_not_known_is_asked_all_the_same(change, says) -> None:
    assert any(says in line for line in told(change(SafeSite())))


@pytest.mark.parametrize(("asked", "stands"), [("2026-05-13", True), ("2026-05-12", False)])
def test_law_a_ban_asked_about_more_than_a_week_before_bars(asked: str, stands: bool) -> None:
    """Within the week: common practice, no source (C); burned on 20 May."""
    (decision,) = (each for each in SafeSite().said_on("ban", asked).assessed().decisions if each.spot == "k1")
    assert ("ban" in {bar.check for bar in decision.because}) is not stands


def test_law_the_first_day_wood_was_read_on_is_the_one_rain_counts_from() -> None:
    """What was read on it may have been wetted since, whatever was read later elsewhere."""
    site = site_of(
        *(
            thing(
                f"p{day}",
                name=f"P{day}",
                readings=[{"date": f"2026-05-{day}", "moisture_pct": 20}, {"date": "2026-05-19"}],
            )
            for day in (14, 12, 16)
        )
    )
    (rain,) = (each for each in on_the_day(site, None, None, reason("today.ban")) if each.code == "today.rain")
    assert rain.fact("on") == dt.date(2026, 5, 12)


@pytest.mark.parametrize(
    ("permit", "most_m_s", "toward"),
    [({}, 5.36448, "nearest"), ({"wind_km_h": 10, "wind_at": "20_ft"}, 10 / 3.6, "down")],
)
def test_law_a_permits_limit_is_told_rounded_down_and_ours_as_it_is(
    permit: dict[str, object], most_m_s: float, toward: str
) -> None:
    """Ours: 12 mph."""
    site = site_of(site={"permit": permit})
    (weather,) = (each for each in on_the_day(site, None, None, reason("today.ban")) if each.code == "today.weather")
    most = weather.fact("most")
    assert isinstance(most, Quantity)
    assert (most.value, most.toward) == (pytest.approx(most_m_s), toward)
