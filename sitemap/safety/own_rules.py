"""The site's own distances held against the usual ones: a shorter one is said, and asked to be shown in print."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sitemap.reasons import Reason, Term, metres, reason
from sitemap.safety.permission import Check, checked
from sitemap.safety.rules import NO_SOURCE, Rule, default_rules

IN_PRINT = "P"  # evidence of a row whose text somebody has seen
NOUGHT_IS_MEANT = ("no_go",)  # never inside is a distance of nought


def own_rule_checks(rules: Iterable[Rule], labels: Mapping[str, Term]) -> tuple[Check, ...]:
    """One check for each own distance that is shorter than the usual one, nought, or not entered.

    Parameters
    ----------
    rules : of the site
    labels : what each kind is called

    Returns
    -------
    checks "rule", conditional; none for a shorter distance whose text was seen in print, with its source, nought left
    out: `shorter_in_print` says it
    """
    found = []
    for rule in rules:
        if not rule.entered:
            continue
        if rule.distance_m is None:
            why = reason("safety.row_without_distance", kind=labels.get(rule.kind, Term(rule.kind)))
            found.append(checked("rule", "no distance entered", rule.kind, why, reason("action.fill_row")))
            continue
        usual_m, label, own = usual_of(rule), labels.get(rule.kind, Term(rule.kind)), metres(rule.distance_m)
        if rule.distance_m == 0 and rule.kind not in NOUGHT_IS_MEANT and usual_m is None:
            why = reason("safety.nought", kind=label, own=own)
        elif usual_m is None or rule.distance_m >= usual_m or _in_print(rule):
            continue
        else:
            why = reason("safety.below_usual", kind=label, own=own, usual=metres(usual_m))
        found.append(checked("rule", "below the usual distance", rule.kind, why, reason("action.show_rule")))
    return tuple(found)


def usual_of(rule: Rule) -> float | None:
    """The longest usual distance of what an own row speaks of [m], None where there is none."""
    same = (each for each in default_rules() if each.kind == rule.kind and rule.use in ("", each.use))
    return max((each.distance_m for each in same if each.distance_m is not None), default=None)


def _in_print(rule: Rule) -> bool:
    return rule.evidence == IN_PRINT and bool(rule.distance_m) and rule.source != NO_SOURCE


def shorter_in_print(rules: Iterable[Rule], labels: Mapping[str, Term]) -> tuple[Reason, ...]:
    """Own distances below the usual ones whose text was seen in print: they hold, and page one says them.

    rules, labels : as for `own_rule_checks`
    """
    found = []
    for rule in rules:
        usual_m = usual_of(rule)
        if rule.entered and _in_print(rule) and usual_m is not None and (rule.distance_m or 0) < usual_m:
            own, usual = metres(rule.distance_m or 0), metres(usual_m)
            kind = labels.get(rule.kind, Term(rule.kind))
            found.append(reason("today.shorter", kind=kind, own=own, usual=usual, source=rule.source))
    return tuple(found)
