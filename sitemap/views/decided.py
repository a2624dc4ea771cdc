"""What the decisions say, on any page: the kilns by their word, and what keeps them from being lit, by its kind.

Nothing is judged here: words, signs and actions are those of `assessment.decisions`.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import streamlit as st

from sitemap.assessment import Assessment, SpotReport
from sitemap.day.decision import MAY, WORDS, Bar
from sitemap.maps.verdicts import decision_said, when_lit
from sitemap.notes import kiln_called
from sitemap.telling import sentence, word
from sitemap.views.figures import sign, table, verdict_html
from sitemap.wording import capital, check_label, listed

_NAMES = 12  # kilns named in one line


def words(a: Assessment) -> None:
    """Which kilns may be lit and which may not, a line for each word."""
    lines = []
    for each in WORDS:
        alike = [decision for decision in a.decisions if decision.word == each]
        if alike:
            said = dict.fromkeys(told for one in alike if each == MAY for told in when_lit(one, a))
            names = listed((one.name for one in alike), _NAMES)
            lines.append(verdict_html(alike[0].effect, f"{capital(each)}: {names}", " ".join(said)))
    if lines:
        st.html("".join(lines))


@dataclass(frozen=True)
class Alike:
    """Kilns of which the same is decided, and the same is to be done first; effect : whose sign they bear."""

    effect: str
    title: str
    first: str
    spots: tuple[SpotReport, ...]


def by_first_step(a: Assessment) -> list[Alike]:
    """The kilns by their decision and what to do first; of one that may be lit, when the yes holds."""
    alike: dict[tuple[str, str, str], list[SpotReport]] = {}
    for spot in a.spots:
        decision = a.decision(spot.id)
        if decision is not None:
            first = sentence(decision.first.action, a.source.units) if decision.first else decision_said(decision, a)
            alike.setdefault((decision.effect, decision.word, first), []).append(spot)
    found = []
    for (effect, said, first), spots in alike.items():
        names = [spot.name for spot in spots]
        called = capital(kiln_called(names[0])) if len(names) == 1 else f"Kilns {listed(names, len(names))}"
        found.append(Alike(effect, f"{called}: {said}", first, tuple(spots)))
    return found


def kinds(a: Assessment, checks: Collection[str] | None = None) -> bool:
    """What bars a kiln as one table, the worst first; whether there was any. Each kind and verdict has its row, so that
    no kiln is told what another must do.

    checks : the checks asked for; None for all
    """
    found: dict[tuple[str, str], list[tuple[str, Bar]]] = {}
    for decision in a.decisions:
        for bar in decision.because:
            if checks is None or bar.check in checks:
                found.setdefault((check_label(bar.check), word(bar.verdict)), []).append((decision.name, bar))
    ranked = sorted(found.items(), key=lambda kind: _weight(kind[1]), reverse=True)
    table([_row(*kind, bars, len(a.decisions), a.source.units) for kind, bars in ranked], tight=True)
    return bool(found)


def _weight(bars: list[tuple[str, Bar]]) -> tuple[int, int]:
    """How much it weighs: by the worst of it, then by how many kilns it bars."""
    return max(WORDS.index(bar.word) for _, bar in bars), len({name for name, _ in bars})


def _row(label: str, verdict: str, bars: list[tuple[str, Bar]], every: int, units: str) -> dict[str, str]:
    worst = max((bar for _, bar in bars), key=lambda bar: WORDS.index(bar.word))
    names = list(dict.fromkeys(name for name, _ in bars))
    named = listed(names, _NAMES)
    actions: dict[str, dict[str, None]] = {}  # those alike but for a name are told once
    for _, bar in bars:
        told = capital(sentence(bar.action, units))
        actions.setdefault(bar.action.code, {})[told] = None
    which = f"all {every}" if len(names) == every else f"{len(names)} of {every}: {named}"
    return {
        "What bars": f"{sign(worst.effect)} {label}: {verdict}",
        **({"Kilns": which} if every > 1 else {}),
        "What to do": " ".join(_told_once(list(alike)) for alike in actions.values()),
    }


def _told_once(alike: list[str]) -> str:
    return alike[0] if len(alike) == 1 else f"{alike[0]} And {len(alike) - 1} more like it."
