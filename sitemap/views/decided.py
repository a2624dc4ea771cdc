"""What the decisions say, on any page: the kilns by their word, and what keeps them from being lit, by its kind.

Nothing is judged here: words, signs and actions are those of `assessment.decisions`.
"""

from __future__ import annotations

from collections.abc import Collection

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.day.decision import MAY, WORDS, Bar
from sitemap.maps.verdicts import decision_said
from sitemap.telling import sentence, word
from sitemap.views.figures import sign, table, verdict_html
from sitemap.wording import capital, check_label, listed

_NAMES = 12  # kilns named in one line
_ACTIONS = 2  # told of one kind; the page of the papers has all of them, kiln by kiln


def words(a: Assessment) -> None:
    """Which kilns may be lit and which may not, a line for each word."""
    lines = []
    for each in WORDS:
        alike = [decision for decision in a.decisions if decision.word == each]
        if alike:
            when = decision_said(alike[0], a) if each == MAY else ""
            names = listed((one.name for one in alike), _NAMES)
            lines.append(verdict_html(alike[0].effect, f"{capital(each)}: {names}", when))
    if lines:
        st.html("".join(lines))


def kinds(a: Assessment, checks: Collection[str] | None = None) -> bool:
    """What bars a kiln as one table, a row for each kind of it, the worst first; whether there was any.

    checks : the checks asked for; None for all
    """
    found: dict[str, list[tuple[str, Bar]]] = {}
    for decision in a.decisions:
        for bar in decision.because:
            if checks is None or bar.check in checks:
                found.setdefault(check_label(bar.check), []).append((decision.name, bar))
    ranked = sorted(found.items(), key=lambda kind: _weight(kind[1]), reverse=True)
    table([_row(label, bars, len(a.decisions), a.source.units) for label, bars in ranked])
    return bool(found)


def _weight(bars: list[tuple[str, Bar]]) -> tuple[int, int]:
    """How much it weighs: by the worst of it, then by how many kilns it bars."""
    return max(WORDS.index(bar.word) for _, bar in bars), len({name for name, _ in bars})


def _row(label: str, bars: list[tuple[str, Bar]], every: int, units: str) -> dict[str, str]:
    worst = max((bar for _, bar in bars), key=lambda bar: WORDS.index(bar.word))
    names = list(dict.fromkeys(name for name, _ in bars))
    kilns = f"all {every}" if len(names) == every > 1 else listed(names, _NAMES)
    actions = list(dict.fromkeys(capital(sentence(bar.action, units)).rstrip(".") for _, bar in bars))
    told = [*actions[:_ACTIONS], *([f"{len(actions) - _ACTIONS} more like it"] if len(actions) > _ACTIONS else [])]
    return {
        "What bars": f"{sign(worst.effect)} {label}: {listed(dict.fromkeys(word(bar.verdict) for _, bar in bars))}",
        "Kilns": kilns,
        "What to do": "; ".join(told),
    }
