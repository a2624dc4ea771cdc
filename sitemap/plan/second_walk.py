"""What matters most: which unknown widens the tonnes most, which hold verdicts; so that the second walk is short."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from sitemap.assessment import Assessment
from sitemap.reasons import Reason
from sitemap.safety.effects import CONDITIONAL
from sitemap.slash.result import Driver
from sitemap.telling import tell

# What to do about a quantity that is not well known; common practice, no source (C).
_HOW: Mapping[str, str] = MappingProxyType(
    {
        "length": "tape it at the ground",
        "width": "tape it at the ground, square to the length",
        "height": "measure it by pole and level look",
        "shape": "walk round and ring the sketch that fits",
        "packing": "weigh a heap of this look as it is taken apart, or count its char",
        "earth": "dig a hand into it: none, some or much",
        "density": "name the species; where it is named, only a piece dried and weighed narrows it",
        "weighed": "weigh again, with its moisture",
        "char_stock": "of ten armfuls, how many go in the kiln?",
        "tally": "tally more lines",
        "size_class": "measure the pieces instead of classing them",
    }
)


@dataclass(frozen=True)
class Widens:
    """One unknown behind the char stock of the site.

    about : feature id, or "site" for an error heaps share
    share : of the range of the char stock, squared as errors add up, what goes when it alone is known, 0 to 1
    half_range : half of the low-to-high range it alone gives, as a share of the figure
    """

    about: str
    what: str
    basis: str
    share: float
    half_range: float
    how: str


@dataclass(frozen=True)
class Holds:
    """One open check that keeps kiln spots from passing.

    spots : names of the kilns it holds; alone : those that nothing else holds
    """

    check: str
    about: str
    verdict: str
    reason: Reason
    spots: tuple[str, ...]
    alone: tuple[str, ...]


def widens(assessment: Assessment) -> tuple[Widens, ...]:
    """The unknowns behind the tonnes, the one that widens them most first."""
    return tuple(_widens(assessment, driver) for driver in assessment.slash.drivers)


def holds(assessment: Assessment) -> tuple[Holds, ...]:
    """The open checks that hold verdicts: first what alone holds most kilns, then what holds most of them.

    A kiln that is ruled out is not waiting for an answer, so what is open about it is left out.
    """
    found: dict[tuple[str, str, str], Holds] = {}
    for spot in assessment.spots:
        held = [check for check in spot.checks if check.effect == CONDITIONAL]
        for check in held if spot.effect == CONDITIONAL else ():
            key = check.check, check.about, check.verdict
            one = found.setdefault(key, Holds(*key, check.reason, (), ()))
            alone = (*one.alone, spot.name) if len(held) == 1 else one.alone
            found[key] = replace(one, spots=(*one.spots, spot.name), alone=alone)
    return tuple(sorted(found.values(), key=lambda each: (-len(each.alone), -len(each.spots))))


def _widens(assessment: Assessment, driver: Driver) -> Widens:
    feature = assessment.source.get(driver.about)
    what = f"{tell(driver.what)}, {feature.name if feature else 'all heaps'}"
    return Widens(driver.about, what, driver.basis, driver.share, driver.half_range, _HOW[driver.quantity])
