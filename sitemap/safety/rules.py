"""The distances entered: one cautious default set, each kind of it replaceable by the site's own rows.

Every distance is an example until the local code has been asked.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from sitemap import tables
from sitemap.site.model import Entry
from sitemap.tables import Row
from sitemap.telling import marked

TREE_HEIGHT_M = 25.0  # [m] where no height was entered; our default (C)


@dataclass(frozen=True)
class Rule:
    """One distance to keep from one kind of feature.

    id : key of the table row, or id of the site's own row
    kind : kind of feature; use : only features put to that use (see `things.use_of`), "" for all
    distance_m : from the edge of the kiln to the edge of the feature [m]; None means "ask: no distance entered"
    tree_lengths : the distance as a multiple of the tree's height, where it depends on that
    look_m : how far somebody must have looked before "none on the map" counts [m]; None where we draw our own things,
        and for the site's own rows
    condition, source, standing : what the distance was written for, and where it comes from
    entered : whether the site's own row gave it
    """

    id: str
    kind: str
    use: str
    distance_m: float | None
    condition: str
    source: str
    standing: str
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


def rules_of(records: Iterable[Entry]) -> tuple[Rule, ...]:
    """The rules of a site: its own rows replace the default rows of the same kind, other kinds keep the default.

    Parameters
    ----------
    records : the site's own rows, `site.records("rules")`; a row without a kind is passed over (`check` says so)

    Returns
    -------
    rules in the order of the default set, the site's own kinds after it. A row without a distance says
    "no distance entered"; a use of that kind no row covers then has none either. What must be looked for stays
    (`looked.looked_checks`): replacing a distance does not make an unseen house visible.

    Examples
    --------
    >>> [rule.distance_m for rule in rules_of(()) if rule.kind == "structure"]
    [15.0, 15.0, 90.0]
    """
    own = [(number, entry) for number, entry in enumerate(records, start=1) if entry.text("kind")]
    replaced = {str(entry.text("kind")) for _, entry in own}
    kept = [rule for rule in default_rules() if rule.kind not in replaced]
    return (*kept, *(_of_entry(number, entry) for number, entry in own))


def condition_of(rule: Rule, system: str) -> str:
    """What a distance was written for: ours in the units of a system, one somebody typed as it was typed."""
    return rule.condition if rule.entered else marked(rule.condition, system, 2)


def rules_for(rules: Iterable[Rule], kind: str, use: str) -> tuple[Rule, ...]:
    """Every rule that applies to a feature of that kind and use; the most cautious of them governs."""
    return tuple(rule for rule in rules if rule.kind == kind and rule.use in ("", use))


def _of_row(row: Row) -> Rule:
    return Rule(
        id=row.key,
        kind=str(row["kind"]),
        use=str(row.get("use", "")),
        distance_m=row.get("distance_m"),
        condition=str(row["condition"]),
        source=row.source,
        standing=row.standing,
        tree_lengths=row.get("tree_lengths"),
        look_m=row.get("look_m"),
    )


def _of_entry(number: int, entry: Entry) -> Rule:
    return Rule(
        id=entry.text("id") or f"row {number}",
        kind=str(entry.text("kind")),
        use=entry.text("use") or "",
        distance_m=entry.number("distance_m"),
        condition=entry.text("condition") or "",
        source=entry.text("source") or "no source entered",
        standing=entry.text("standing") or "",
        entered=True,
    )
