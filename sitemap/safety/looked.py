"""Kinds with a rule but nothing on the map: an empty map proves nothing until somebody has looked."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sitemap.reasons import Reason, Term, metres, reason
from sitemap.safety.permission import Check, checked
from sitemap.safety.power_line import required_m
from sitemap.safety.records import Looked
from sitemap.safety.rules import Rule, default_rules, rules_for
from sitemap.safety.targets import Target

OWN = ("own", "private", "buried")  # having drawn these shows nothing about what others have there


def looked_checks(
    rules: tuple[Rule, ...],
    things: Iterable[Target],
    looked: Iterable[Looked],
    labels: Mapping[str, Term],
    machine_reach_m: float | None = None,
) -> tuple[Check, ...]:
    """One check per kind that must be looked for and of which nothing is on the map.

    Parameters
    ----------
    rules : of the site
    things : what is on the map
    looked : what somebody looked for: kind, none within [m], who, when
    labels : what each kind is called
    machine_reach_m : longest reach of a machine on site [m]: it may need more room from a power line than the rule

    Returns
    -------
    checks "looked": far enough where somebody looked as far as the rule and says who and when, else not known. An own
    house on the map does not show that the neighbours have none.
    """
    present, entries, found = {(thing.kind, thing.use) for thing in things}, tuple(looked), []
    for default in default_rules():
        if default.look_m is None or any(_shows(*thing, default) for thing in present):
            continue
        entered = [rule.distance_m for rule in rules_for(rules, default.kind, default.use) if rule.distance_m]
        needed_m = max(entered, default=default.look_m)
        if default.kind == "power_line":
            needed_m = required_m(max(needed_m, default.look_m), None, machine_reach_m)
        found.append(_check(default.kind, labels[default.kind], needed_m, entries))
    return tuple(found)


def _shows(kind: str, use: str, rule: Rule) -> bool:
    return kind == rule.kind and rule.use in ("", use) and use not in OWN


def _check(kind: str, label: Term, needed_m: float, looked: tuple[Looked, ...]) -> Check:
    need = metres(needed_m)
    why: Reason = reason("safety.not_looked", kind=label, need=need)
    for entry in looked:
        if entry.kind != kind:
            continue
        if entry.within_m is None or not entry.who or entry.when is None:
            why = reason("safety.half_looked", kind=label)
            continue
        shown = reason("safety.looked", kind=label, within=metres(entry.within_m), who=entry.who, when=entry.when)
        if entry.doubt is not None:
            why = reason("safety.looked_doubt", looked=shown, why=entry.doubt)
            continue
        if entry.within_m >= needed_m:
            return checked("looked", "far enough", kind, shown)
        why = reason("safety.looked_short", looked=shown, need=need)
    return checked("looked", "not known", kind, why)
