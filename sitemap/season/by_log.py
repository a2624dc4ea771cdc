"""Hours and quench water of a batch as the log of a kiln tells, for clock, water and calendar: never by luck.

Longer hours and more water count at once. Shorter hours and less water count from three batches on: until then one
quick burn lights no kiln later, and asks for no less water, than the plan alone.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence

from sitemap.kiln.values import KilnRun
from sitemap.ranges import Drawn
from sitemap.season.batches import burned_by
from sitemap.season.learning import belief_of, taught
from sitemap.season.pace import ENOUGH
from sitemap.site.model import Site

_DIGITS = 3  # of a factor, as the annex prints it


def by_log(site: Site, runs: Iterable[KilnRun], today: dt.date | None = None) -> tuple[tuple[str, float, float], ...]:
    """What the log tells of each kiln: id of its spot, hours and quench water of a batch, times those reckoned.

    site : with its log; runs : as reckoned without it; today : the last day the log may tell of, None: any. A kiln of
    which it tells nothing that counts is left out.
    """
    batches = [batch for batch in burned_by(site, today) if batch.spot is not None]
    found = []
    for run in runs if batches else ():
        own = [batch for batch in batches if batch.spot == run.spot]
        hours = _factor(run.hours_per_batch, [batch.hours for batch in own if batch.hours])
        water = _factor(run.quench_l_per_batch, [litres for batch in own if (litres := batch.figure("water_l"))])
        if (hours, water) != (1.0, 1.0):
            found.append((run.spot, hours, water))
    return tuple(found)


def _factor(reckoned: Drawn, seen: Sequence[float]) -> float:
    if not seen:
        return 1.0
    before = belief_of(*reckoned.triple())
    factor = round(math.exp(taught(before, seen).mean - before.mean), _DIGITS)
    return factor if factor > 1 or len(seen) >= ENOUGH else 1.0
