"""Bring in what the phone or a spreadsheet holds: a look first, then it is kept."""

from __future__ import annotations

import datetime as dt
from typing import Any

import streamlit as st

from sitemap.errors import PitsteadError
from sitemap.site.attributes import Attribute
from sitemap.site.equipment import RECORDS
from sitemap.site.frozen import FrozenDict, thaw
from sitemap.site.imports import ENDINGS, bring_text
from sitemap.site.imports.brought import Brought
from sitemap.site.imports.looking import looked_into, prepared
from sitemap.site.imports.returned import Returned, is_returned, read_returned, with_returned
from sitemap.site.kinds import KINDS
from sitemap.site.model import Entry, Site
from sitemap.views import sharing, state, working
from sitemap.views.faults import unchanged_text
from sitemap.views.frame import plain
from sitemap.views.inputs import address, drafts, forms, look
from sitemap.views.inputs.records import in_words

_READ, _ASKED = "bring.read", "bring.asked"
_HEAD_BYTES = 4000  # tell what an upload is
_UPLOAD = "File of a phone, a spreadsheet or a map program"
_BY_NAME = "by name and column"
_GUESSED = {"": _BY_NAME, **{key: kind.plural for key, kind in KINDS.items()}}
_WORDS = (
    Attribute("date", "Date", "date"),
    Attribute("from", "From", "text"),
    Attribute("text", "Words", "text"),
)


def show() -> None:
    """Upload or paste; look; keep."""
    site = state.site()
    left, right = st.columns(2)
    kind = left.selectbox("What the rows are", list(_GUESSED), format_func=_GUESSED.__getitem__, key="bring.kind")
    systems = {"metric": "m, cm, kg", "us": "feet, inches, pounds"}
    unit = right.segmented_control(
        "Numbers without a unit are in",
        list(systems),
        default=site.units,
        format_func=systems.__getitem__,
        key="bring.u",
    )
    upload = st.file_uploader(
        _UPLOAD,
        ENDINGS,
        key="bring.file",
        help="GPX, CSV, GeoJSON, GeoPackage, FlatGeobuf, KML, KMZ or a zipped Shapefile, in any coordinate system; "
        "also the file that the phone page makes at the landing.",
    )
    pasted = st.text_area(
        "Or paste rows from a spreadsheet, headings included",
        key=_fresh("bring.text"),
        height=120,
        placeholder="No\tShape\tLength (ft)\tWidth (ft)\tHeight (ft)\tBearing\tPaces\tFrom",
    )
    if sharing.may_ask_the_net():
        with st.expander("From an address on the network", key="bring.address"):
            address.show()
    chosen = kind or None, unit or site.units, _system()
    try:
        if upload is not None and is_returned(upload.getvalue()[:_HEAD_BYTES].decode("utf-8", "replace")):
            _look_returned(read_returned(upload.name, upload.getvalue().decode("utf-8", "replace"), site))
        elif upload is not None:
            brought = _read_once(upload, site, *chosen)
            if brought is not None:
                _ask(brought)
                _look(site, brought)
        elif pasted.strip():
            brought = prepared(bring_text("What was pasted", pasted, site, *chosen))
            _ask(brought)
            _look(site, brought)
    except PitsteadError as bad:
        st.error(plain(unchanged_text(bad, site)))


def _system() -> str | None:
    """The coordinate system of eastings and northings, where what was brought does not say it."""
    if not state.remember(_ASKED, False):
        return None
    label = "Coordinate system of the eastings and northings"
    return drafts.text(st, label, "draft.bring.system", placeholder="UTM 33N, UTM 56 south, EPSG:25833").strip() or None


def _ask(brought: Brought) -> None:
    """Ask for it from now on."""
    if brought.asks_system and not state.remember(_ASKED, False):
        state.put(_ASKED, True)
        st.rerun()


def _read_once(upload: Any, site: Site, kind: str | None, unit: str, system: str | None) -> Brought | None:
    """What an upload holds, read anew only when it, the site or a choice is another: every tick runs the page. None
    while it is read. Raises BadFile for what cannot be read, and where the reading was stopped."""
    asked = (upload.file_id, kind, unit, system)

    def read(what: Brought | PitsteadError | None) -> None:
        state.put(_READ, (asked, site, what))

    held = state.remember(_READ, None)
    if held is None or held[0] != asked or held[1] is not site:
        read(None)
        working.begin(
            f"Reading {upload.name}",
            looked_into,
            *(upload.name, upload.getvalue(), site, kind, unit, system),
            then=read,
            refused=read,
        )
        st.rerun()
    found: Brought | PitsteadError | None = held[2]
    if isinstance(found, PitsteadError):
        raise found
    return found


def _look_returned(returned: Returned) -> None:
    """What was ticked and written at the landing: a look, then it is kept."""
    st.markdown(f"##### From the landing: {_entries(returned.count)} new, {returned.doubles} here already")
    for key in ("ticks", "log", "cold", "bags"):
        for each in getattr(returned, key):
            st.markdown("- " + plain(in_words(Entry(FrozenDict(each), RECORDS[key].attributes))))
    st.button(
        f"Keep {_entries(returned.count)}",
        key="bring.returned",
        type="primary",
        disabled=not returned.count,
        on_click=state.guarded(_keep_returned),
        args=(returned,),
        width="stretch",
    )


def _keep_returned(returned: Returned) -> None:
    count = _entries(returned.count)
    state.edit(f"Brought in {count} from the landing", with_returned(state.site(), returned))
    state.say(f"Kept {count} from the landing: see the page Log. Undo takes that back.")


def _entries(count: int) -> str:
    return f"{count} {'entry' if count == 1 else 'entries'}"


def words() -> None:
    """Free words: kept as notes of the site."""
    st.caption("A page of free words, a talk over the fence, a thing to remember. It is kept with the site as it is.")
    forms.records_table(_WORDS, _kept_words, "notes", _keep_notes, len(_WORDS), add="Add")
    text = st.text_area("Write or paste here", key=_fresh("words.text"), height=160)
    st.button(
        "Keep as a note",
        key="words.go",
        disabled=not text.strip(),
        on_click=state.guarded(_keep_words),
        args=("", text),
    )


def _kept_words() -> list[Entry]:
    notes = state.site().member.get("notes") or ()
    return [Entry(note, _WORDS) for note in notes if isinstance(note, FrozenDict)]


def _fresh(key: str) -> str:
    """The key of a field that is empty again once what was typed in it is kept."""
    return f"{key}.{state.remember(key, 0)}"


def _kept(key: str) -> None:
    state.typed(_fresh(key))  # which tells the browser that it has been taken
    state.put(key, state.remember(key, 0) + 1)


def _keep_notes(rows: list[dict[str, Any]]) -> None:
    state.edit("Notes changed", state.site().with_member("notes", rows or None))


def _keep_words(source: str, text: str) -> None:
    site = state.site()
    note = {"date": dt.date.today().isoformat(), "text": text.strip()} | ({"from": source} if source else {})
    state.edit("Kept a note", site.with_member("notes", [*thaw(site.member.get("notes") or ()), note]))
    _kept("bring.text" if source else "words.text")


def _look(site: Site, brought: Brought) -> None:
    if brought.words:
        st.info("This is no table. It can be kept as a note, word for word.")
        st.button(
            "Keep as a note", key="bring.words", on_click=state.guarded(_keep_words), args=(brought.name, brought.words)
        )
        return
    look.show(site, brought, "bring")
