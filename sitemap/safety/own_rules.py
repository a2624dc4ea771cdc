"""The site's own distances held against the usual ones: a shorter one is said, and asked to be shown in print."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sitemap.reasons import Term, metres, reason
from sitemap.safety.permission import Check, checked
from sitemap.safety.rules import Rule, default_rules

IN_PRINT = "P"  # standing of a row whose text somebody has seen
NOUGHT_IS_MEANT = ("no_go",)  # never inside is a distance of nought


def own_rule_checks(rules: Iterable[Rule], labels: Mapping[str, Term]) -> tuple[Check, ...]:
    """One check for each own distance that is shorter than the usual one, nought, or not entered.

    Parameters
    ----------
    rules : of the site
    labels : what each kind is called

    Returns
    -------
    checks "rule", conditional; none for a row whose standing says that its text was seen in print
    """
    found = []
    for rule in rules:
        if not rule.entered or rule.standing == IN_PRINT:
            continue
        if rule.distance_m is None:
            why = reason("safety.row_without_distance", kind=labels.get(rule.kind, Term(rule.kind)))
            found.append(checked("rule", "no distance entered", rule.kind, why, reason("action.fill_row")))
            continue
        same = (each for each in default_rules() if each.kind == rule.kind and rule.use in ("", each.use))
        usual_m = max((each.distance_m for each in same if each.distance_m is not None), default=None)
        label, own = labels.get(rule.kind, Term(rule.kind)), metres(rule.distance_m)
        if usual_m is not None and rule.distance_m < usual_m:
            why = reason("safety.below_usual", kind=label, own=own, usual=metres(usual_m))
        elif rule.distance_m == 0 and rule.kind not in NOUGHT_IS_MEANT:
            why = reason("safety.nought", kind=label, own=own)
        else:
            continue
        found.append(checked("rule", "below the usual distance", rule.kind, why, reason("action.show_rule")))
    return tuple(found)
