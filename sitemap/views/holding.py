"""What a tab holds of its site, while the store can be reached and while it cannot."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from time import monotonic

from sitemap.errors import BadStore
from sitemap.site.model import Site
from sitemap.site.store import Kept, Store

REST_S = 5.0  # before a store that gave trouble is asked again: a locked one keeps one waiting each time


@dataclass
class Holding:
    """The open site of a tab. What the store cannot take stays here, with every edit made since, until it can."""

    kept: Kept | None = None
    waits: Site | None = None  # the site as it was last kept, where edits made since could not be
    trouble: str | None = None  # why the store could not be reached, in a sentence
    ask_again: float = 0.0  # when, on the clock of the process

    @property
    def resting(self) -> bool:
        """Whether the store gave trouble a moment ago."""
        return self.trouble is not None and monotonic() <= self.ask_again

    @property
    def begun_unkept(self) -> bool:
        """Whether somebody began to type while nothing could be kept."""
        return self.kept is not None and not self.kept.link and self.waits is not None

    def troubled(self, error: BadStore) -> None:
        """Remember why the store could not be reached."""
        self.trouble, self.ask_again = str(error), monotonic() + REST_S

    def followed(self, store: Store, held: Kept) -> Kept:
        """The open site as the store has it; what waits is kept first, and a site the store has lost is put back.

        Raises BadStore while the store cannot be reached; nothing is lost by it.
        """
        revision = store.revision(held.link)
        if revision is None:
            store.put_back(held if self.waits is None else replace(held, site=self.waits))
        if self.waits is not None:
            held, self.waits = store.save(held.link, self.waits, held.site, "What waited to be kept"), None
        return held if held.revision == revision else store.open(held.link)

    def keep(self, store: Callable[[], Store], held: Kept, after: Site, label: str) -> None:
        """Keep an edit; where that cannot be, it waits here."""
        if self.trouble is None:
            try:
                self.kept = store().save(held.link, held.site, after, label)
                return
            except BadStore as error:
                self.troubled(error)
        self.waits = held.site if self.waits is None else self.waits
        self.kept = replace(held, site=after)
