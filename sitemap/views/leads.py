"""Where each thing that keeps a kiln from being lit is answered: knowing what to do takes the place to do it."""

from __future__ import annotations

from dataclasses import dataclass

import streamlit as st

from sitemap.day.decision import Bar
from sitemap.site.equipment import EQUIPMENT
from sitemap.views import state
from sitemap.views.folds import unfold
from sitemap.views.frame import PAGES, led_to, stand_at
from sitemap.wording import listed


@dataclass(frozen=True)
class Place:
    """Where a bar is answered. page : its file; field : key of what holds the input, which comes into sight and takes
    the keys, none where all of the page answers it; folds : keys of those that are opened"""

    page: str
    field: str = ""
    folds: tuple[str, ...] = ()


def _input(page: str, section: str, name: str, *folds: str) -> Place:
    return Place(page, f"input.s.{section}.{name}", folds)


SURVEY_PART, GRID = "part of the survey", "The grid"  # which part of *Walk and survey* was last open, and one of them
HEAP = "heap whose wood is asked for"
_CREW, _PERMIT, _MORNING = "kilns.crew", "rules.permit", "log.weather"
_READING = Place("log", "form.weather", (_MORNING,))
_FORECAST = Place("when", "form.s.forecast", ("when.bring", "when.forecast"))
_OF_BOTH = (  # facts of one source and one kiln together
    "action.bucket_test",
    "water.do_bucket_again",
    "water.do_bucket_with_this",
    "water.do_measure_lift",
    "water.do_say_gear",
    "water.do_time_again",
    "water.do_time_trips",
)
_GEAR = ("water.do_read_plate", "water.do_read_rating")
OF_ACTION: dict[str, Place | None] = {  # where the action says more of the place than the check does; None: on the map
    "action.choose_heaps": None,
    "action.enter_fuel_height": _input("log", "season", "fuel_height_m", _MORNING),
    "action.read_weather": _READING,
    "action.read_beside": _READING,
    "action.choose_height": _FORECAST,
    **dict.fromkeys(_OF_BOTH, Place("water", "rows.r.links", ("water.links",))),
    **dict.fromkeys(_GEAR, Place("water", "", ("water.gear",))),
    "action.measure_kiln": Place("kilns"),
    "action.sign_tick": _input("rules", "permit", "met_by", _PERMIT),
    "action.permit_dates": _input("rules", "permit", "from", _PERMIT),
    "action.permit_hour": _input("rules", "permit", "to_time", _PERMIT),
    "action.read_permit": _input("rules", "permit", "conditions", _PERMIT),
    "action.meet_conditions": _input("rules", "permit", "conditions_met", _PERMIT),
    "action.other_date": _input("kilns", "season", "date"),
}
WHERE: dict[str, Place] = {  # by the check
    "ban": _input("log", "season", "ban", _MORNING),
    "surroundings": _input("log", "season", "surroundings", _MORNING),
    "weather": _FORECAST,
    "wood": Place("when", "when.heap", ("when.heaps",)),
    "permit": _input("rules", "permit", "number", _PERMIT),
    "authority": Place("rules", "rows.r.asked"),
    "asked": Place("rules", "rows.r.asked"),
    "looked": Place("rules", "looked.line"),
    "rule": Place("rules", "", ("rules.all",)),
    "walked": _input("survey", "season", "date_walked"),
    "date": _input("kilns", "season", "date"),
    "daylight": Place("kilns"),
    "leader": _input("kilns", "crew", "leader", _CREW),
    "people": _input("kilns", "crew", "adults", _CREW),
    "carriers": _input("kilns", "crew", "carriers", _CREW),
    "call": _input("kilns", "crew", "phone", _CREW),
    "hands": _input("kilns", "crew", "adults", _CREW),
    "raking": _input("kilns", "crew", "rakers", _CREW),
    "water_quench": Place("water"),
    "water_attack": Place("water"),
    "cold": Place("log"),
}
DESCRIBED: dict[str, tuple[tuple[str, ...], Place]] = {  # what a thing names, by the attribute named last, and where
    "kiln": (("kilns",), Place("kilns")),  # it is described
    "nozzle": (("pumps", "hoses", "nozzles"), Place("water", "", ("water.gear",))),
}
_TITLES = {page.file: page.title for pages in PAGES.values() for page in pages}


def lead(bar: Bar, key: str) -> None:
    """A button to the field where a bar is answered; none where it is answered on the map.

    bar : of a decision; key : names the button
    """
    place = OF_ACTION.get(bar.action.code, WHERE.get(bar.check))
    if place is not None:
        st.button(
            _TITLES[place.page],
            key=key,
            type="tertiary",
            icon=":material/edit:",
            on_click=state.guarded(_go),
            args=(bar, place),
        )


def describe(name: str, key: str) -> None:
    """A button to where equipment is described, below the attribute that names it; none once there is some of each.

    name : of `DESCRIBED`; key : names the button
    """
    lists, place = DESCRIBED[name]
    lacks = [EQUIPMENT[each].label.lower() for each in lists if not state.site().equipment(each)]
    if lacks:
        words = f"Describe {listed(lacks, len(lacks))}: {_TITLES[place.page]}"
        st.button(words, key=key, type="tertiary", icon=":material/edit:", on_click=state.guarded(_open), args=(place,))


def _go(bar: Bar, place: Place) -> None:
    _choose(bar)
    _open(place)


def _open(place: Place) -> None:
    unfold(place.folds)
    if place.field:
        stand_at(place.field, led=True)
    led_to(place.page)


def _choose(bar: Bar) -> None:
    """What its page shows of several: the heap whose wood is asked for, the grid below which the walk is dated."""
    if bar.check == "walked":
        state.put(SURVEY_PART, GRID)
    if bar.check == "wood":
        name = bar.reason.fact("name")
        heap = next((each for each in state.site().features if each.name == name), None)
        if heap is not None:
            state.put(HEAP, heap.id)
