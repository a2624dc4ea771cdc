"""The survey sheets as PDF: heaps, ground, moisture, and the list before leaving home. The same site
gives the same bytes.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from sitemap.errors import BadValue
from sitemap.plan.before import GROUPS, HEAPS_A_SHEET, before, heap_sheets, look_for, taped_text, unit_word, words
from sitemap.plan.pdf import typeset
from sitemap.reasons import reason
from sitemap.site.model import Site
from sitemap.units import SYSTEMS
from sitemap.wording import PAPERS

SHEETS = ("before", "heaps", "ground", "moisture")
STAMP = dt.datetime(2000, 1, 1, tzinfo=dt.UTC)  # a sheet has no date until somebody writes one on it
_BUCKET = {"metric": (20, "l"), "us": (5, "l")}


def sheets_pdf(
    site: Site,
    which: tuple[str, ...] = SHEETS,
    language: str = "en",
    paper: str = "a4",
    units: str | None = None,
) -> bytes:
    """Survey sheets to print.

    Parameters
    ----------
    site : its name stands on each sheet, and the list before leaving follows from what it lacks
    which : some of SHEETS, in the order wanted; as many sheets of heaps as the site asks for
    language : "en" or "es"
    paper : "a4" or "letter"
    units : "metric" or "us"; those of the site where left out

    Returns
    -------
    the PDF

    Raises
    ------
    BadValue : a sheet, language, paper or system that does not exist
    """
    if paper not in PAPERS:
        raise BadValue(reason("command.paper", known=tuple(PAPERS), value=paper))
    if units not in (None, *SYSTEMS):
        raise BadValue(reason("command.units", known=tuple(SYSTEMS), value=units))
    strange = [sheet for sheet in which if sheet not in SHEETS]
    if strange or not which:
        raise BadValue(reason("command.sheets", known=SHEETS, value=tuple(strange) or ("–",)))
    data = sheet_data(site, which, language, units or site.units) | {"paper": PAPERS[paper].typst}
    return typeset("survey", data, STAMP)


def sheet_data(site: Site, which: tuple[str, ...], language: str, system: str) -> dict[str, Any]:
    """Everything that stands on the sheets, as plain JSON values."""
    said = words(language)
    count, unit = _BUCKET[system]
    bucket = f"{count} {unit_word(unit, system, said)}"
    how = {
        key: text.format(taped=taped_text(system, said), bucket=bucket, flow=f"{bucket}/min")
        for key, text in said["how"].items()
    }
    lines = before(site, language, system)
    length = unit_word("m", system, said)
    return {
        "words": {**said, "how": how},
        "site": str(site.member.get("name") or ""),
        "which": list(which),
        "heap_sheets": heap_sheets(site),
        "heaps_a_sheet": HEAPS_A_SHEET,
        "length": length,
        "thickness": unit_word("cm", system, said),
        "litres": unit_word("l", system, said),
        "temperature": "°F" if system == "us" else "°C",
        "looked": [[said["kinds"][kind], f"{far:g} {length}"] for kind, far in look_for(system)],
        "before": [
            {
                "title": said["before"][group],
                "lines": [i.text for i in lines if i.group == group],
                "short": group == "look",
            }
            for group in GROUPS
        ],
    }
