"""Who was asked, when, and what they said. A pass is not a permission: until the authority was asked, none is given."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sitemap.reasons import Reason, reason
from sitemap.safety.effects import effect_of
from sitemap.safety.records import Asked
from sitemap.telling import sentence

SEVERITY = {"yes": 0, "conditions": 1, "no": 2}


@dataclass(frozen=True)
class Check:
    """One check of a kiln spot.

    check : what was checked, a stable word: place, kiln, authority, distance,
        looked, machine_stand, ground, branches, slope
    verdict : see `effects.EFFECTS`; effect : passes, conditional, ruled out
    about : id of the feature that decides it, a kind, or "site"
    reason : what was found; action : what to do about it, where the check itself knows
    """

    check: str
    verdict: str
    effect: str
    about: str
    reason: Reason | str
    action: Reason | None = None

    def told(self, system: str = "metric", language: str = "en") -> str:
        """What was found, as a sentence in the units and the language of the site."""
        return self.reason if isinstance(self.reason, str) else sentence(self.reason, system, language)


def checked(check: str, verdict: str, about: str, why: Reason | str, action: Reason | None = None) -> Check:
    """A check with the effect its verdict has."""
    return Check(check, verdict, effect_of(verdict), about, why, action)


@dataclass(frozen=True)
class Answer:
    """What one of them said. answer : "yes", "conditions" or "no"; words : who, when and in which words."""

    answer: str
    words: Reason


def answer_about(
    asked: Iterable[Asked], whom: tuple[str, ...], about: str | None, *, alone: bool = False
) -> Answer | None:
    """The latest complete answer: one with a name, a date and what was said. Half a record is no answer.

    Parameters
    ----------
    asked : who was asked
    whom : "authority", "line_owner", "neighbour"
    about : id of the feature asked about; None for the authority, who is asked about the whole site
    alone : whether it is the only owned line on the site, so that an owner asked about no feature was asked about it

    Returns
    -------
    the answer of the latest date, the less favourable one of two on the same day; None where nobody answered
    """
    found = []
    for entry in asked:
        of_it = about is None or entry.about == about
        of_it = of_it or (alone and entry.whom == "line_owner" and entry.about is None)
        if entry.whom not in whom or not of_it:
            continue
        if entry.doubt is not None and entry.answer != "no":
            continue
        if not entry.name or entry.date is None:
            if entry.answer == "no":  # a refusal counts even half written down
                who = (
                    reason("safety.refused_by", name=entry.name) if entry.name else reason("safety.refused_by_someone")
                )
                return Answer("no", who)
            continue
        if entry.answer:
            found.append((entry.date, SEVERITY[entry.answer], Answer(entry.answer, _words(entry))))
    return max(found, key=lambda item: item[:2])[2] if found else None


def authority_check(asked: tuple[Asked, ...]) -> Check:
    """Whether the authority was asked. Agreed with conditions passes, and the conditions are said."""
    answer = answer_about(asked, ("authority",), None)
    if answer is None:
        old = next((each for each in asked if each.whom == "authority" and each.doubt and each.name), None)
        why = reason("safety.ask_authority")
        if old is not None:
            why = reason("safety.answer_doubt", answer=_words(old), why=old.doubt)
        return checked("authority", "authority not asked", "site", why)
    if answer.answer == "no":
        why = reason("safety.authority_refused", answer=answer.words)
        return checked("authority", "refused by the authority", "site", why)
    conditions = answer.answer == "conditions"
    why = reason("safety.authority_conditions" if conditions else "safety.authority_agreed", answer=answer.words)
    return checked("authority", "asked and agreed", "site", why)


def _words(entry: Asked) -> Reason:
    said = (entry.said or "").rstrip(" .")
    if said:
        return reason("safety.answered_so", name=entry.name, date=entry.date, said=said)
    return reason("safety.answered", name=entry.name, date=entry.date)
