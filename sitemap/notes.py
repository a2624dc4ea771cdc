"""What was assumed and what is not known, said beside the figures that rest on it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, order=True)
class Note:
    """One thing assumed, missing or unsound.

    about : id of the feature or piece of equipment, or "site"
    what : stable snake_case word that tests and scripts may read
    text : one sentence for a person
    """

    about: str
    what: str
    text: str
