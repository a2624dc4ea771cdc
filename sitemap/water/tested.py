"""What a bucket was filled with: a test with another pump, hose or tip, or with what nobody said, says nothing here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sitemap.named import Named, named
from sitemap.reasons import Reason, Term, reason
from sitemap.site.frozen import FrozenDict
from sitemap.site.model import Entry, Site
from sitemap.water.bucket import bucket_of
from sitemap.water.reading import link_record
from sitemap.water.records import Kit, LineGear
from sitemap.water.values import Water

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


def said_as_now(site: Site, water: Water | None, about: str | None = None) -> Site:
    """The site with its bucket tests said to have been made with the gear their lines have now, where nobody said it.

    water : as worked out of the site; about : id of a kiln spot or a water source, None for all
    """
    lines = [] if water is None else [(spot.spot_id, line) for spot in water.spots for line in spot.entries]
    made = {(str(line.source), spot): line.made_of for spot, line in lines if line.way == "hose"}
    records = site.member.get("links")
    if not isinstance(records, tuple):
        return site
    links = iter(site.records("links"))
    new = tuple(_said(site, next(links), made, about) if isinstance(each, FrozenDict) else each for each in records)
    return site if new == records else site.with_member("links", new)


def _said(site: Site, link: Entry, made: dict[tuple[str, str], LineGear], about: str | None) -> FrozenDict:
    source, spot = (site.find(link.text(name) or "") for name in ("source", "spot"))
    ends = (source.id if source else "", spot.id if spot else "")
    now, values = made.get(ends), link.values
    if now is None or bucket_of(link_record(link)) is None or about not in (None, *ends):
        return values
    gear = {"bucket_pump": now.pumps, "bucket_hose": now.hoses, "bucket_tip": now.tip}
    return values.put(**{name: each for name, each in gear.items() if each and not link.has(name)})


def _one(tip: str | None) -> tuple[str, ...]:
    return () if tip is None else (tip,)


def _id(things: Sequence[Named], reference: str) -> str | None:
    found = named(things, reference)
    return None if found is None else found.id


def _names(things: Sequence[Named], references: Iterable[str]) -> tuple[str, ...] | Term:
    names = tuple(each.name if (each := named(things, one)) else one for one in references)
    return names or Term("none")
