"""The store as one person may use it: their own sites, and those shared with everybody. All else is as if not there."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

from sitemap.errors import BadSiteFile
from sitemap.reasons import reason
from sitemap.site.model import Site
from sitemap.site.store import Kept, Listed, Store
from sitemap.site.store_people import Owned, People
from sitemap.views.sharing.gate import Visitor

_OF_NO_SITE = ("file", "keep_file", "folder")  # files go by the hash of their content, which only who has it knows
_MOST = 10_000


class _OwnStore:
    """Every way of a store that is not named here is taken to begin with the link of a site, and is checked."""

    def __init__(self, store: Store, people: People, visitor: Visitor) -> None:
        self._store, self._people, self._visitor = store, people, visitor

    def create(self, site: Site) -> Kept:
        """A site begun belongs to who began it."""
        made = self._store.create(site)
        self._people.own(made.link, self._visitor.name)
        return made

    def put_back(self, held: Kept) -> Any:
        """A site the store has lost, from the screen of who has it open."""
        self._check(held.link)
        return self._store.put_back(held)

    def sites(self, most: int = _MOST, *, away: bool = False) -> tuple[Listed, ...]:
        """The sites of this person, and the shared ones."""
        owned = self._people.owned()
        listed = self._store.sites(_MOST, away=away)
        return tuple(each for each in listed if self._may(owned.get(each.link)))[:most]

    def __getattr__(self, name: str) -> Any:
        found = getattr(self._store, name)
        return found if name in _OF_NO_SITE else self._checked(found)

    def _checked(self, way: Callable[..., Any]) -> Callable[..., Any]:
        def checked(link: str, *args: Any, **more: Any) -> Any:
            self._check(link)
            return way(link, *args, **more)

        return checked

    def _check(self, link: str) -> None:
        if not self._may(self._people.of(link)):
            raise BadSiteFile(reason("store.no_such_link", link=link))

    def _may(self, owned: Owned | None) -> bool:
        return self._visitor.host if owned is None else owned.shared or owned.by(self._visitor.name)


def own(store: Store, people: People, visitor: Visitor) -> Store:
    """The store for one person."""
    return cast(Store, _OwnStore(store, people, visitor))
