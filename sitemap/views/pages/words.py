"""What the words mean, and where the figures come from."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial

import streamlit as st

from sitemap import tables
from sitemap.maps.symbols import symbol_of
from sitemap.notes import sentence
from sitemap.plan.parts.figures import TITLES, row_name, row_value
from sitemap.site.grid import heading
from sitemap.site.kind import Kind
from sitemap.site.kinds import KINDS
from sitemap.views import state
from sitemap.views.figures import table
from sitemap.views.folds import fold
from sitemap.views.frame import page
from sitemap.views.inputs import drafts
from sitemap.views.inputs.fields import help_of
from sitemap.wording import capital, glossary

_TITLES = {
    **TITLES,
    "fuel_moisture": "moisture of the wood",
    "setbacks": "distances, our cautious rows",
    "setback_examples": "distances, published examples",
}

_FIRST = 3  # words of the verdicts, in sight; the rest is folded
_MOST = 40  # of what was found
_PARAGRAPH = "\n\n"


def _figure_title(name: str) -> str:
    return _TITLES.get(name, name.replace("_", " ")).capitalize()


def _figures(rows: Iterable[tables.Row]) -> None:
    units = state.site().units
    table(
        [
            {
                "Figure": row_name(row),
                "Value": row_value(row, units) or "–",
                "Source": row.source,
                "Evidence": tables.EVIDENCE_LEVELS[row.evidence],
            }
            for row in rows
        ]
    )


def _word(word: str, meaning: str) -> str:
    return f"**{capital(word)}.** {sentence(meaning)}"


def _kind(kind: Kind) -> str:
    """A kind with its letter and what is asked of it, as one paragraph."""
    units = state.site().units
    asked = "".join(f"\n- {heading(a, units)}: {help_of(a, units)}" for a in kind.attributes if a.help or a.blank)
    return f"**{kind.label}** ({symbol_of(kind.key).letter}). {kind.says}" + (f"\n{asked}" if asked else "")


def _found(typed: str) -> None:
    """What has all the words typed in it: of the words, of the kinds, of the figures."""
    asked = typed.casefold().split()

    def has(*said: str) -> bool:
        return all(each in " ".join(said).casefold() for each in asked)

    told = [_word(*each) for each in glossary().items() if has(*each)]
    told += [_kind(kind) for kind in KINDS.values() if has(kind.label, kind.says, *(a.label for a in kind.attributes))]
    named = {name: _figure_title(name) for name in tables.names()}
    rows = [row for name, title in named.items() for row in tables.load(name).values() if has(title, row_name(row))]
    if not told and not rows:
        st.write("Nothing here has these words: try one word alone, or fewer letters of it.")
    st.markdown(_PARAGRAPH.join(told[:_MOST]))
    _figures(rows[:_MOST])
    left = sum(max(len(each) - _MOST, 0) for each in (told, rows))
    if left:
        st.write(f"{left} more: one more word finds less.")


def _all() -> None:
    """Everything, folded but for the words of the verdicts."""
    words = [_word(*each) for each in glossary().items()]
    st.markdown(_PARAGRAPH.join(words[:_FIRST]))
    rest = _PARAGRAPH.join(words[_FIRST:])
    fold(f"{len(words) - _FIRST} more words", "words.more", lambda: st.markdown(rest))
    st.markdown("#### What can stand on the map")
    for group in dict.fromkeys(kind.group for kind in KINDS.values()):
        kinds = _PARAGRAPH.join(_kind(kind) for kind in KINDS.values() if kind.group == group)
        fold(group, f"words.{group}", partial(st.markdown, kinds))
    st.markdown("#### Where figures come from")
    named = {"": "choose", **{name: _figure_title(name) for name in tables.names()}}
    name = st.selectbox("Figures about", list(named), format_func=named.__getitem__, key="words.table")
    if name:
        _figures(tables.load(name).values())
    st.markdown("; ".join(f"{key}: {meaning}" for key, meaning in tables.EVIDENCE_LEVELS.items()) + ".")


with page("words"):
    typed = drafts.text(st, "Find a word, a thing or a figure", "draft.words.find", placeholder="quench, road, hose …")
    with st.container(key="words.shown"):
        if typed.strip():
            _found(typed)
        else:
            _all()
