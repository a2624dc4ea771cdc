"""What is on the map or in the file and cannot be read: nobody knows what it would have said, so nothing passes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from sitemap.notes import Note
from sitemap.reasons import KilnName, reason
from sitemap.safety.permission import Check, checked
from sitemap.site.model import Site

#  Gaps of `site.check` that hide what was meant; those that only leave something blank are judged where it is needed.
UNSOUND = frozenset(
    (
        *("unknown_kind", "bad_value", "bad_shape", "wrong_shape", "bad_range", "dangling", "far_away", "near_miss"),
        *("twice", "rising_curve", "loose_lay", "working_hours", "row_of_no_kind", "closed_no_days"),
    )
)


_HEAPS = ("pile", "windrow", "transect", "logged_area")


def spots_checks(site: Site) -> tuple[Check, ...]:
    """What of the kiln spots nobody could tell on the day: two of one name, or one that burns what is no heap."""
    return (*_names(site), *_served(site))


def _names(site: Site) -> tuple[Check, ...]:
    """One check for each name two kiln spots bear: on paper nobody could tell which of them may be lit."""
    names = Counter(spot.name.strip().casefold() for spot in site.of_kind("kiln_spot"))
    twice = {spot.name.strip().casefold(): spot for spot in site.of_kind("kiln_spot")}
    action = reason("action.name_apart")
    return tuple(
        checked("file", "not known", twice[name].id, reason("day.named_alike", name=KilnName(twice[name].name)), action)
        for name, count in names.items()
        if count > 1
    )


def _served(site: Site) -> tuple[Check, ...]:
    """One check for each kiln spot that is said to burn what is no heap: what it burns then, nobody knows."""
    found = []
    for spot in site.of_kind("kiln_spot"):
        wrong = [other for each in spot.names("serves") if (other := site.find(each)) and other.kind not in _HEAPS]
        if wrong:
            why = reason("day.serves_no_heap", kiln=KilnName(spot.name), what=wrong[0].name)
            found.append(checked("file", "not known", spot.id, why, reason("action.enter_again")))
    return tuple(found)


def unsound_checks(notes: Iterable[Note]) -> tuple[Check, ...]:
    """One check for each thing that cannot be read.

    notes : of `site.check`, of hose lays that join nothing, and of the burns
    """
    action = reason("action.enter_again")
    return tuple(checked("file", "not known", note.about, note.text, action) for note in notes if note.what in UNSOUND)
