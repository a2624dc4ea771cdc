"""Who was asked, when, and what they said. A pass is not a permission: until the authority was asked, none is given."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sitemap.reasons import Reason
from sitemap.safety.effects import effect_of
from sitemap.site.model import Entry
from sitemap.telling import sentence


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


def checked(check: str, verdict: str, about: str, reason: Reason | str) -> Check:
    """A check with the effect its verdict has."""
    return Check(check, verdict, effect_of(verdict), about, reason)


@dataclass(frozen=True)
class Answer:
    """What one of them said; answer: "yes", "conditions" or "no"."""

    answer: str
    words: str


def answer_about(
    asked: Iterable[Entry], whom: tuple[str, ...], about: str | None, *, alone: bool = False
) -> Answer | None:
    """The latest complete answer: one with a name, a date and what was said. Half a record is no answer.

    Parameters
    ----------
    asked : `site.records("asked")`
    whom : "authority", "line_owner", "neighbour"
    about : id of the feature asked about; None for the authority, who is asked about the whole site
    alone : whether it is the only owned line on the site, so that an owner asked about no feature was asked about it

    Returns
    -------
    the answer of the latest date, the less favourable one of two on the same day; None where nobody answered
    """
    severity = {"yes": 0, "conditions": 1, "no": 2}
    found = []
    for entry in asked:
        name, date, answer = entry.text("name"), entry.date("date"), entry.choice("answer")
        asked_whom = entry.choice("whom")
        of_it = about is None or entry.text("about") == about
        of_it = of_it or (alone and asked_whom == "line_owner" and not entry.has("about"))
        if asked_whom not in whom or not of_it:
            continue
        if not name or date is None:
            if answer == "no":  # a refusal counts even half written down
                return Answer("no", f"{name or 'someone'} refused")
            continue
        if answer:
            said = (entry.text("said") or "").rstrip(" .")
            words = f"{name}, {date.isoformat()}" + (f": {said}" if said else "")
            found.append((date, severity[answer], Answer(answer, words)))
    return max(found, key=lambda item: item[:2])[2] if found else None


def authority_check(asked: Iterable[Entry]) -> Check:
    """Whether the authority was asked. Agreed with conditions passes, and the conditions are said."""
    answer = answer_about(asked, ("authority",), None)
    if answer is None:
        reason = "Ask the authority, and enter name, date and answer: until then nothing passes."
        return checked("authority", "authority not asked", "site", reason)
    if answer.answer == "no":
        return checked("authority", "refused by the authority", "site", f"The authority refused ({answer.words}).")
    conditions = "; keep their conditions" if answer.answer == "conditions" else ""
    return checked("authority", "asked and agreed", "site", f"The authority agreed ({answer.words}){conditions}.")
