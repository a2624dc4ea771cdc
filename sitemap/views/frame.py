"""What every page shares: its place in the order of the job, undo, the error boundary, what comes next."""

from __future__ import annotations

import datetime as dt
import html
import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from string import Template
from typing import Any
from uuid import uuid4

import streamlit as st

from sitemap.errors import BadStore, PitsteadError
from sitemap.maps.bundle import bundle
from sitemap.maps.framework import APP_STATES, PARTS
from sitemap.site.file import site_text
from sitemap.site.model import Site
from sitemap.views import download, letters, plainly, reckoning, sites, state, two_tabs, working
from sitemap.views.after.ringing import ringing
from sitemap.views.faults import fault_text
from sitemap.views.figures import STYLE

_FOLDER = Path(__file__).parent / "pages"
_KEPT = "<span class='ps-kept'> · every change is kept at once</span>"
BEGINS = "begins"  # kind of what the map begins to draw when it is shown next, and a mark of that
_STAND = "stand"  # where keys are to stand next, and how often that was asked for
_LED = "led"  # the page a button led to last, and how often one did
_log = logging.getLogger("pitstead")


@dataclass(frozen=True)
class Page:
    """One page: its file, its title in the menu, and what it is for."""

    file: str
    title: str
    says: str


PAGES: dict[str, tuple[Page, ...]] = {
    "The ground": (
        Page("map", "Map", "Place heaps, kilns and water; read the verdicts."),
        Page("survey", "Walk and survey", "Sheets to take along, and the grid to type them in."),
    ),
    "The work": (
        Page("slash", "Slash", "How much there is."),
        Page("rules", "Rules and permit", "Distances, who was asked, what was looked for."),
        Page("kilns", "Kilns and clock", "Batches, char, and the clock of the day."),
        Page("water", "Water", "Does it get there, and is there enough?"),
        Page("place", "Where a kiln may stand", "Usable ground and the spots that make the least work."),
    ),
    "The day": (
        Page("when", "When", "Is it dry, which days fit, what the forecast says."),
        Page("papers", "The day's papers", "The burn-site plan to print and hold."),
        Page(
            "log",
            "Log and afterwards",
            "Fire ban and weather of the morning, what happened, and the checks until it is cold.",
        ),
    ),
    "More": (
        Page("history", "Copies and history", "Named copies, what changed when, and the way back."),
        Page("words", "Words", "What the words mean, and where figures come from."),
        Page("sites", "All sites", "What burns when, and what two sites want on one day."),
    ),
}
_ORDER = [page for pages in PAGES.values() for page in pages]


def page_of(page: Page) -> Any:
    """The page as Streamlit's navigation wants it."""
    return st.Page(_FOLDER / f"{page.file}.py", title=page.title, default=page.file == "map")


def open_page(file: str) -> None:
    """Go to another page, or run this one anew."""
    st.switch_page(_FOLDER / f"{file}.py")


def to_map(words: str, key: str, kind: str) -> None:
    """A button to the map, where a page waits for something that is drawn there.

    kind : of what is drawn; the map begins with it
    """
    st.button(words, key=key, type="primary", on_click=state.guarded(_begun_on_map), args=(kind,))


def _begun_on_map(kind: str) -> None:
    shown_on_map(None)
    state.put(BEGINS, (kind, uuid4().hex))


def led_to(file: str) -> None:
    """At a press: a page is shown next. Asked for in the run it would be lost where another run comes in between."""
    before = state.remember(_LED, None)
    state.put(_LED, {"page": file, "mark": before["mark"] + 1 if before else 1})
    state.put(state.TO_PAGE, file)


def shown_on_map(feature_id: str | None) -> None:
    """At a press: one thing is shown on the map, or none."""
    state.select(feature_id)
    led_to("map")


def stand_at(key: str, *, led: bool = False) -> None:
    """Whoever pressed by a key goes on in the first field of what has come under that key.

    led : so does a mouse or a finger that was led there, and the field comes into sight
    """
    before = state.remember(_STAND, None)
    state.put(_STAND, {"key": key, "led": led, "mark": before["mark"] + 1 if before else 1})


@contextmanager
def page(file: str) -> Iterator[None]:
    """The frame of one page: heading and undo above, what comes next below, errors as sentences in place."""
    here = next(p for p in _ORDER if p.file == file)
    to: str | None = state.remember(state.TO_PAGE, None)
    state.put(state.TO_PAGE, None)
    if to not in (None, file):
        open_page(to)
    there = state.left_for(file)
    if there is not None:
        open_page(there)
    state.put(state.PAGE, file)
    working.taken()
    state.begun()
    _style()
    reckoning.wait()
    _side(here)
    _head(here)
    with _faults_told(file), st.container(key=f"page.{file}"):
        yield
    _next(here)
    letters.follow()
    state.heard()


