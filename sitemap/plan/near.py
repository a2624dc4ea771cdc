"""Where a thing lies from a kiln, and names short enough for a card."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.geodesy.measure import azimuth_deg, compass_word, distance_m
from sitemap.plan.phrases import Words
from sitemap.plan.say import up
from sitemap.reasons import Quantity, Term, Toward, metres
from sitemap.site.model import Feature
from sitemap.site.on_plane import middle_of, near_shape
from sitemap.telling import word
from sitemap.units import to_display, unit_label

_SHORT = 44  # letters of a name on a card that has no room for more


def way_to(a: Assessment, words: Words, start: Feature, end: Feature) -> str:
    """How far a thing lies from another and in which direction ("120 m NW"); of a line the end that is farther off.

    Empty where either has no place.
    """
    if a.plane is None:
        return ""
    here, shape = middle_of(start, a.plane), near_shape(end, a.plane)
    there = middle_of(end, a.plane)
    if here is None or shape is None or there is None:
        return ""
    if shape.geom_type == "LineString":
        there = max(shape.boundary.geoms, key=here.distance, default=there)
    bearing = azimuth_deg(a.plane, here, there)
    way = "" if bearing is None else Term(compass_word(bearing))
    return words("shared.toward", away=metres(float(distance_m(here, there)), 2), way=way).strip()


def short(name: str, most: int = _SHORT) -> str:
    """A name, cut where it is longer than a card has room for.

    >>> short("Landing"), short("A landing with a very long name", 12)
    ('Landing', 'A landing w…')
    """
    return name if len(name) <= most else name[: most - 1].rstrip() + "…"


def at_least(metres_: float, words: Words) -> str:
    """A least distance, rounded up to what one can pace out."""
    label = unit_label("m", words.units)
    return up(metres_, words.units).replace(label, word(label, words.language))


def whole(value: float, unit: str, words: Words, toward: Toward) -> Quantity:
    """A limit as whole numbers, as one reads it off an instrument.

    value : in `unit`, a key of units.UNITS; toward : the careful side
    """
    shown = abs(to_display(value, unit, words.units))
    return Quantity(value, unit, max(1, len(f"{shown:.0f}")), toward)
