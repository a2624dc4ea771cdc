"""Who was asked, when, and what they said. A pass is not a permission: until the authority was asked, none is given."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sitemap.reasons import Reason, Term, reason
from sitemap.safety.effects import effect_of
from sitemap.safety.records import Asked
from sitemap.telling import sentence

REFUSED = {  # what a no does, by who said it
    "land_owner": "refused by the owner",
    "line_owner": "refused by the owner",
    "neighbour": "refused next door",
}
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
    reason: Reason
    action: Reason | None = None

    def told(self, system: str = "metric", language: str = "en") -> str:
        """What was found, as a sentence in the units and the language of the site."""
        return sentence(self.reason, system, language)


def checked(check: str, verdict: str, about: str, why: Reason, action: Reason | None = None) -> Check:
    """A check with the effect its verdict has."""
    return Check(check, verdict, effect_of(verdict), about, why, action)


@dataclass(frozen=True)
class Answer:
    """What one of them said.

    answer : "yes", "conditions" (open until each is met) or "no"; words : who, when and in which words
    distance_m : they asked for [m], None where none was named; none_needed : they said that none is
    tick_doubt : why a tick that its conditions are met does not count; None where it does, or there is none
    """

    answer: str
    words: Reason
    distance_m: float | None = None
    none_needed: bool = False
    tick_doubt: Reason | None = None


def answer_about(
    asked: Iterable[Asked],
    whom: tuple[str, ...],
    about: str | None,
    *,
    alone: bool = False,
) -> Answer | None:
    """The latest complete answer: one with a name, a date and what was said. Half a record is no answer, unless a no.

    Parameters
    ----------
    asked : who was asked
    whom : "authority", "land_owner", "line_owner", "neighbour"
    about : id of the feature asked about; None for the site as a whole: a yes about one thing is none, a no is a no
    alone : whether it is the only owned line on the site, so that an owner asked about no feature was asked about it

    Returns
    -------
    the answer of the latest date, the less favourable one of two on the same day; None where nobody answered
    """
    found = []
    for entry in asked:
        if entry.whom not in whom or not _is_about(entry, about, alone):
            continue
        if entry.doubt is not None and _effective(entry) == "yes":
            continue  # only a yes grows old: a no and an open condition stand
        if not entry.name or entry.date is None:
            if entry.answer == "no":  # a refusal counts even half written down
                who = (
                    reason("safety.refused_by", name=entry.name) if entry.name else reason("safety.refused_by_someone")
                )
                return Answer("no", who)
            continue
        if entry.answer:
            found.append((entry.date, SEVERITY[_effective(entry)], _answer(entry)))
    return max(found, key=lambda item: item[:2])[2] if found else None


def authority_check(asked: tuple[Asked, ...]) -> Check:
    """Whether the authority agreed to burning on this site. A condition is open until somebody ticks that it is met."""
    answer = answer_about(asked, ("authority",), None)
    if answer is None:
        return checked("authority", "authority not asked", "site", _why_not_asked(asked))
    if answer.answer == "no":
        why = reason("safety.authority_refused", answer=answer.words)
        return checked("authority", "refused by the authority", "site", why)
    if answer.answer == "conditions":
        return _open("authority", "site", reason("safety.authority_conditions", answer=answer.words), answer)
    return checked("authority", "asked and agreed", "site", reason("safety.authority_agreed", answer=answer.words))


def _why_not_asked(asked: tuple[Asked, ...]) -> Reason:
    of_authority = [each for each in asked if each.whom == "authority"]
    old = next((each for each in of_authority if each.doubt and each.name), None)
    if old is not None:
        return reason("safety.answer_doubt", answer=_words(old), why=old.doubt)
    half = next((lacks for each in of_authority if each.about is None and (lacks := _lacks(each))), None)
    if half is not None:
        return reason("safety.authority_half", lacks=half)
    return reason("safety.ask_authority")


def _lacks(entry: Asked) -> tuple[Term, ...]:
    """What of an entry is still to be filled in before it counts."""
    entered = {"name": entry.name, "date": entry.date, "answer": entry.answer}
    return tuple(Term(label) for label, value in entered.items() if not value)


def owner_checks(asked: tuple[Asked, ...]) -> tuple[Check, ...]:
    """What land owner, owners of lines and neighbours said against burning here, wherever what they own lies.

    A no of the owner of the land or of a line bars the place, a no of a neighbour the day; a condition is open until
    it is met. A yes needs no check of its own: `setbacks` asks for it where one is needed.
    """
    about = {(entry.whom, entry.about): None for entry in asked if entry.whom in REFUSED}
    found = [_no_answer(entry) for entry in asked if (entry.whom or entry.name) and entry.answer is None]
    found += [_whose(entry) for entry in asked if _half_said(entry)]
    for whom, what in about:
        own = [entry for entry in asked if entry.whom == whom and entry.about == what]
        answer = answer_about(own, (str(whom),), what)
        if answer is None or answer.answer == "yes":
            continue
        if answer.answer == "no":
            verdict, why = REFUSED[str(whom)], _refusal(str(whom), answer)
            found.append(checked("asked", verdict, what or "site", why, reason("action.refused")))
        else:
            found.append(_open("asked", what or "site", reason("safety.conditions_open", answer=answer.words), answer))
    return tuple(found)


def _no_answer(entry: Asked) -> Check:
    """Somebody was asked, and nobody noted what they said: it may have been a no."""
    why = reason("safety.no_answer", name=entry.name) if entry.name else reason("safety.no_answer_of_someone")
    return checked("asked", "not known", entry.about or "site", why, reason("action.enter_answer"))


def _half_said(entry: Asked) -> bool:
    """Whether somebody did not simply agree, and whose word it is, when it was given or about what is not known."""
    undated = not entry.name or entry.date is None
    if entry.distance_m and (undated or entry.about is None):
        return True
    if entry.whom is None and entry.answer == "no":
        return True
    return _effective(entry) == "conditions" and (undated or not entry.whom)


def _whose(entry: Asked) -> Check:
    """It may have been the authority, or later than its yes."""
    why = reason("safety.whose_word", name=entry.name or "?")
    return checked("asked", "not known", entry.about or "site", why, reason("action.enter_answer"))


def _open(check: str, about: str, why: Reason, answer: Answer) -> Check:
    """Conditions nobody has said to be met, or with a tick that does not count."""
    if answer.tick_doubt is None:
        return checked(check, "conditions open", about, why, reason("action.meet_conditions"))
    ticked = reason("safety.tick_doubt", answer=answer.words, why=answer.tick_doubt)
    return checked(check, "not known", about, ticked, reason("action.sign_tick"))


def _refusal(whom: str, answer: Answer) -> Reason:
    if whom == "land_owner":
        return reason("safety.land_owner_refused", answer=answer.words)
    if whom == "neighbour":
        return reason("safety.neighbour_refused", answer=answer.words)
    return reason("safety.line_owner_refused", answer=answer.words)


def _is_about(entry: Asked, about: str | None, alone: bool) -> bool:
    if about is None:
        return entry.about is None or entry.answer == "no"
    return entry.about == about or (alone and entry.whom == "line_owner" and entry.about is None)


def _answer(entry: Asked) -> Answer:
    return Answer(_effective(entry), _words(entry), entry.distance_m, entry.none_needed, entry.tick_doubt)


def _effective(entry: Asked) -> str:
    """Conditions that are all met are a yes, where somebody signed and dated that they are."""
    met = entry.conditions_met and entry.tick_doubt is None
    return "yes" if entry.answer == "conditions" and met else str(entry.answer)


def _words(entry: Asked) -> Reason:
    said = (entry.said or "").rstrip(" .")
    told = reason("safety.answered", name=entry.name, date=entry.date)
    if said:
        told = reason("safety.answered_so", name=entry.name, date=entry.date, said=said)
    if entry.answer == "conditions" and _effective(entry) == "yes":
        return reason("safety.answered_met", answer=told, by=entry.met_by, on=entry.met_on)
    return told
