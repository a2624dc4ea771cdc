"""People at the busiest minute of the day: who feeds, rakes, carries, pumps, looks out and walks downwind.

Numbers in, checks out. Hours are counted from any one moment of the day.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields

from sitemap.day.matters import SITE
from sitemap.reasons import Quantity, Reason, reason
from sitemap.safety.permission import Check, checked

_SAME_H = 1e-6  # [h] moments nearer than this are one


@dataclass(frozen=True)
class Batch:
    """One kiln that burns once.

    lit_h, water_h, out_h : lit, water on, raked and no steam [h]
    feeders : people who feed it, or one who drives the machine [count]
    quenching : people who rake, or stand at the nozzle [count]
    """

    lit_h: float
    water_h: float
    out_h: float
    feeders: int
    quenching: int


@dataclass(frozen=True)
class Jobs:
    """People at the jobs of the day, as the table crew says [count].

    lookout : while any kiln is alight; patrol : where two or more are
    pump : while any quench runs beside another kiln; beside the only kiln alight the lookout sees to it
    carriers : who carry water while any quench runs, 0 where it comes by hose
    """

    lookout: int
    patrol: int
    pump: int
    carriers: int


@dataclass(frozen=True)
class Hands:
    """People at each job at one minute [count]."""

    feeding: int
    quenching: int
    carrying: int
    pumping: int
    looking_out: int
    patrolling: int

    @property
    def people(self) -> int:
        """All of them."""
        return sum(int(getattr(self, each.name)) for each in fields(self))


def hands_at(batches: Iterable[Batch], jobs: Jobs, at_h: float) -> Hands:
    """Who is needed just after a moment.

    Parameters
    ----------
    batches : of the day
    jobs : people at the jobs that no kiln has for itself
    at_h : moment [h]

    Returns
    -------
    Hands; a kiln is fed until its water is on, quenched until it is out

    References
    ----------
    Common practice, no source (evidence C), table crew.
    """
    just_after = at_h + _SAME_H
    alight = [each for each in batches if each.lit_h <= just_after < each.out_h]
    burning = [each for each in alight if just_after < each.water_h]
    quenched = len(alight) > len(burning)
    return Hands(
        feeding=sum(each.feeders for each in burning),
        quenching=sum(each.quenching for each in alight if each not in burning),
        carrying=jobs.carriers if quenched else 0,
        pumping=jobs.pump if quenched and len(alight) > 1 and not jobs.carriers else 0,
        looking_out=jobs.lookout if alight else 0,
        patrolling=jobs.patrol if len(alight) > 1 else 0,
    )


def busiest(batches: Sequence[Batch], jobs: Jobs) -> tuple[float, Hands] | None:
    """The minute of the day that takes most people, the first of several [h], and who is needed; None without a batch.

    Nobody is needed more anew but where a kiln is lit or its water begins, so only these moments are looked at.
    """
    moments = sorted({moment for each in batches for moment in (each.lit_h, each.water_h)})
    found = [(moment, hands_at(batches, jobs, moment)) for moment in moments]
    return max(found, key=lambda at: at[1].people, default=None)


def hands_check(adults: int | None, needed: tuple[float, Hands] | None) -> Check:
    """Whether there are adults enough at the busiest minute.

    adults : on site, or None where not known; needed : `busiest`, or None where no clock of the day is known
    """
    if needed is None or adults is None:
        return checked("hands", "not known", SITE, reason("day.hands_not_known"))
    hands = needed[1]
    if hands.people > adults:
        why = reason("day.too_few_hands", adults=adults, people=hands.people, jobs=_jobs_told(hands))
        return checked("hands", "too few people", SITE, why)
    return checked("hands", "enough people", SITE, reason("day.hands", adults=adults, people=hands.people))


def _jobs_told(hands: Hands) -> tuple[Reason, ...]:
    """Each job somebody is needed for, with how many."""
    told = (
        (hands.feeding, reason("day.feeding", people=hands.feeding)),
        (hands.quenching, reason("day.quenching", people=hands.quenching)),
        (hands.carrying, reason("day.carrying", people=hands.carrying)),
        (hands.pumping, reason("day.pumping", people=hands.pumping)),
        (hands.looking_out, reason("day.looking_out", people=hands.looking_out)),
        (hands.patrolling, reason("day.patrolling", people=hands.patrolling)),
    )
    return tuple(why for people, why in told if people)


def raking_check(spot: str, kiln: str, rake_min: float, least_min: float, crews: int | None = None) -> Check:
    """Whether one crew rakes a batch before it must steam no more.

    spot : id; kiln : what people call it; rake_min : to rake a batch [min]; least_min : it must be done in [min]
    crews : that can rake, None where not said
    """
    if rake_min > 0 and crews == 0:
        return checked("raking", "nobody rakes", spot, reason("day.nobody_rakes", kiln=kiln))
    takes, limit = Quantity(rake_min, "min", 2, apart=least_min), Quantity(least_min, "min", 2, apart=rake_min)
    if rake_min > least_min:
        return checked(
            "raking", "raked too late", spot, reason("day.raked_too_late", kiln=kiln, takes=takes, limit=limit)
        )
    return checked("raking", "raked in time", spot, reason("day.raked_in_time", kiln=kiln, limit=limit))


def flood_check(spot: str, kiln: str) -> Check:
    """A kiln that was to be flooded and holds no water. spot : id; kiln : what people call it."""
    return checked("quench_method", "cannot be flooded", spot, reason("day.cannot_be_flooded", kiln=kiln))


def method_check(spot: str, kiln: str, known: bool, holds_known: bool) -> Check:
    """Whether somebody chose how a kiln is quenched.

    spot : id; kiln : what people call it; known : chosen; holds_known : whether it was said that one to be flooded
    holds water
    """
    if not known:
        return checked("quench_method", "not known", spot, reason("day.method_not_known", kiln=kiln))
    if not holds_known:
        return checked("quench_method", "not known", spot, reason("day.holds_not_known", kiln=kiln))
    return checked("quench_method", "chosen", spot, reason("day.method_chosen", kiln=kiln))
