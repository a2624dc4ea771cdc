"""A file brought in from the command line: the site with it, and what is said of it."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from sitemap.errors import BadFile
from sitemap.reasons import reason
from sitemap.site.imports import bring
from sitemap.site.imports.brought import keep
from sitemap.site.imports.looking import CHANGES, listing, looks, notes_at, prepared
from sitemap.site.imports.returned import is_returned, read_returned, with_returned
from sitemap.site.kinds import KINDS
from sitemap.site.model import Site
from sitemap.site.placing_text import settle


def brought_in(
    site: Site, path: Path, kind: str | None, *, update: bool, system: str | None = None
) -> tuple[Site, list[str]]:
    """The site with what a file holds, and the lines that say what that is.

    kind : of the rows, or None to guess
    system : coordinate system of eastings and northings that say none
    update : what the site says differently is changed too; else only what is new, or adds to a thing, comes in

    Raises BadFile for what cannot be read, OSError for what cannot be opened.
    """
    if kind is not None and kind not in KINDS:
        raise BadFile(reason("command.kind", kind=kind, known=tuple(KINDS)))
    data = path.read_bytes()
    text = data[:4000].decode("utf-8", "replace")
    if is_returned(text):
        return _returned(site, path.name, data)
    brought = prepared(bring(path.name, data, site, kind, system=system))
    if brought.words:
        raise BadFile(reason("command.no_table", name=path.name))
    lines = list(listing(site, brought))
    found = looks(site, brought, notes_at(site, brought))
    taken = tuple(each.candidate for each in found if each.take or (update and each.what == CHANGES and not each.far))
    count = Counter(each.what for each in found)
    lines.append(", ".join(f"{what}: {number}" for what, number in count.items()) + f". Taken: {len(taken)}.")
    if count[CHANGES] and not update:
        lines.append("What would change is left as it is: say --update to change it.")
    return settle(keep(site, taken)), lines


def _returned(site: Site, name: str, data: bytes) -> tuple[Site, list[str]]:
    try:
        returned = read_returned(name, data.decode("utf-8"), site)
    except UnicodeDecodeError as error:
        raise BadFile(reason("command.no_text", name=name)) from error
    looks = f", {len(returned.cold)} cold checks" if returned.cold else ""
    bags = f", {len(returned.bags)} lines of bags" if returned.bags else ""
    new = f"New: {len(returned.ticks)} ticks, {len(returned.log)} lines of the log{looks}{bags}"
    return with_returned(site, returned), [f"{new}; here already: {returned.doubles}."]
