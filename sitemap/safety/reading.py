"""Features, records and equipment of a site read as what the safety room computes with; nothing below parses a text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from shapely.geometry.base import BaseGeometry

from sitemap.errors import BadShape
from sitemap.geodesy.plane import Plane
from sitemap.reasons import Term, reason
from sitemap.safety.records import Asked, Looked, Machine, Pad, Thing
from sitemap.safety.rules import NO_SOURCE, Rule, default_rules
from sitemap.site.kinds import KINDS
from sitemap.site.looked_round import looked_around
from sitemap.site.model import Entry, Feature, Item
from sitemap.site.on_plane import near_shape

LINES = ("road", "railway", "power_line", "buried_line", "stream")  # drawn along their middle
LABELS: Mapping[str, Term] = MappingProxyType({key: Term(kind.label) for key, kind in KINDS.items()})


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
    return (*kept, *(_rule(number, entry) for number, entry in own))


def read_asked(entry: Entry) -> Asked:
    """Somebody who was asked; a tick that nobody signed and dated does not count."""
    met, by, on = entry.flag("conditions_met") is True, entry.text("met_by"), entry.date("met_on")
    return Asked(
        whom=entry.choice("whom"),
        name=entry.text("name"),
        date=entry.date("date"),
        answer=entry.choice("answer"),
        said=entry.text("said"),
        about=entry.text("about"),
        conditions_met=met,
        met_by=by,
        met_on=on,
        tick_doubt=reason("seen.unsigned") if met and (not by or on is None) else None,
        distance_m=entry.number("distance_m"),
        none_needed=entry.flag("none_needed") is True,
    )


def read_looked(entry: Entry) -> Looked:
    """What somebody looked for."""
    return Looked(
        entry.text("kind"), entry.number("within_m"), entry.text("who"), entry.date("when"), looked_around(entry)
    )


def read_machine(item: Entry) -> Machine:
    """A machine on site; `item` is one of the equipment."""
    assert isinstance(item, Item)
    return Machine(item.id, item.name, item.number("reach_m"))


def read_pad(feature: Feature) -> Pad:
    """The ground at a kiln spot."""
    return Pad(
        feature.id,
        feature.name,
        ground=feature.choice("ground"),
        branches=feature.choice("branches_overhead"),
        branch_height_m=feature.number("branch_height_m"),
        slope_pct=feature.number("slope_pct"),
        fuel_upslope=feature.choice("fuel_upslope"),
        pad_cut=feature.flag("pad_cut") is True,
    )


def read_thing(feature: Feature) -> Thing:
    """A feature as far as distances ask."""
    kind = feature.kind
    heap, tree = kind in ("pile", "windrow"), kind in ("standing_timber", "hazard_tree")
    water, line = kind == "water_source", kind == "power_line"
    return Thing(
        feature.id,
        feature.name,
        kind,
        LABELS.get(kind, Term(kind)),
        use=feature.choice("use") if kind == "structure" else None,
        public=feature.flag("public") if kind == "road" else None,
        overhead=feature.flag("overhead") if line else None,
        source=feature.choice("source") if water else None,
        position_error_m=feature.number("position_error_m"),
        under_trees=feature.flag("under_trees") if kind == "kiln_spot" else None,
        status=feature.choice("status") if heap else None,
        staged=feature.flag("staged_feed") if kind == "pile" else None,
        packing=feature.choice("packing") if heap else None,
        length_m=feature.number("length_m") if heap else None,
        width_m=feature.number("width_m") if heap or kind in LINES else None,
        height_m=feature.number("height_m") if heap or tree else None,
        area_m2=feature.number("area_m2") if water else None,
        voltage_kv=feature.number("voltage_kv") if line else None,
    )


def shape_on(feature: Feature, plane: Plane) -> BaseGeometry | None:
    """The drawn shape on the plane [m], or None where it is absent, crossed, or nowhere on the plane."""
    near = near_shape(feature, plane)  # asked for of every feature before: carried over once
    if near is not None:
        return near if near.is_valid and not near.is_empty else None
    if feature.shape is None:
        return None
    try:
        shape = plane.forward(feature.shape)
    except BadShape:
        return None
    return shape if shape.is_valid and not shape.is_empty else None


def _rule(number: int, entry: Entry) -> Rule:
    return Rule(
        id=entry.text("id") or f"row {number}",
        kind=str(entry.text("kind")),
        use=entry.text("use") or "",
        distance_m=entry.number("distance_m"),
        condition=entry.text("condition") or "",
        source=entry.text("source") or NO_SOURCE,
        evidence=entry.text("evidence") or "",
        entered=True,
    )
