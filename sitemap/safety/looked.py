"""Kinds of others' things: a map proves nothing of what is not on it until somebody has looked, round this kiln."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sitemap.reasons import Reason, Term, metres, reason
from sitemap.safety.permission import Check, checked
from sitemap.safety.power_line import required_m
from sitemap.safety.records import Looked
from sitemap.safety.rules import Rule, default_rules, look_for, rules_for


def looked_checks(
    rules: tuple[Rule, ...],
    looked: Iterable[tuple[Looked, float | None]],
    labels: Mapping[str, Term],
    machine_reach_m: float | None = None,
) -> tuple[Check, ...]:
    """One check per kind that must be looked for, also where some of it is on the map: one house does not show that
    there is no other.

    Parameters
    ----------
    rules : of the site
    looked : what somebody looked for: kind, none within [m], who, when; and how far the kiln stands from the nearest
        place that was looked round [m], None where nobody said
    labels : what each kind is called
    machine_reach_m : longest reach of a machine on site [m]: it may need more room from a power line than the rule

    Returns
    -------
    checks "looked": far enough where somebody looked as far round the kiln as the rule and says who and when, else not
    known.
    """
    entries, found = tuple(looked), []
    for kind, look_m in look_for().items():
        uses = [default.use for default in default_rules() if default.kind == kind and default.look_m is not None]
        entered = [rule.distance_m for use in uses for rule in rules_for(rules, kind, use) if rule.distance_m]
        needed_m = max(entered, default=look_m)
        if kind == "power_line":
            needed_m = required_m(max(needed_m, look_m), None, machine_reach_m)
        found.append(_check(kind, labels[kind], needed_m, entries))
    return tuple(found)


def _check(kind: str, label: Term, needed_m: float, looked: tuple[tuple[Looked, float | None], ...]) -> Check:
    need = metres(needed_m, 2, "up")  # asked for, as people say it; held against the figure itself
    why: Reason = reason("safety.not_looked", kind=label, need=need)
    for entry, away_m in looked:
        if entry.kind != kind:
            continue
        if entry.within_m is None or not entry.who or entry.when is None:
            why = reason("safety.half_looked", kind=label)
            continue
        shown = reason("safety.looked", kind=label, within=metres(entry.within_m), who=entry.who, when=entry.when)
        if entry.doubt is not None or away_m is None:
            why = reason("safety.looked_doubt", looked=shown, why=entry.doubt or reason("seen.no_place"))
        elif entry.within_m < needed_m:
            why = reason("safety.looked_short", looked=shown, need=need)
        elif entry.within_m - away_m < needed_m:
            why = reason("safety.looked_elsewhere", looked=shown, away=metres(away_m), need=need)
        else:
            return checked("looked", "far enough", kind, shown)
    return checked("looked", "not known", kind, why)
