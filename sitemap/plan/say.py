"""How the plan says names, moments, verdicts and quantities, in one place."""

from __future__ import annotations

import datetime as dt
import math

from sitemap.assessment import Assessment, SpotReport
from sitemap.maps.draw import kiln_signs
from sitemap.maps.symbols import VERDICTS
from sitemap.plan.phrases import Words
from sitemap.reasons import Quantity, Reason, together
from sitemap.safety.effects import RULED_OUT, effect_of
from sitemap.safety.setbacks import Setback
from sitemap.safety.weather import TWENTY_FEET_M, wind_at_height_m_s
from sitemap.site.kinds import KINDS
from sitemap.site.model import Entry
from sitemap.telling import day_text, word
from sitemap.units import Toward, rounded, text, to_display, unit_label
from sitemap.wording import NOT_KNOWN

LETTERS = 44  # of a name on a card
_FOOT = 70  # letters of the site's name at the foot: one line


def day(date: dt.date | None) -> str:
    """A date that cannot be read two ways.

    >>> day(dt.date(2026, 12, 5))
    'Sat 5 Dec 2026'
    """
    return NOT_KNOWN if date is None else day_text(date)


def moment(when: dt.datetime | None, on: dt.date | None) -> str:
    """Hour and minute; the day too where it is another one."""
    if when is None:
        return NOT_KNOWN
    hours = f"{when:%H:%M}"
    return hours if when.date() == on else f"{hours}, {day(when.date()).rsplit(' ', 1)[0]}"


def brief(finding: Reason) -> Reason:
    """A finding about water without the way it was reckoned along, which the annex says once.

    >>> from sitemap.reasons import reason
    >>> brief(together(reason("water.no_source"), reason("water.by_way", way=reason("water.found_level")))).code
    'water.no_source'
    """
    if finding.code != "plain.together":
        return finding
    parts = finding.fact("parts")
    kept = (
        [part for part in parts if isinstance(part, Reason) and part.code != "water.by_way"]
        if isinstance(parts, tuple)
        else []
    )
    return together(*kept) if kept else finding


def ways_of(finding: Reason) -> tuple[Reason, ...]:
    """Along which ways a finding about water was reckoned: what `brief` leaves out."""
    parts = finding.fact("parts") if finding.code == "plain.together" else ()
    return (
        tuple(part for part in parts if isinstance(part, Reason) and part.code == "water.by_way")
        if isinstance(parts, tuple)
        else ()
    )


def kiln_mark(a: Assessment, spot: str) -> str:
    """What stands in the sign of a kiln on every map: a short name itself, else its number.

    >>> from sitemap.assessment import assess
    >>> from sitemap.site.model import Feature, Site
    >>> named = {"a": "K1", "b": "By the oak"}
    >>> spots = [Feature.of(id, None, {"kind": "kiln_spot", "name": name}) for id, name in named.items()]
    >>> a = assess(Site(tuple(spots)), on=None)
    >>> kiln_mark(a, "a"), kiln_mark(a, "b")
    ('K1', '#2')
    """
    return kiln_signs({feature.id: feature.name for feature in a.source.of_kind("kiln_spot")}).get(spot, "")


def short_kiln(a: Assessment, spot: str, letters: int) -> str:
    """The name of a kiln in so many letters, behind its mark on the map where that is not the name."""
    name, mark = name_of(a, spot), kiln_mark(a, spot)
    return name if name == mark else f"{mark} {shortened(name, letters)}"