@contextmanager
def _faults_told(file: str) -> Iterator[None]:
    """Whatever goes wrong within it becomes a sentence in its place."""
    try:
        yield
    except PitsteadError as error:
        st.error(plain(fault_text(error, state.site())))
    except Exception as error:  # the page boundary: a fault of ours must not hide that the site is kept
        _log.exception("page %s", file)
        st.error(
            f"This is a fault of the program, not of your site, which is saved ({type(error).__name__} on this page). "
            "Undo the last change or open another page; the details are in the program's own log."
        )
        if os.environ.get("PITSTEAD_RAISE"):  # the tests want to see it
            raise


def _head(here: Page) -> None:
    kept, trouble = state.kept(), state.trouble()
    with st.container(horizontal=True, vertical_alignment="center", key="topbar"):
        st.html(
            f"<div class='ps-head'><h3>{here.title}</h3>"
            f"<p>{html.escape(kept.site.name)}{'' if trouble else _KEPT}</p></div>"
        )
        st.button(
            "Undo",
            key="undo",
            on_click=state.guarded(state.undo),
            disabled=kept.undo is None,
            help=f"Take back: {plain(kept.undo)}" if kept.undo else "Nothing to take back",
            width="content",
        )
        st.button(
            "Redo",
            key="redo",
            on_click=state.guarded(state.redo),
            disabled=kept.redo is None,
            help=f"Do again: {plain(kept.redo)}" if kept.redo else "Nothing to do again",
            width="content",
        )
    with st.container():  # always there, as are the next: what stands below them keeps its number, and so the keys
        _unkept(trouble, kept.site)
    with st.container(key="over"):
        working.show()
        download.ready()
    ring = ringing(kept.site, dt.date.today())
    with st.container():
        if ring:  # it stands on every page until the log says cold, so that it moves nothing under the hand
            st.html(ring)
    with st.container(key="said"):
        sentences = state.said()
        for sentence in sentences:
            st.warning(plain(sentence))
        if sentences:  # the next thing done takes it away too
            st.button("Hide this", key="said.close", width="content")
        sites.if_deleted()
    two_tabs.show(plain)


def _unkept(trouble: BadStore | None, site: Site) -> None:
    """On every page, as long as nothing can be kept: what is wrong, and the way out."""
    if trouble is not None:
        st.error(plain(f"Your edits are on this screen only. {fault_text(trouble, site)}"))
        st.download_button("Save the site as a file", site_text(site), "site.geojson", "application/geo+json")


def _side(here: Page) -> None:
    from sitemap.views.files import side
    from sitemap.views.sharing import panel

    turn = state.remember(letters.RUN, 0) + 1
    state.put(letters.RUN, turn)
    with st.sidebar:
        with _faults_told(here.file):  # the menu below it stands all the same
            side()
        panel.show()
        _menu(
            key="menu",
            data={
                "site": state.kept().link,
                "place": PARTS["element"],
                "sidebar": PARTS["sidebar"],
                "close": PARTS["sidebar_close"],
                "list": PARTS["menu_list"],
                "links": f"{PARTS['menu_link']}, {PARTS['page_link']}",
                "page": here.file,
                "title": here.title,
                "turn": turn,  # a new run of the old page is told as well
                "app": PARTS["app"],
                "running": APP_STATES["running"],
                "main": PARTS["main"],
                "frame": PARTS["map_frame"],
                "column": PARTS["column"],
                "here": PARTS["menu_here"],
                "passed": {
                    "help": f"{PARTS['widget_label']} {PARTS['help']}",
                    "clear": f'{PARTS["tags"]} div[role="group"] > button',
                },
                "stand": state.remember(_STAND, None),
                "led": state.remember(_LED, None),
            },
        )


def _next(here: Page) -> None:
    place = _ORDER.index(here)
    if place + 1 < len(_ORDER):
        following = _ORDER[place + 1]
        with st.container(key="next"):  # on a phone in reach of the thumb wherever the page is scrolled to
            st.page_link(
                _FOLDER / f"{following.file}.py",
                label=f"Next: {following.title}. *{following.says}*",
                icon=":material/arrow_forward:",
            )


_menu = st.components.v2.component("pitstead_menu", js=bundle(Path(__file__).with_name("menu.js")))


plain = plainly.plain


def _style() -> None:
    st.html(f"<style>{STYLE}{_FRAME}{letters.STYLE}</style>")


