"""Longitude and latitude in one cell, longitude first."""

from __future__ import annotations

import re

_NUMBER = r"([-+−]?\d{1,3}(?:[.,]\d+)?(?:[eE][-+]\d\d?)?)°?"
_POINTED = _NUMBER.replace("[.,]", "[.]")
#  What may part two numbers; where it is a comma alone, none of their decimals is.
_PAIRS = (
    *(re.compile(f"{_NUMBER}{mark}{_NUMBER}") for mark in (r"\s*;\s*", r"\s*,\s+", r"\s+", r"\s*/\s*")),
    re.compile(f"{_POINTED},{_POINTED}"),
)


def latitude_first(text: str) -> str:
    """A cell with the longitude first as a place is written.

    What has letters says itself which is which, and stays as it stands; anything else is marked, so that nobody reads
    it the other way round.

    >>> latitude_first("13.3, 52.1"), latitude_first("13,3 52,1"), latitude_first("122°18'W 45°06'N")
    ('N 52.1 E 13.3', 'N 52.1 E 13.3', "122°18'W 45°06'N")
    """
    tidy = text.strip(" ()[]")
    found = next((each for pair in _PAIRS if (each := pair.fullmatch(tidy))), None)
    if found is not None:
        lon, lat = (half.replace(",", ".").replace("−", "-") for half in found.groups())
        return f"N {lat} E {lon}"
    return text if re.search("[NSEW]", text.upper()) else f"{text} (longitude?)"
