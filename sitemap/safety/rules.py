"""The distances entered, and which of them governs: one cautious default set, replaceable kind by kind.

Every distance is an example until the local code has been asked.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from sitemap import tables
from sitemap.safety import power_line
from sitemap.tables import Row
from sitemap.telling import marked

TREE_HEIGHT_M = 25.0  # [m] where no height was entered; our default (C)


NO_SOURCE = "no source entered"


@dataclass(frozen=True)
class Rule:
    """One distance to keep from one kind of feature.

    id : key of the table row, or id of the site's own row
    kind : kind of feature; use : only features put to that use (see `targets.use_of`), "" for all
    distance_m : from the edge of the kiln to the edge of the feature [m]; None means "ask: no distance entered"
    tree_lengths : the distance as a multiple of the tree's height, where it depends on that
    look_m : how far somebody must have looked before "none on the map" counts [m]; None where we draw our own things,
        and for the site's own rows
    condition, source, evidence : what the distance was written for, and where it comes from
    entered : whether the site's own row gave it
    """

    id: str
    kind: str
    use: str
    distance_m: float | None
    condition: str
    source: str
    evidence: str
    tree_lengths: float | None = None
    look_m: float | None = None
    entered: bool = False

    def required_m(self, height_m: float | None = None) -> float | None:
        """The distance for one feature [m], None where none is entered; height_m : of a tree, 25 m where not known."""
        if self.tree_lengths is not None:
            return self.tree_lengths * (TREE_HEIGHT_M if height_m is None else height_m)
        return self.distance_m


@cache
def default_rules() -> tuple[Rule, ...]:
    """The cautious default set of table `setbacks`, in its order."""
    return tuple(_of_row(row) for row in tables.load("setbacks").values())


def condition_of(rule: Rule, system: str, language: str = "en") -> str:
    """What a distance was written for: ours in the units of a system, one somebody typed as it was typed."""
    return rule.condition if rule.entered else marked(rule.condition, system, 2, language)


def look_for() -> Mapping[str, float]:
    """Kinds of others' things that must be looked for round every kiln, each with how far at least [m]."""
    found: dict[str, float] = {}
    for rule in default_rules():
        if rule.look_m is not None:
            found[rule.kind] = max(rule.look_m, found.get(rule.kind, rule.look_m))
    return found


def rules_for(rules: Iterable[Rule], kind: str, use: str) -> tuple[Rule, ...]:
    """Every rule that applies to a feature of that kind and use; the most cautious of them governs."""
    return tuple(rule for rule in rules if rule.kind == kind and rule.use in ("", use))


def governing(
    rules: Iterable[Rule],
    kind: str,
    use: str,
    *,
    height_m: float | None = None,
    voltage_kv: float | None = None,
    machine_reach_m: float | None = None,
) -> tuple[Rule | None, float | None]:
    """The rule that governs a feature, the largest distance entered for it, and that distance [m].

    Parameters
    ----------
    rules : of the site
    kind, use : of the feature, see `targets.use_of`
    height_m : of a tree [m], 25 m where not known
    voltage_kv : of a power line [kV], the most where not known
    machine_reach_m : longest reach of a machine on site [m], None without one

    Returns
    -------
    (None, None) where no rule speaks of it; (rule, None) where none of its rules has a distance. An overhead power
    line keeps the default distance whatever was entered, and the machine's reach plus clearance where that is longer.
    """
    matching = tuple(rules_for(rules, kind, use))
    overhead = kind == "power_line" and use == "overhead"
    if overhead:
        matching = (*rules_for(default_rules(), kind, use), *matching)
    measured = [(rule.required_m(height_m), rule) for rule in matching]
    entered = [(required, rule) for required, rule in measured if required is not None]
    if not entered:
        return (matching[0] if matching else None), None
    required_m, rule = max(entered, key=lambda pair: pair[0])
    if overhead:
        required_m = power_line.required_m(required_m, voltage_kv, machine_reach_m)
    return rule, required_m


def _of_row(row: Row) -> Rule:
    return Rule(
        id=row.key,
        kind=str(row["kind"]),
        use=str(row.get("use", "")),
        distance_m=row.get("distance_m"),
        condition=str(row["condition"]),
        source=row.source,
        evidence=row.evidence,
        tree_lengths=row.get("tree_lengths"),
        look_m=row.get("look_m"),
    )