# Sentences about what was just done, questions, the bar of work that goes on and the file it made lie over the page, in
# sight wherever it is scrolled to: above the map they would move it under the hand. The bar with undo stays in sight,
# and so does the map, while what it means is scrolled beside it; on a phone the map comes first. The page's own header
# is kept, its empty height is not. Where the keys stand is seen as on the map, in a field too. Whatever is touched is
# 44 px high; a phone enlarges a page under the finger where a field's type is smaller than 16 px. Between a choice and
# the run that hears of it the framework shows a cross that empties it: for the Tab key that would be a stop which is
# gone a moment later, with the letters typed meanwhile; each choice that may be blank has a dash for that. What opens
# over a page lies outside the app's own element, and looks alike.
_FRAME = Template(
    """
.block-container {padding: 0 2.2rem 3rem; max-width: 1700px}
$header {background: none; height: 3.2rem; min-height: 0}
$header, $header * {pointer-events: none}
$header :is(button, button *) {pointer-events: auto}
:root :is($button, $popover_button, $page_link, $menu_link, $button_group button, $radio, summary,
  label:has(input[type="checkbox"]), $select_box :is(button, [role="group"]), $text_input) {min-height: 44px}
:root $menu_link * {white-space: normal; line-height: 1.2}
:root h4 {font-size: 1.15rem; padding: .6rem 0 .8rem}
:root h5 {font-size: 1rem; padding: .5rem 0 .8rem}
:root $block {gap: .75rem}
:root $block[class*="st-key-rows-"] {gap: .4rem}
:root $caption, :root $caption * {color: #3d423a; font-size: .875rem; opacity: 1}
$alert :is(p, li), $uploader :is(span, small) {color: #1d1d1d}
:root $anchor, $element:has($chart) $toolbar {display: none}
:root :is($button, $radio) {min-width: 44px}
:root :is($help, $tags span > button) {position: relative}
:root :is($select_box button, $tags div[role="group"] > button) {min-width: 44px; min-height: 44px}
:root $tags div[role="group"] {min-height: 44px; max-height: none}
$select_box [role="group"] button:not([tabindex="-1"]) {display: none}
:root $widget_label $help {min-height: 0}
:root $select_box $widget_label $help {min-width: 0; min-height: 0}
:root $help::after {content: ""; position: absolute; inset: -14px -11px -14px -17px}
:root $tags span > button::after {content: ""; position: absolute; inset: -19px -15px}
:root :is($button, $popover_button, $page_link, $menu_link, $button_group button, summary, textarea):focus-visible,
:root :is($text_input, $select_box [role="group"], $tags div[role="group"]):has(input:focus-visible) {
  outline: 3px solid #005a87; outline-offset: -2px; box-shadow: none}
$wrapper:has(> .st-key-topbar) {position: sticky; top: 0; z-index: 999;
  background: #fff; padding: .5rem 0 .4rem; border-bottom: 1px solid #dfe2d8}
.st-key-topbar {flex-wrap: nowrap}
$wrapper:has(> :is(.st-key-said, .st-key-reckoning, .st-key-over)) {position: absolute}
.st-key-reckoning {position: fixed; z-index: 1000; top: 5.2rem; right: 2.2rem; width: min(36rem, 92vw);
  background: #fff; border-radius: .5rem; box-shadow: 0 2px 14px #0005; padding: .8rem}
:root :is(.st-key-working, .st-key-ready) {position: fixed; z-index: 997; bottom: 1rem; right: 2.2rem;
  width: min(26rem, 92vw); background: #fff; border-radius: .5rem; box-shadow: 0 2px 14px #0005; padding: .8rem}
.stApp:has(.st-key-working) .st-key-ready {bottom: 6.5rem}  /* the bar of what is made next leaves it in reach */
.st-key-said {position: fixed; z-index: 998; top: 5.2rem; right: 2.2rem; width: min(36rem, 92vw); pointer-events: none}
.st-key-said $alert {background: #fff; border-radius: .5rem; box-shadow: 0 2px 14px #0005}
.st-key-said $button {pointer-events: auto; background: #fff; box-shadow: 0 2px 14px #0005}
$wrapper:has(> .st-key-clashes) {position: absolute}
.st-key-clashes {position: fixed; z-index: 998; bottom: 4.5rem; right: 2.2rem; width: min(36rem, 92vw)}
.st-key-clashes [class*="st-key-clash-"] {background: #fff}
$element:has(.ps-head) {min-width: 0; flex: 1 1 auto}
.ps-ring {border: 3px solid #8b1a1a; border-left-width: 12px; background: #fff; color: #1d1d1d; padding: .5rem .8rem;
  font-size: 1rem; overflow-wrap: anywhere}
.ps-ring strong {color: #8b1a1a}
.ps-head h3 {padding: 0; margin: 0; font-size: 1.35rem}
.ps-head p {margin: 0; font-size: .875rem; color: #3d423a; white-space: nowrap; overflow: hidden;
  text-overflow: ellipsis}
[class*="st-key-input-"]:has(.ps-day) {position: relative}
[class*="st-key-input-"]:has(.ps-day) input {padding-right: 3rem}
$element:has(.ps-day) {position: absolute; right: .8rem; bottom: 0; width: auto; pointer-events: none}
:root :is($button, $popover_button) $spoken {position: absolute; clip-path: inset(50%); width: 1px;
  height: 1px; overflow: hidden}
.ps-day {line-height: 44px; color: #3d423a}
$map_frame {height: max(420px, calc(100vh - 6.5rem)) !important}
:root .st-key-look-map $map_frame {height: 420px !important}
.st-key-sharing img {height: 180px}
.st-key-papers-shown iframe {height: min(900px, 75vh)}
$page_link :is(span, p) {white-space: normal; overflow: visible}
.st-key-next em {font-style: normal}
$multiselect {overflow-x: clip}
:has(> [role="listbox"] > [role="presentation"]) {display: flex; flex-direction: column}
[role="listbox"]:has(> [role="presentation"]) {min-height: 0; flex: 0 1 auto}  /* above a keyboard it ends in sight */
[class*="st-key-part-"] {border-top: 1px solid #dfe2d8; padding-top: .6rem}
[class*="st-key-row-"] > $wrapper > $row:has(details[open]) {flex-wrap: wrap}
[class*="st-key-row-"] > $wrapper > $row:has(details[open]) > $column {flex: 1 1 100%; min-width: 100%}
@media (max-width: 1199px) {
  [class*="st-key-beside-"] > $wrapper > $row {flex-wrap: wrap}
  [class*="st-key-beside-"] > $wrapper > $row > $column {flex: 1 1 100%; min-width: 100%}
}
@media (min-width: 641px) {
  $column:has($map_frame) {position: sticky; top: 5rem;
    align-self: flex-start}
}
@media (max-width: 640px) {
  .block-container {padding-left: .7rem; padding-right: .7rem; padding-bottom: 1rem}
  :root :is(input, textarea) {font-size: 1rem}
  :root $block, :root $row {row-gap: .5rem}
  [class*="st-key-means-"] :is([class*="st-key-lead-"], [class*="st-key-check-"]) {margin: -.7rem 0}
  [class*="st-key-means-"] .ps-verdict {line-height: 1.35}
  [role="listbox"] > [role="option"] {min-height: 44px}
  [role="listbox"]:has(> [role="presentation"]) {zoom: 1.1}  /* rows of a long list have a place of 40 px each */
  :root h4 {padding: .3rem 0 .8rem}
  [class*="st-key-part-"] {padding-top: .2rem}
  .ps-head {padding-left: 2.6rem}
  .st-key-said, .st-key-clashes, .st-key-reckoning {right: 4vw}
  :root :is(.st-key-working, .st-key-ready) {right: 4vw; bottom: 4rem}
  :root:has(.st-key-working) .st-key-ready {bottom: 9.5rem}
  $wrapper:has(> .st-key-next) {position: sticky; bottom: 0; z-index: 5; background: #fff;
    border-top: 1px solid #dfe2d8}
  .st-key-next em {display: none}
  .ps-head h3 {font-size: 1.15rem}
  $map_frame {height: max(340px, 62vh) !important}
  :is([class*="st-key-form"], [class*="st-key-record"], [class*="st-key-looked"]) $row {flex-wrap: wrap; gap: .5rem}
  :is([class*="st-key-form"], [class*="st-key-record"], [class*="st-key-looked"]) $row > $column {
    min-width: calc(50% - .25rem); flex: 1 1 calc(50% - .25rem)}
  :is([class*="st-key-form"], [class*="st-key-record"]) $row > $column:has($multiselect) {flex-basis: 100%}
  [class*="st-key-record-"] $button $spoken {position: static; clip-path: none; width: auto; height: auto;
    color: inherit !important}
  [class*="st-key-rows-"] > $wrapper + $wrapper:has(> [class*="st-key-record-"]) {
    border-top: 2px solid #b9beb2; padding-top: .5rem}
  $open_sidebar {width: 88vw !important}
  .st-key-image-points $row {flex-wrap: nowrap; gap: .5rem}
  .st-key-image-points $row > $column {min-width: 0; flex: 1 1 auto}
  .st-key-image-points $row > $column:last-child {flex: none; width: 44px}
  $row > $column:not(:has($element, details)) {display: none}
  .ps-kept {display: none}
}
"""
).substitute(PARTS)
