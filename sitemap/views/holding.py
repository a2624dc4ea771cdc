"""What a tab holds of its site, while the store can be reached and while it cannot."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from time import monotonic
from typing import Any

from sitemap.errors import BadFile, BadStore
from sitemap.reasons import reason
from sitemap.site.merging import Clash
from sitemap.site.model import Site
from sitemap.site.store import Kept, Store
from sitemap.views.heard import Heard

REST_S = 5.0  # before a store that gave trouble is asked again: a locked one keeps one waiting each time
_STAMPS = "seen"  # where and when a fact was seen goes with the fact itself


@dataclass
class Holding:
    """The open site of a tab. What the store cannot take stays here, with every edit made since, until it can."""

    kept: Kept | None = None
    waits: Site | None = None  # the site as it was last kept, where edits made since could not be
    trouble: BadStore | None = None  # why the store could not be reached
    ask_again: float = 0.0  # when, on the clock of the process
    look: bool = True  # the store is asked at the next touch: once in each run of the page and in each callback
    drawn: Kept | None = None  # what the run that draws now shows
    shown: Kept | None = None  # what the page surely shows: of the last run that stood whole, with its edits since
    clashes: list[Clash] = field(default_factory=list)  # not answered yet
    stopped_at: str | None = None  # link of the site of which nobody wants to know now what it means

    @property
    def resting(self) -> bool:
        """Whether the store gave trouble a moment ago."""
        return self.trouble is not None and monotonic() <= self.ask_again

    @property
    def unwanted(self) -> bool:
        """Whether somebody stopped it, before it was known what this site means; another site is not meant."""
        return self.kept is not None and self.stopped_at == self.kept.link

    def wanted(self) -> None:
        """Raises BadFile where what this site means is not wanted."""
        if self.unwanted:
            raise BadFile(reason("files.stopped"))

    @property
    def begun_unkept(self) -> bool:
        """Whether somebody began to type while nothing could be kept."""
        return self.kept is not None and not self.kept.link and self.waits is not None

    def troubled(self, error: BadStore) -> None:
        """Remember why the store could not be reached."""
        self.trouble, self.ask_again = error, monotonic() + REST_S

    def followed(self, store: Store, held: Kept) -> Kept:
        """The open site as the store has it; what waits is kept first, and a site the store has lost is put back.

        Raises BadStore while the store cannot be reached; nothing is lost by it.
        """
        revision = store.revision(held.link)
        if revision is None:
            store.put_back(held if self.waits is None else replace(held, site=self.waits))
        if self.waits is not None:
            held, self.waits = store.save(held.link, self.waits, held.site, "What waited to be kept"), None
            self._clashed(held)
            return held
        return held if held.revision == revision else store.open(held.link)

    def as_shown(self, now: Kept) -> Kept:
        """The open site as its page shows it: what somebody does is about that, whatever another tab did meanwhile.

        What others have added since is there as well, so that a new thing gets an id and a name of its own.
        """
        shown = self.shown
        if shown is None or shown.link != now.link or shown.revision == now.revision:
            return now
        there = {feature.id for feature in shown.site.features}
        added = tuple(feature for feature in now.site.features if feature.id not in there)
        return replace(shown, site=replace(shown.site, features=(*shown.site.features, *added)))

    def keep(self, store: Callable[[], Store], held: Kept, after: Site, label: str) -> None:
        """Keep an edit; where that cannot be, it waits here."""
        if self.trouble is None:
            try:
                self.took(held, after, store().save(held.link, held.site, after, label))
                return
            except BadStore as error:
                self.troubled(error)
        self.waits = held.site if self.waits is None else self.waits
        self.kept = self.shown = self.drawn = replace(held, site=after)

    def stands(self, kept: Kept) -> None:
        """Another state of the site, or another site, stands in the tab as a whole; its page will show it."""
        self.clashes = self.clashes if self.kept is not None and self.kept.link == kept.link else []
        self.kept = self.shown = self.drawn = kept

    def took(self, held: Kept, after: Site, kept: Kept) -> None:
        """The store has taken an edit of this tab.

        held, after : the site as the tab showed it before the edit, and with the edit on it
        """
        alone = self.kept is not None and self.kept.revision == held.revision and kept.revision <= held.revision + 1
        self.kept = kept
        self.shown = self.drawn = kept if alone else replace(kept, site=after, revision=-1)
        self._clashed(kept)

    def answered(self, clash: Clash) -> None:
        """Somebody has chosen which of two values stands."""
        self.clashes = [each for each in self.clashes if each != clash]

    def _clashed(self, kept: Kept) -> None:
        new = [clash for clash in kept.clashes if _STAMPS not in clash.path]
        paths = [clash.path for clash in new]
        self.clashes = [clash for clash in self.clashes if clash.path not in paths] + new


@dataclass
class Tab(Holding):
    """What one tab of the browser remembers."""

    link: str | None = None  # of the site in the address
    opened: str | None = None  # link of a site just opened, which the address does not say yet
    said: list[str] = field(default_factory=list)
    counted: int = 0  # so many of them stand on the page
    first: dict[str, Callable[[], None]] = field(default_factory=dict)  # to be done before undo or redo
    facts: dict[str, Any] = field(default_factory=dict)
    heard: Heard = field(default_factory=Heard)  # what was typed and has been taken
    late: bool = False  # something typed on a page came in after that page was left
    sent: set[str] = field(default_factory=set)  # widgets given a value in a run the browser may not have seen whole
