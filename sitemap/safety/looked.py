"""Kinds with a rule but nothing on the map: an empty map proves nothing until somebody has looked."""

from __future__ import annotations

from collections.abc import Iterable

from sitemap.safety.permission import Check, checked
from sitemap.safety.power_line import required_m
from sitemap.safety.rules import Rule, default_rules, rules_for
from sitemap.safety.things import Thing
from sitemap.site.kinds import KINDS
from sitemap.site.model import Entry
from sitemap.units import text

OWN = ("own", "private", "buried")  # having drawn these shows nothing about what others have there


def looked_checks(
    rules: tuple[Rule, ...],
    things: Iterable[Thing],
    looked: Iterable[Entry],
    machine_reach_m: float | None = None,
    system: str = "metric",
) -> tuple[Check, ...]:
    """One check per kind that must be looked for and of which nothing is on the map.

    Parameters
    ----------
    rules : of the site
    things : what is on the map
    looked : `site.records("looked")`: kind, none within [m], who, when
    machine_reach_m : longest reach of a machine on site [m]: it may need more room from a power line than the rule
    system : units of the sentences

    Returns
    -------
    checks "looked": far enough where somebody looked as far as the rule and says who and when, else not known. An own
    house on the map does not show that the neighbours have none.
    """
    present, entries, found = tuple(things), tuple(looked), []
    for default in default_rules():
        if default.look_m is None or any(_shows(thing, default) for thing in present):
            continue
        entered = [rule.distance_m for rule in rules_for(rules, default.kind, default.use) if rule.distance_m]
        needed_m = max(entered, default=default.look_m)
        if default.kind == "power_line":
            needed_m = required_m(max(needed_m, default.look_m), None, machine_reach_m)
        found.append(_check(default.kind, needed_m, entries, system))
    return tuple(found)


def _shows(thing: Thing, rule: Rule) -> bool:
    return thing.kind == rule.kind and rule.use in ("", thing.use) and thing.use not in OWN


def _check(kind: str, needed_m: float, looked: tuple[Entry, ...], system: str) -> Check:
    label, need = KINDS[kind].label, text(needed_m, "m", system)
    reason = f"{label}: none on the map, and nobody has entered that they looked {need} round."
    for entry in looked:
        if entry.text("kind") != kind:
            continue
        within_m, who, when = entry.number("within_m"), entry.text("who"), entry.date("when")
        if within_m is None or not who or when is None:
            reason = f"{label}: looked, but how far, who or when is missing."
            continue
        shown = f"{text(within_m, 'm', system)} ({who}, {when.isoformat()})"
        if within_m >= needed_m:
            return checked("looked", "far enough", kind, f"{label}: looked, none within {shown}.")
        reason = f"{label}: looked, none within {shown}, but {need} is needed."
    return checked("looked", "not known", kind, reason)
