"""An assessment as JSON: stable keys that carry their unit, for scripts and other people's tools.

SI whatever the page shows; null is not known, never a guess; numbers to six significant digits; a range is
[low, likely, high]. `what` in assumed and unknowns is a stable word, `text` a sentence.
"""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, ValidationInfo

from sitemap.assessment import Assessment, every_setback
from sitemap.ranges import Drawn
from sitemap.reasons import Reason
from sitemap.telling import sentence
from sitemap.units import reported


def _six(value: Any) -> Any:
    value = value.likely if isinstance(value, Drawn) else value
    return reported(value) if isinstance(value, float) else value


def _range(value: Any) -> Any:
    return tuple(_six(end) for end in value.triple()) if isinstance(value, Drawn) else value


def _counts(value: Any) -> Any:
    return tuple(round(end) for end in value.triple()) if isinstance(value, Drawn) else value


def _time(value: Any) -> Any:
    """A moment or day as ISO 8601; of a cold check the moment it is due."""
    value = getattr(value, "when", value)
    if isinstance(value, dt.datetime):
        return value.isoformat(timespec="minutes")
    return value.isoformat() if isinstance(value, dt.date) else value


def _sentence(value: Any, info: ValidationInfo) -> Any:
    """A finding as the sentence the site's people read."""
    return sentence(value, (info.context or {})["units"]) if isinstance(value, Reason) else value


_SUMS = ("dry_t", "green_t", "dry_t_per_ha", "char_stock_dry_t", "oversize_dry_t", "fines_dry_t")
Number = Annotated[float, BeforeValidator(_six)]
Range = Annotated[tuple[float, float, float], BeforeValidator(_range)]
Counts = Annotated[tuple[int, int, int], BeforeValidator(_counts)]
Moment = Annotated[str, BeforeValidator(_time)]
Sentence = Annotated[str, BeforeValidator(_sentence)]


class _Part(BaseModel):
    model_config = ConfigDict(from_attributes=True, extra="forbid", allow_inf_nan=False, frozen=True)


class SiteFacts(_Part):
    """The site as a whole."""

    name: str
    logged_area_ha: Number | None


class SlashItem(_Part):
    """One heap, windrow, or the scattered slash."""

    id: str
    name: str
    kind: str
    gross_m3: Range | None
    dry_t: Range | None
    char_stock_dry_t: Range | None
    basis: str


class Slash(_Part):
    """How much there is."""

    dry_t: Range | None
    green_t: Range | None
    dry_t_per_ha: Range | None
    char_stock_dry_t: Range | None
    oversize_dry_t: Range | None
    fines_dry_t: Range | None
    items: tuple[SlashItem, ...]


class Burn(_Part):
    """Burning, the whole site."""

    batches: Counts | None
    days: Counts | None
    char_m3: Range | None
    char_t: Range | None
    buckets: Counts | None
    bags: Counts | None
    quench_l: Range | None
    reserve_l: Number | None


class Clock(_Part):
    """The clock of one batch."""

    light_by: Moment | None
    last_thick: Moment | None
    stop_feeding: Moment | None
    water_on: Moment | None
    checks: tuple[Moment, ...]


class Kiln(_Part):
    """One kiln at one spot."""

    id: str
    name: str
    spot: str
    batches: Counts | None
    hours_per_batch: Range | None
    feed_dry_t_per_batch: Range | None
    feed_dry_t_per_h: Range | None
    char_m3_per_batch: Range | None
    quench_l_per_batch: Range | None
    clock: Clock | None


class Check(_Part):
    """One check of a kiln spot."""

    check: str
    verdict: str
    effect: str
    about: str | None
    reason: Sentence


class Setback(_Part):
    """One distance from a kiln spot."""

    feature: str | None
    kind: str
    distance_m: Number | None
    error_m: Number | None
    required_m: Number | None
    margin_m: Number | None
    verdict: str
    source: str


class WaterLine(_Part):
    """One way of bringing water from one source."""

    source: str | None
    way: str | None
    line: str
    verdict: str
    flow_l_min: Range | None
    nozzle_kpa: Number | None
    route_m: Number | None
    lift_m: Number | None
    loads: int | None
    minutes_to_quench: Range | None
    reason: Sentence


class Spot(_Part):
    """One kiln spot."""

    id: str
    name: str
    verdict: str
    deciding: str | None
    checks: tuple[Check, ...]
    setbacks: tuple[Setback, ...]
    water: tuple[WaterLine, ...]


class Source(_Part):
    """One water source over all kilns alight."""

    id: str
    litres_needed: Range | None
    litres_there: Number | None
    last_finish: Moment | None
    verdict: str


class Bar(_Part):
    """One thing that keeps a kiln from being lit, and what to do about it."""

    check: str
    verdict: str
    word: str
    about: str
    reason: Sentence
    action: Sentence


class Decision(_Part):
    """Whether the kiln at a spot may be lit: "may be lit", "not yet" or "not here"."""

    spot: str
    name: str
    word: str
    because: tuple[Bar, ...]


class Said(_Part):
    """Something assumed or not known."""

    about: str
    what: str
    text: Sentence


class Report(_Part):
    """The whole assessment."""

    format: int
    made_with: str
    on: Moment | None
    site: SiteFacts
    slash: Slash | None
    burn: Burn | None
    kilns: tuple[Kiln, ...]
    spots: tuple[Spot, ...]
    sources: tuple[Source, ...]
    decisions: tuple[Decision, ...]
    assumed: tuple[Said, ...]
    unknowns: tuple[Said, ...]


def report_of(assessment: Assessment) -> dict[str, Any]:
    """The assessment as plain JSON values."""
    setbacks = every_setback(assessment)
    spots = tuple(replace(spot, setbacks=setbacks.get(spot.id, ())) for spot in assessment.spots)
    report = Report.model_validate(
        replace(assessment, spots=spots), context={"units": assessment.source.units}
    ).model_dump(mode="json")
    if not assessment.slash.counted:  # a sum over nothing known is not zero
        report["slash"].update(dict.fromkeys(_SUMS))
    return report


def report_text(assessment: Assessment) -> str:
    """The assessment as JSON text; the same site and date give the same bytes."""
    return json.dumps(report_of(assessment), ensure_ascii=False, indent=1, allow_nan=False) + "\n"
