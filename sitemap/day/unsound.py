"""What is on the map or in the file and cannot be read: nobody knows what it would have said, so nothing passes."""

from __future__ import annotations

from collections.abc import Iterable

from sitemap.notes import Note
from sitemap.reasons import reason
from sitemap.safety.permission import Check, checked

#  Gaps of `site.check` that hide what was meant; those that only leave something blank are judged where it is needed.
UNSOUND = frozenset(
    (
        *("unknown_kind", "bad_value", "bad_shape", "wrong_shape", "bad_range", "dangling", "far_away", "near_miss"),
        *("twice", "rising_curve", "loose_lay", "working_hours", "row_of_no_kind"),
    )
)


def unsound_checks(notes: Iterable[Note]) -> tuple[Check, ...]:
    """One check for each thing that cannot be read.

    notes : of `site.check`, of hose lays that join nothing, and of the burns
    """
    action = reason("action.enter_again")
    return tuple(checked("file", "not known", note.about, note.text, action) for note in notes if note.what in UNSOUND)
