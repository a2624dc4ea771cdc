"""From where the wind keeps smoke off: a compass for each kiln, the places round it, and what may arrive there."""

from __future__ import annotations

import streamlit as st

from sitemap.assessment import Assessment
from sitemap.geodesy.measure import compass_word
from sitemap.plan.charts.winds import compass
from sitemap.plan.phrases import Words, words_for
from sitemap.plan.sheets.smoke import IN_THE_TABLE, good_winds, lies, orders
from sitemap.reasons import metres
from sitemap.season.smoke_of_site import KilnSmoke, Reached, cautions_of
from sitemap.telling import quantity_text, sentence
from sitemap.views.figures import beside, table, verdict_html
from sitemap.views.folds import fold
from sitemap.views.frame import plain
from sitemap.wording import listed

_MOST = 4  # compasses; the map shows that of any kiln
_NAMES = 12  # kilns named in one row
_CAUTION = (
    "Be out before a calm clear evening, and quench all the same what still glows then: smoke runs down the valley "
    "with the cold air and pools, first over what lies lower than a kiln, whatever the wind of the day."
)
_OF_FIGURES = "season.smoke_as_wet"  # what the figures rest on stands where they stand


def show(a: Assessment) -> None:
    """A compass of every kiln, all kilns in one table, the cautions, and the places one by one."""
    st.markdown("#### From where may the wind come?")
    if not a.smoke:
        st.info(
            "No place to keep smoke from is on the map: homes, schools, roads, stables. Draw them, or say none is near."
        )
        return
    words = words_for(a.source, "en")
    alike = _alike(a, words)
    beside(
        (
            (compass(kilns[0], words), f"{_named(kilns, len(a.smoke))}: no wind from the striped side")
            for kilns in list(alike.values())[:_MOST]
        ),
        _good(a, alike, words),
    )
    said = [why for why in (*(each.told for each in a.smoke), *cautions_of(a.smoke)) if why.code not in IN_THE_TABLE]
    told = (sentence(why, a.source.units) for why in said if why.code != _OF_FIGURES)
    st.html("".join(verdict_html("conditional", "", words) for words in (_CAUTION, *told)))

    def places() -> None:
        for why in said:
            if why.code == _OF_FIGURES:
                st.markdown(plain(sentence(why, a.source.units)))
        _table(a, words)
        st.caption(
            "Lines: towards the places, numbered as in the table. Choose a "
            "kiln on the map: the same winds stand round it, with the sectors of smoke and embers by the forecast."
        )
        st.caption(words("smoke.how"))

    fold("What may arrive at each place, and how to read it", "when.winds.places", places)


_Alike = dict[tuple[str, str, str, str], list[KilnSmoke]]


def _alike(a: Assessment, words: Words) -> _Alike:
    """Kilns by what they have alike: the winds that keep smoke off, and where and how the nearest place lies."""
    alike: _Alike = {}
    for each in a.smoke:
        place = each.places[0]
        winds, towards = good_winds(each, words, ends=False), compass_word(place.bearing_deg)
        alike.setdefault((winds, place.name, towards, place.lie), []).append(each)
    return alike


def _named(kilns: list[KilnSmoke], every: int) -> str:
    if len(kilns) == every > 1:
        return f"All {every} kilns"
    return f"Kiln{'s' if len(kilns) > 1 else ''} {listed((each.name for each in kilns), _NAMES)}"


def _good(a: Assessment, alike: _Alike, words: Words) -> list[dict[str, str]]:
    """The winds that keep smoke off and the nearest place; kilns alike in one row: the nearest of them, the highest."""
    rows = []
    for (winds, name, towards, _), kilns in alike.items():
        nearest = min((each.places[0] for each in kilns), key=lambda place: place.away_m)
        lowest = max((each.places[0] for each in kilns), key=lambda place: place.lower_m)
        rows.append(
            {
                "Kiln": listed((each.name for each in kilns), _NAMES),
                "Good wind, clockwise": winds,
                "Nearest place": f"{name}, {_away(a, nearest)} {towards}",
                "Cold air runs there": lies(lowest, words),
            }
        )
    return rows


def _away(a: Assessment, place: Reached) -> str:
    return quantity_text(metres(place.away_m, 2, "down"), a.source.units)


def _table(a: Assessment, words: Words) -> None:
    table(
        [
            {
                "Kiln": each.name,
                "Good wind": good_winds(each, words) if number == 1 else "",
                "Place": f"{number} {place.name}",
                "Away": _away(a, place),
                "Towards": f"{compass_word(place.bearing_deg)} ({place.bearing_deg:.0f}°)",
                "Cold air runs there": lies(place, words),
                **dict(zip(("By day", "Calm clear evening", "By the forecast"), orders(a, place, words), strict=True)),
            }
            for each in a.smoke
            for number, place in enumerate(each.places, start=1)
        ]
        + [
            {
                "Kiln": " + ".join(each.kilns),
                "Good wind": "",
                "Place": each.place,
                "Away": "",
                "Towards": "",
                "Cold air runs there": "",
                **dict(zip(("By day", "Calm clear evening", "By the forecast"), orders(a, each, words), strict=True)),
            }
            for each in a.smoke_together
        ]
    )
