"""With what the buckets of a site were filled, said with one touch."""

from __future__ import annotations

from sitemap.site.frozen import FrozenDict
from sitemap.site.model import Entry, Site
from sitemap.water.bucket import bucket_of
from sitemap.water.reading import link_record
from sitemap.water.records import LineGear
from sitemap.water.values import Water


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
