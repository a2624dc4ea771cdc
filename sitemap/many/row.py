"""What one site comes to, in a row that is small enough to keep a thousand of."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from sitemap.assessment import Assessment
from sitemap.day.decision import Word
from sitemap.ranges import Drawn
from sitemap.site.model import Feature
from sitemap.telling import tell

Triple = tuple[float, float, float]
GEAR = ("machines", "kilns", "pumps", "tanks")  # what stands on one site only on a day; hoses are many
_NOWHERE = (None, None)


@dataclass(frozen=True)
class KilnRow:
    """One kiln at one spot: its decision, and what to do first where it may not be lit.

    lon, lat : of the spot [°], or None where it is not placed
    """

    name: str
    word: Word
    first: str
    lon: float | None
    lat: float | None


@dataclass(frozen=True)
class SiteRow:
    """One site.

    key : how it is found again: the path of its file, or its link in the store
    units : "metric" or "us", for what a person reads
    lon, lat : the middle of its kiln spots, else of all that is placed [°]; None where nothing is
    on : burn date; burn_days : the days it burns on, as is likely
    dry_t, char_stock_dry_t : [t]; batches : count; quench_l : [L]; each low, likely, high, or None where not known
    fits : whether all is burned within the permit, by the calendar
    missing : what is not known or unsound, a sentence each
    gear : kind and name of each thing somebody brings
    leader : who leads the crew, as entered
    """

    key: str
    name: str
    units: str
    lon: float | None
    lat: float | None
    on: dt.date | None
    burn_days: tuple[dt.date, ...]
    permit_ends: dt.date | None
    fits: str
    kilns: tuple[KilnRow, ...]
    dry_t: Triple | None
    char_stock_dry_t: Triple | None
    batches: Triple | None
    quench_l: Triple | None
    missing: tuple[str, ...]
    gear: tuple[tuple[str, str], ...]
    leader: str

    @property
    def last_burn_day(self) -> dt.date | None:
        """As is likely; None where nothing is laid on dates."""
        return max(self.burn_days, default=None)

    @property
    def may_be_lit(self) -> int:
        """How many of its kilns may be lit."""
        return sum(kiln.word == "may be lit" for kiln in self.kilns)


def row_of(assessment: Assessment, key: str) -> SiteRow:
    """The row of an assessed site. key : how it is found again"""
    a, site = assessment, assessment.source
    places = {spot.id: _middle((spot,)) for spot in site.of_kind("kiln_spot")}
    kilns = []
    for decision in a.decisions:
        first = decision.first
        action = "" if first is None else tell(first.action, site.units)
        kilns.append(KilnRow(decision.name, decision.word, action, *places.get(decision.spot, _NOWHERE)))
    lon, lat = _middle(site.of_kind("kiln_spot"))
    if lon is None:
        lon, lat = _middle(site.features)
    calendar = a.calendar
    return SiteRow(
        key=key,
        name=a.site.name,
        units=site.units,
        lon=lon,
        lat=lat,
        on=a.on,
        burn_days=tuple(day.date for day in calendar.laid.burn_days) if calendar else (),
        permit_ends=site.section("permit").date("to"),
        fits=calendar.word if calendar else "not known",
        kilns=tuple(kilns),
        dry_t=_triple(a.slash.dry_t if a.slash.counted else None),
        char_stock_dry_t=_triple(a.slash.char_stock_dry_t if a.slash.counted else None),
        batches=_triple(a.burn.batches),
        quench_l=_triple(a.burn.quench_l),
        missing=tuple(dict.fromkeys(note.told(site.units) for note in a.unknowns)),
        gear=tuple((kind, item.name) for kind in GEAR for item in site.equipment(kind)),
        leader=site.section("crew").text("leader") or "",
    )


def _middle(features: Iterable[Feature]) -> tuple[float | None, float | None]:
    """The middle of the placed features, to 0.1 m [°]; about the date line as if it were not there."""
    at = [feature.shape.centroid for feature in features if feature.shape is not None]
    if not at:
        return _NOWHERE
    turned = [(point.x - at[0].x + 180) % 360 - 180 for point in at]
    lon = (at[0].x + sum(turned) / len(at) + 180) % 360 - 180
    return round(lon, 6), round(sum(point.y for point in at) / len(at), 6)


def _triple(quantity: Drawn | None) -> Triple | None:
    if quantity is None:
        return None
    low, likely, high = quantity.triple()
    return low, likely, high
