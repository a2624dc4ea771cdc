"""What a check's verdict does to a kiln spot, in one table, and how several add up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from sitemap.errors import BadValue
from sitemap.reasons import reason

PASSES, CONDITIONAL, RULED_OUT = "passes", "conditional", "ruled out"
ORDER = (PASSES, CONDITIONAL, RULED_OUT)
PASSES_ENTERED = "passes the checks entered"

_WORDS = {
    PASSES: (
        "far enough",
        "enough, proved",
        "holds enough",
        "asked and agreed",
        "good ground",
        "turf",
        "rock",
        "no branches above",
        "far enough above",
        "gentle",
        "slope with care",
        "set",
        "inside the permit",
        "no permit needed",
        "no ban",
        "not cured",
        "allowed by the officer",
        "enough people",
        "a batch fits",
        "somebody in charge",
        "two ways out",
        "refuge wide enough",
        "wood dry",
        "raked in time",
        "chosen",
        "help can be called",
        "walked",
        "on the map",
    ),
    CONDITIONAL: (
        "not known",
        "measure on the ground",
        "no distance entered",
        "enough on paper",
        "tight",
        "duff or litter",
        "authority not asked",
        "agreed, inside the distance",
        "owner not asked",
        "conditions open",
        "refused next door",
        "below the usual distance",
        "which side is not known",
        "too near a kiln",
        "downwind of a kiln",
        "char pad in the wrong place",
        "two figures disagree",
        "unlikely size",
        "branches above",
        "steep",
        "closed day",
        "date has passed",
        "outside the permit",
        "ban in force",
        "cured",
        "too few people",
        "no batch fits",
        "one way out",
        "refuge too small",
        "wood wet",
        "weather outside limits",
        "raked too late",
        "nobody rakes",
        "cannot be flooded",
        "not proved cold",
    ),
    RULED_OUT: (
        "too close",
        "ground peat or roots",
        "power line not agreed",
        "refused by the authority",
        "refused by the owner",
    ),
}
EFFECTS: Mapping[str, str] = MappingProxyType({word: effect for effect, words in _WORDS.items() for word in words})


def effect_of(verdict: str) -> str:
    """What one verdict does to a kiln spot: "passes", "conditional" or "ruled out".

    Raises BadValue for a verdict without an effect: a new word must be given one, never passed by default.

    >>> effect_of("measure on the ground")
    'conditional'
    """
    try:
        return EFFECTS[verdict]
    except KeyError:
        raise BadValue(reason("safety.no_effect", verdict=verdict)) from None


def worst_effect(effects: Iterable[str]) -> str:
    """The worst of several effects; nothing checked is conditional, because unknown is never shown as safe.

    >>> worst_effect(["passes", "ruled out", "conditional"]), worst_effect([])
    ('ruled out', 'conditional')
    """
    return max(effects, key=ORDER.index, default=CONDITIONAL)


def spot_verdict(effects: Iterable[str]) -> str:
    """The verdict of a kiln spot; its best is "passes the checks entered", which is not a permission."""
    worst = worst_effect(effects)
    return PASSES_ENTERED if worst == PASSES else worst
