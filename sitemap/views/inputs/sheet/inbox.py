"""What was typed in a sheet, applied exactly once, whatever re-run of the page lands in the middle.

The browser numbers its edits and sends all that were not yet acknowledged, again and again until they are. A run of
the page can be cut off at any touch of the session; so the numbers are not kept there, and between the writing of an
edit and of its number nothing can come.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from threading import Lock
from typing import Any

from sitemap.errors import BadSiteFile
from sitemap.site.grid import headings
from sitemap.site.kinds import KINDS
from sitemap.site.model import Site
from sitemap.site.store import Store
from sitemap.site.typed_rows import typed
from sitemap.units import SYSTEMS
from sitemap.views.holding import Holding


@dataclass(frozen=True)
class Edit:
    """One thing a person did: a cell typed, a block pasted, rows taken away. One undo takes it back.

    client : name the browser gave to one opening of the app; number : counts its edits up from 1
    link, kind : of the site and of the things in the rows
    units : system in which the headings stood
    cells : id of the row → column key → text; gone : ids of the rows taken away
    """

    client: str
    number: int
    link: str
    kind: str
    units: str
    cells: Mapping[str, Mapping[str, str]]
    gone: tuple[str, ...] = ()


class Inbox:
    """What was typed on all open pages of this computer, and how far it is kept."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._seen: dict[str, int] = {}
        self._rows: dict[str, set[str]] = {}

    def acknowledged(self, clients: Iterable[str]) -> dict[str, int]:
        """Client → number of its last edit that is kept."""
        return {client: self._seen[client] for client in clients if client in self._seen}

    def rows_of(self, clients: Iterable[str]) -> set[str]:
        """Ids of the rows some clients typed in."""
        return set[str]().union(*(self._rows.get(client, ()) for client in clients))

    def take(self, store: Store, message: Any, tab: Holding | None = None) -> None:
        """Keep what is new in a message: edits as the browser sends them; what is no edit is passed over.

        tab : what the tab holds they were typed in
        """
        with self._lock:
            for edit in edits_of(message):
                if edit.number > self._seen.get(edit.client, 0):
                    self._keep(store, edit, tab)
                    self._rows.setdefault(edit.client, set()).update(edit.cells)
                    self._seen[edit.client] = edit.number

    @staticmethod
    def _keep(store: Store, edit: Edit, tab: Holding | None) -> None:
        try:
            held = store.open(edit.link)
        except BadSiteFile:  # the site itself was taken away: there is nothing left to write in
            return
        own = tab if tab is not None and tab.kept is not None and tab.kept.link == edit.link else Holding(held)
        held = own.as_shown(held)
        after = typed(held.site, edit.kind, edit.cells, edit.units).without(*edit.gone)
        if after != held.site:
            own.took(held, after, store.save(edit.link, held.site, after, label_of(edit, held.site, after)))


def edits_of(message: Any) -> Iterator[Edit]:
    """The edits in a message, in the order of their numbers."""
    listed = [each for each in message if isinstance(each, Mapping)] if isinstance(message, list | tuple) else []
    for each in sorted(listed, key=lambda each: int(each.get("n", 0))):
        link, _, kind = str(each.get("sheet")).rpartition("/")
        if kind not in KINDS or each.get("units") not in SYSTEMS:
            continue
        known = headings(kind, "metric", more=True)
        cells: dict[str, dict[str, str]] = {}
        for row, key, text in each.get("cells") or ():
            if key in known:
                cells.setdefault(str(row), {})[str(key)] = str(text)
        gone = tuple(map(str, each.get("gone") or ()))
        yield Edit(str(each.get("client")), int(each["n"]), link, kind, str(each["units"]), cells, gone)


def label_of(edit: Edit, before: Site, after: Site) -> str:
    """What undo would take back: "Grid: Height of P1", "Grid: 40 heaps"."""
    rows, kind = {*edit.cells, *edit.gone}, KINDS[edit.kind]
    if len(rows) != 1:
        return f"Grid: {len(rows)} {kind.plural.lower()}"
    (row,) = rows
    feature = after.get(row) or before.get(row)
    said = f"{kind.label.lower()} {feature.name}".strip() if feature else kind.label.lower()
    if after.get(row) is None:
        return f"Grid: {said} taken away"
    columns = edit.cells.get(row, {})
    if len(columns) != 1:
        return f"Grid: {said}"
    (column,) = columns
    attribute = kind.attribute(column)
    return f"Grid: {attribute.label if attribute else column.capitalize()} of {said}"
