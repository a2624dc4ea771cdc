"""What the batches of one kiln show: hours, char, water, weights, trips; in the units the kiln room reckons with."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable

from sitemap.reasons import KilnName, Quantity, Reason, Term, reason
from sitemap.season.batches import Batch
from sitemap.season.learning import Belief
from sitemap.site.log_values import CAUSES, PLACES

WEIGHING = 0.10  # of the logarithm: a bucket or a load weighed on a site; common practice, no source


MOST_YIELD = 0.5  # [kg/kg] no kiln without a lid gives more: judgement, well above 22 ± 5 % (Cornelissen 2016, P)
MOST_FILLS = 2.0  # times the char of a full batch at its high end; more is a slip of the pen: judgement


def char_m3(batch: Batch, bucket_l: float) -> float | None:
    """Char of a batch by its buckets [m³]; None where nobody counted. bucket_l : of one bucket [L]"""
    buckets = batch.figure("buckets")
    return buckets * bucket_l / 1000 if buckets else None


def density_kg_m3(batch: Batch, bucket_l: float) -> float | None:
    """Loose dry char by a bucket that was weighed [kg/m³], or None. bucket_l : of one bucket [L]"""
    weight = batch.figure("bucket_kg")
    return None if weight is None else weight / bucket_l * 1000


def yields(batches: Iterable[Batch], bucket_l: float, density: Belief) -> tuple[tuple[float, float], ...]:
    """Yield of each batch whose wood was weighed: (char over dry wood [kg/kg], spread of its logarithm).

    bucket_l : of one bucket [L]; density : of loose char as believed now, where no bucket of the batch was weighed
    """
    found = []
    for batch in batches:
        fed, moisture, volume = batch.figure("fed_kg"), batch.figure("moisture_pct"), char_m3(batch, bucket_l)
        if fed is None or moisture is None or volume is None:
            continue
        own = density_kg_m3(batch, bucket_l)
        spread = math.hypot(WEIGHING, WEIGHING if own is not None else density.spread)
        share = volume * (own or math.exp(density.mean)) / _dry_kg(fed, batch)
        if share <= MOST_YIELD:
            found.append((share, spread))
    return tuple(found)


def _dry_kg(fed_kg: float, batch: Batch) -> float:
    """Dry wood of what was weighed in, as dry where its moisture is not said [kg]."""
    return fed_kg / (1 + (batch.figure("moisture_pct") or 0.0) / 100)


def counted(batch: Batch, bucket_l: float, most_m3: float) -> tuple[float | None, tuple[Reason, ...]]:
    """Char of a batch [m³] as it can be, and a sentence where more was counted than any batch gives, or than the wood
    that was weighed in. bucket_l : of one bucket [L]; most_m3 : of a full batch, at its high end"""
    char, fed, kiln = char_m3(batch, bucket_l), batch.figure("fed_kg"), KilnName(batch.name)
    if char is None:
        return None, ()
    said = []
    if char > MOST_FILLS * most_m3:
        counted_m3, full = Quantity(char, "m3", 2), Quantity(most_m3, "m3", 2)
        said.append(reason("season.log_char", name=kiln, on=batch.on, counted=counted_m3, full=full))
        char = MOST_FILLS * most_m3
    weight = density_kg_m3(batch, bucket_l)
    if fed is not None and weight is not None and char * weight > MOST_YIELD * _dry_kg(fed, batch):
        came, went = Quantity(char * weight, "kg", 2), Quantity(fed, "kg", 2)
        said.append(reason("season.log_yield", name=kiln, on=batch.on, char=came, fed=went))
    return char, tuple(said)


def uncharred(batches: Iterable[Batch], name: str) -> tuple[Reason, ...]:
    """How many pieces came out uncharred, why and where most of them lay, and what to change.

    name : of the kiln. What to change is common practice, no source.
    """
    causes: Counter[str] = Counter()
    places: Counter[str] = Counter()
    total = 0
    for batch in batches:
        count = round(batch.figure("uncharred") or 0)
        total += count
        cause, place = batch.word("cause"), batch.word("uncharred_where")
        if cause is not None:
            causes[cause] += count
        if place is not None:
            places[place] += count
    if not total:
        return ()
    kiln, found = KilnName(name), []
    if causes:
        cause, most = causes.most_common(1)[0]
        found.append(
            reason(
                "after.uncharred", name=kiln, count=total, most=most, cause=Term(dict(CAUSES)[cause]), do=_MEND[cause]
            )
        )
    if places:
        place, most = places.most_common(1)[0]
        lay = Term(dict(PLACES)[place])
        found.append(reason("after.uncharred_lay", name=kiln, count=total, most=most, place=lay, do=_PLACE[place]))
    return tuple(found) or (reason("after.uncharred_why", name=kiln, count=total),)


_MEND = {
    "late": reason("after.feed_thick_earlier"),
    "thick": reason("after.sort_thick_out"),
    "wet": reason("after.dry_longer"),
    "smothered": reason("after.shake_earth_off"),
}
_PLACE = {
    "top": reason("after.burn_down_longer"),
    "middle": reason("after.thinner_layers"),
    "rim": reason("after.rim_inwards"),
    "bottom": reason("after.glow_first"),
}
