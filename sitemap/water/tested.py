"""What a bucket was filled with: a test with another pump, hose or tip, or with what nobody said, says nothing here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sitemap.named import Named, named
from sitemap.reasons import Reason, Term, reason
from sitemap.water.records import Kit, LineGear

PUMP, HOSE, TIP = Term("the pump"), Term("the hose"), Term("the nozzle")


def other_gear(said: LineGear, kit: Kit, now: LineGear) -> Reason | None:
    """Why a bucket test does not stand for a line, or None where it was made with the gear the line has.

    said : what it was filled with, as entered; kit : all gear on hand; now : what the line is made of
    """
    parts = (
        (PUMP, kit.pumps, said.pumps, now.pumps),
        (HOSE, kit.hoses, said.hoses, now.hoses),
        (TIP, kit.nozzles, _one(said.tip), _one(now.tip)),
    )
    blank = tuple(what for what, _, was, runs in parts if runs and not was)
    for what, things, was, runs in parts:
        if was and {_id(things, each) for each in was} != set(runs):
            return reason("water.bucket_other", what=what, was=_names(things, was), now=_names(things, runs))
    return reason("water.bucket_with_what", what=blank) if blank else None


def _one(tip: str | None) -> tuple[str, ...]:
    return () if tip is None else (tip,)


def _id(things: Sequence[Named], reference: str) -> str | None:
    found = named(things, reference)
    return None if found is None else found.id


def _names(things: Sequence[Named], references: Iterable[str]) -> tuple[str, ...] | Term:
    names = tuple(each.name if (each := named(things, one)) else one for one in references)
    return names or Term("none")
