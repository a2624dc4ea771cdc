"""Every check of one kiln spot: its place, the ground around, its water; a doubted fact counts as not known."""

from __future__ import annotations

from sitemap.day.facts import doubted
from sitemap.reasons import KilnName, reason
from sitemap.safety.of_site import SpotSafety
from sitemap.safety.permission import Check, checked
from sitemap.site.model import Feature
from sitemap.site.seen import Doubt
from sitemap.water.values import SpotWater


def checks_of_spot(
    spot: Feature, safety: SpotSafety | None, water: SpotWater | None, doubt: tuple[Doubt, ...]
) -> tuple[Check, ...]:
    """All checks of one spot together; of the water only the best of each line counts.

    safety, water : of the spot, None where it has no place; doubt : facts that do not stand for the day
    """
    checks = (
        list(safety.checks)
        if safety
        else [checked("place", "not known", spot.id, reason("safety.not_placed", kiln=KilnName(spot.name)))]
    )
    for line in (water.quench, water.attack) if water else ():
        checks.append(
            Check(f"water_{line.line}", line.verdict, line.effect, line.source or spot.id, line.reason, line.action)
        )
    if water is None:
        checks.append(checked("water_quench", "not known", spot.id, reason("water.not_worked_out")))
    return tuple(doubted(checks, spot.id, doubt))
