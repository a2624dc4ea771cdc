"""The people at a site's kilns at the busiest minute, as checks of each kiln."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sitemap import tables
from sitemap.day.crew import Batch, Jobs, busiest, flood_check, hands_check, method_check, raking_check
from sitemap.kiln.days import turn_key
from sitemap.kiln.values import Burns, CrewFacts, KilnRun
from sitemap.reasons import KilnName
from sitemap.safety.permission import Check


def crew_checks(
    burns: Burns, names: Mapping[str, str], crew: CrewFacts, by_hand: bool, barred: frozenset[str] = frozenset()
) -> dict[str, tuple[Check, ...]]:
    """Checks of the people every kiln takes, by the id of its spot.

    burns : of the site; names : of the spots; crew : who works; by_hand : whether water is carried
    barred : ids of spots where no kiln may burn: they take nobody from the others
    """
    runs = burns.kilns
    day = _batches(run for run in runs if run.spot not in barred)
    hands = hands_check(crew.adults, busiest(day, _jobs(crew.carriers or 0 if by_hand else 0)))
    limit = tables.value("quench", "no_steam_within")
    checks: dict[str, tuple[Check, ...]] = {}
    for run in runs:
        kiln = KilnName(names[run.spot])
        checks[run.spot] = (
            hands,
            method_check(run.spot, kiln, run.method_known, run.holds_known),
            raking_check(run.spot, kiln, run.rake_min.likely, limit, crew.rakers),
        )
    for note in burns.unknowns:
        if note.what == "cannot_flood":
            checks[note.about] = (flood_check(note.about, KilnName(names[note.about])),)
    return checks


def people_needed(runs: Iterable[KilnRun], carriers: int) -> int:
    """How many people some kilns take at the busiest minute of the day their clocks tell of; 0 without a clock.

    carriers : who carry water, 0 where it comes by hose
    """
    needed = busiest(_batches(runs), _jobs(carriers))
    return 0 if needed is None else needed[1].people


def _batches(runs: Iterable[KilnRun]) -> list[Batch]:
    """What burns on the day. A kiln moved between spots burns once, at the one that takes most people."""
    by_turn: dict[str, list[KilnRun]] = {}
    for run in runs:
        by_turn.setdefault(turn_key(run) if run.never_twice else run.spot, []).append(run)
    return [
        Batch(
            lit_h=clock.light_by.timestamp() / 3600,
            water_h=clock.water_on.timestamp() / 3600,
            out_h=clock.no_steam_by.timestamp() / 3600,
            feeders=max(run.feeders for run in at),
            quenching=max(_quenching(run) for run in at),
        )
        for at in by_turn.values()
        for clock in at[0].clocks
    ]


def _quenching(run: KilnRun) -> int:
    return int(
        tables.value("quench", "people_raking") if run.method == "raked_and_sprayed" else tables.value("crew", "nozzle")
    )


def _jobs(carriers: int) -> Jobs:
    lookout, patrol, pump = (int(tables.value("crew", key)) for key in ("lookout", "patrol", "pump"))
    return Jobs(lookout, patrol, pump, carriers)