def shortened(words: str, most: int) -> str:
    """Typed words on a side that has no room for all of them; what is left out stands in the annex.

    >>> shortened("From the county road through the gate", 20), shortened("K1", 20)
    ('From the county…', 'K1')
    """
    words = " ".join(words.split())
    if len(words) <= most:
        return words
    cut = words[:most]
    whole = cut.rsplit(" ", 1)[0] if " " in cut[most // 2 :] else cut
    return whole.rstrip(" ,;.") + "…"


def signed(verdict: str, effect: str | None = None) -> str:
    """A verdict behind its sign, so that it reads without colour."""
    if effect is None:
        effect = RULED_OUT if verdict == "short" else effect_of(verdict)
    return f"{sign_of(effect)} {word(verdict)}"


def sign_of(effect: str) -> str:
    """The sign of an effect."""
    return VERDICTS[effect].sign


def name_of(a: Assessment, about: str | None) -> str:
    """Name of a feature, or of a kind that was looked for, or what was given."""
    feature = a.source.get(about or "")
    if feature is not None:
        return feature.name
    return KINDS[about or ""].label if about in KINDS else (about or "")


def entered(entry: Entry, name: str, otherwise: str = NOT_KNOWN) -> str:
    """Text somebody entered, or what to say instead."""
    return (entry.text(name) or "").strip() or otherwise


def between(low: float | None, high: float | None, unit: str, units: str) -> str:
    """A span with its unit once.

    >>> between(1.34112, 5.36448, "m_s", "us"), between(None, 23.9, "c", "metric")
    ('3–12 mph', 'to 23.9 °C')
    """
    label = unit_label(unit, units)
    gap = "" if label == "%" else " "
    shown = [rounded(to_display(end, unit, units), 3) for end in (low, high) if end is not None]
    return f"{'' if low is not None else 'to '}{'–'.join(shown)}{gap}{label}"


def winds(low: float | None, high: float, height_m: float, units: str) -> str:
    """Limits of the wind at 20 ft carried to another height over open ground, rounded to what one can read off."""
    unit = "m_s"
    ends = [None if end is None else float(wind_at_height_m_s(end, TWENTY_FEET_M, height_m)) for end in (low, high)]
    shown = [None if end is None else to_display(end, unit, units) for end in ends]
    words = "–".join(f"{end:.{0 if units == 'us' else 1}f}" for end in shown if end is not None)
    return f"{'' if low is not None else 'to '}{words} {unit_label(unit, units)}"


def length(metres: float | None, units: str, digits: int = 2, toward: Toward = "nearest") -> str:
    """A length as one paces it out."""
    return text(metres, "m", units, digits, toward)


def edges(a: Assessment, words: Words) -> tuple[str, str]:
    """What stands over a side beside its title, and at its foot."""
    date = words.day(a.on)
    subtitle = words("shared.subtitle", day=date) if a.on else words("shared.subtitle_undated")
    return subtitle, f"{shortened(a.site.name, _FOOT)} · {date} · {a.made_with}"


def away(setback: Setback) -> Quantity:
    """How far off a thing is: what stands nearer than its rule is told rounded down, as its finding tells it."""
    short = setback.margin_m is not None and setback.margin_m < 0
    far = math.nan if setback.distance_m is None else setback.distance_m
    return Quantity(far, "m", 3, "down" if short else "nearest")


def up(metres: float, units: str) -> str:
    """A least distance, rounded up to what one can pace out: half metres, whole feet.

    >>> up(3.04, "metric"), up(1.5, "metric"), up(3.0, "us")
    ('3.5 m', '1.5 m', '10 ft')
    """
    step = 1.0 if units == "us" else 0.5
    steps = -(-round(to_display(metres, "m", units), 6) // step)
    return f"{steps * step:g} {unit_label('m', units)}"


def spots_in_use(a: Assessment) -> tuple[SpotReport, ...]:
    """Kilns that may be placed where they are: none of them is "not here"."""
    return tuple(spot for spot in a.spots if (each := a.decision(spot.id)) is not None and each.effect != RULED_OUT)


def spots_to_light(a: Assessment) -> tuple[SpotReport, ...]:
    """Kilns that may be lit: the only ones with times, cold checks and a signature."""
    return tuple(spot for spot in a.spots if (each := a.decision(spot.id)) is not None and each.may_be_lit)


def decided(a: Assessment, spot: str) -> str:
    """The decision on a kiln behind its sign."""
    decision = a.decision(spot)
    return NOT_KNOWN if decision is None else signed(decision.word, decision.effect)
