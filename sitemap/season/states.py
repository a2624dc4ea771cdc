"""How it stands with each heap and kiln: planned, built, drying, burned, cold. The log wins over what was typed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sitemap.season.cold_of_site import Burned
from sitemap.site.model import Site

_KINDS = ("pile", "windrow", "kiln_spot")


def states_of(site: Site, burned: Iterable[Burned]) -> Mapping[str, str]:
    """Id of each heap and kiln spot of which it is known → "planned", "built", "drying", "burned" or "cold".

    site : with heaps burned as its log says; burned : `burned_of` it
    """
    typed = {each.id: each.choice("status") for each in site.of_kind(*_KINDS)}
    states = {key: state for key, state in typed.items() if state is not None}
    for each in sorted(burned, key=lambda each: not each.proved):  # what is not cold at one of its places is not cold
        if each.spot is not None:
            states[each.spot] = "cold" if each.proved else "burned"
    return states
