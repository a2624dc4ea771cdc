"""The side of every page: which site is open, bring one in, take it along, units."""

from __future__ import annotations

import re
from functools import partial
from typing import Any

import streamlit as st

from sitemap.ahead import has_dates
from sitemap.assessment import of_assessed
from sitemap.site.bundle import write_bundle
from sitemap.site.file import site_text
from sitemap.site.model import Site
from sitemap.site.photos import contents
from sitemap.views import download, samples, sites, state, working
from sitemap.views.folds import fold
from sitemap.wording import SYSTEM_NAMES


def side() -> None:
    """Site, units, open and save."""
    site = state.site()
    name = st.text_input("Site", **state.text("site.name", site.name), max_chars=120, on_change=state.guarded(_rename))
    st.segmented_control(
        "Units",
        list(SYSTEM_NAMES),
        **state.choices("site.units", site.units),
        format_func=lambda system: SYSTEM_NAMES[system].split()[0],  # both beside each other
        on_change=state.guarded(_units),
        width="stretch",
    )

    def other() -> None:
        st.button("Start an own site", key="open.new", on_click=state.guarded(sites.start_own), width="stretch")
        named = samples.names()
        sample = st.selectbox("Sample site", list(named), format_func=named.__getitem__, key="open.sample")
        st.button(
            "Open the sample",
            key="open.sample.go",
            on_click=state.guarded(_open_sample),
            args=(sample,),
            width="stretch",
        )
        sites.show()
        st.file_uploader(
            "Site file (.geojson or .zip)",
            ["geojson", "json", "zip"],
            key="open.file",
            on_change=state.guarded(_upload),
        )

    fold("Open", "files.open", other)

    def save() -> None:
        stem = re.sub(r"[^A-Za-z0-9]+", "-", name or "site").strip("-").lower() or "site"
        st.download_button(
            "Site file (.geojson)",
            partial(site_text, site),  # made when asked for: the address of a ready file goes with every edit
            f"{stem}.geojson",
            "application/geo+json",
            on_click="ignore",
            width="stretch",
        )
        if site.member.get("files"):
            st.download_button(
                "With elevation and pictures (.zip)",
                lambda: write_bundle(site, state.store().file),
                f"{stem}.zip",
                "application/zip",
                on_click="ignore",
                width="stretch",
            )
        if any(feature.shape is not None for feature in site.features) and not state.holding().unwanted:
            _exports(stem)

    fold("Save and take along", "files.save", save)


def _exports(stem: str) -> None:
    """The open site for other programs."""
    a = state.assessment()

    def task(ending: str) -> tuple[Any, ...]:
        from sitemap.plan.exports import export_bytes  # at the press: the papers are half of the program

        return export_bytes, *download.asked_now(), ending, contents(state.site(), state.store().file)

    calendar = ((".ics", "Clock and cold checks for a calendar (.ics)"),)
    for ending, label in (
        (".gpx", "For a phone (.gpx)"),
        (".gpkg", "For other map programs (.gpkg)"),
        (".html", "Phone page: sheets, ticks and log (.html)"),
        (".csv", "As a table (.csv)"),
        *(calendar if has_dates(a) else ()),
    ):
        download.button(label, partial(str, f"{stem}{ending}"), of_assessed, partial(task, ending), key=f"take{ending}")


def _rename() -> None:
    state.edit("Renamed the site", state.site().with_member("name", state.typed("site.name") or None))


def _units() -> None:
    chosen = state.typed("site.units")
    if chosen:
        state.edit("Changed the units", state.site().with_member("units", chosen))


def _open_sample(name: str) -> None:
    state.open_sample(name)


def _upload() -> None:
    uploaded = state.typed("open.file")
    if uploaded is None:
        return
    from sitemap.site.imports.upload import read_upload

    working.begin(
        f"Reading {uploaded.name}",
        read_upload,
        uploaded.name,
        uploaded.getvalue(),
        then=_open,
    )


def _open(read: tuple[Site, dict[str, bytes]]) -> None:
    site, files = read
    for data in files.values():
        state.store().keep_file(data)
    state.open_new(site)
