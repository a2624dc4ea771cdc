"""What is looked at again on the morning: nothing that expires is left out, and each matter says what is known."""

from __future__ import annotations

import pytest

from sitemap.telling import tell
from tests.safety.dangerous.safe_site import SafeSite


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
