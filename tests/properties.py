"""How many examples a property is tried on.

Every day few, and the same ones each time: a failure then means that the code changed. Before a release `python -m
tests --thorough` tries many, drawn by a seed that it prints.
"""

from __future__ import annotations

from hypothesis import settings

EVERYDAY, THOROUGH = "everyday", "thorough"
EVERYDAY_EXAMPLES = 25
THOROUGH_EXAMPLES = 100


def use() -> None:
    """Make both profiles known and begin with the everyday one; pytest's --hypothesis-profile chooses the other."""
    # no time limit: it would be a timed test
    settings.register_profile(EVERYDAY, deadline=None, database=None, derandomize=True, max_examples=EVERYDAY_EXAMPLES)
    settings.register_profile(
        THOROUGH, deadline=None, database=None, derandomize=False, max_examples=THOROUGH_EXAMPLES, print_blob=True
    )
    settings.load_profile(EVERYDAY)


def thorough() -> bool:
    """Whether this run is the thorough one."""
    return settings.get_current_profile_name() == THOROUGH


def examples(most: int) -> settings:
    """For a property that needs another number than the profile gives: so many when thorough, else 25 at the most."""
    return settings(max_examples=most if thorough() else min(most, EVERYDAY_EXAMPLES))
