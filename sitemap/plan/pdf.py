"""The plan as PDF, and how typst sets any of our papers. Words travel as data and are never read as markup.

Only fonts that come with installed packages are used and the date in the file is given, so that the same words give the
same bytes.
"""

from __future__ import annotations

import datetime as dt
import json
import re
import tempfile
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from html import unescape
from importlib.resources import files
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sitemap.errors import BadValue
from sitemap.plan.fonts import folders, lacking, set_in_type, typed
from sitemap.plan.map.pen import width_mm
from sitemap.plan.model import BurnPlan, MapHere, Paragraph, Pictures, blocks_of, every_block, plain_values, words_of
from sitemap.plan.phrases import Words
from sitemap.plan.say import shortened
from sitemap.reasons import reason
from sitemap.wording import PAPERS

if TYPE_CHECKING:
    import typst

_NO_DATE = dt.date(2000, 1, 1)  # in the file where no burn date is set
#  The typesetter keeps what it worked out for its last ten documents, 150 MB for each of our plans. Nine empty pages
#  before the next leave it the last one alone: the same plan again, edited, takes half the time, and an app that stays
#  open for days does not grow.
_REMEMBERED = 10
_documents = count()  # set in this process
_HEAD = 90  # letters of the site's name over each side: one line
_SHOWN = 60  # letters of a text that is named because it cannot be printed


def pdf_of(
    plan: BurnPlan,
    maps: Mapping[str, str | None],
    on: dt.date | None,
    paper: str = "a4",
    photos: Mapping[str, bytes] | None = None,
) -> bytes:
    """The PDF.

    Parameters
    ----------
    plan : what is said
    maps : SVG element by size, or None where nothing is placed
    on : burn date, also the date in the file, so that the same plan gives the same bytes; None: a fixed one
    paper : "a4" or "letter"
    photos : JPEG by sha256; one that is not there is said to be missing

    Returns
    -------
    the file

    Raises
    ------
    BadValue : another paper
    """
    if paper not in PAPERS:
        raise BadValue(reason("command.paper", known=tuple(PAPERS), value=paper))
    drawn = {size: svg for size, svg in maps.items() if svg}
    sizes = {size: width_mm(svg) for size, svg in drawn.items()}  # set as drawn: 1 : n is true
    told = told_of(replace(plan, name=shortened(plan.name, _HEAD)), drawn)
    data = {"plan": plain_values(told), "maps": sizes, "paper": PAPERS[paper].typst}
    kept = _kept(plan, photos or {})
    data |= {"photos": list(kept), "missing": Words(plan.language, "metric")("photos.missing")}
    pictures: dict[str, str | bytes] = {f"{size}.svg": typed(svg) for size, svg in drawn.items()}
    pictures |= {f"photo-{number}.jpg": content for number, content in enumerate(kept.values())}
    return typeset("plan", data, dt.datetime.combine(on or _NO_DATE, dt.time(12), dt.UTC), pictures)


def _kept(plan: BurnPlan, photos: Mapping[str, bytes]) -> dict[str, bytes]:
    """The photos of a plan that are there."""
    blocks = [block for block in every_block(plan) if isinstance(block, Pictures)]
    wanted = dict.fromkeys(picture.key for block in blocks for picture in block.shown)
    return {key: photos[key] for key in wanted if key in photos}


def told_of(plan: BurnPlan, drawn: Mapping[str, str]) -> BurnPlan:
    """The plan with a sentence on each sheet on which a letter stands that no font of ours has."""
    words = Words(plan.language, "metric")
    sheets = []
    for sheet in plan.sheets:
        sizes = {block.size for block in blocks_of(sheet.blocks) if isinstance(block, MapHere)} & drawn.keys()
        on_maps = (unescape(text) for size in sorted(sizes) for text in re.findall(r">([^<>]+)</text>", drawn[size]))
        lacks = lacking((plan.name, *words_of(sheet), *on_maps))
        told = tuple(
            Paragraph(words("shared.no_type", text=typed(text)[:_SHOWN], scripts=", ".join(scripts)), "small")
            for text, scripts in lacks.items()
        )
        longer = tuple((*blocks, *told) for blocks in sheet.shorter)
        sheets.append(replace(sheet, blocks=(*sheet.blocks, *told), shorter=longer) if told else sheet)
    return replace(plan, sheets=tuple(sheets))


def typeset(
    name: str, data: Mapping[str, Any], stamp: dt.datetime, more: Mapping[str, str | bytes] | None = None
) -> bytes:
    """A document of ours set by typst.

    Parameters
    ----------
    name : of its template `NAME.typ`, which reads its words from `NAME.json`; every other template may be imported
    data : the words, as plain JSON values
    stamp : the date in the file
    more : further files by name, such as pictures

    Returns
    -------
    the PDF
    """
    if next(_documents):
        forget(_REMEMBERED - 1)
    templates = (file for file in files(__package__).iterdir() if file.name.endswith(".typ"))
    texts = {file.name: file.read_text(encoding="utf-8") for file in templates}
    texts |= {f"{name}.json": json.dumps(set_in_type(data), ensure_ascii=False)}
    with tempfile.TemporaryDirectory(prefix="papers-") as folder:
        for file, text in {**texts, **(more or {})}.items():
            Path(folder, file).write_bytes(text if isinstance(text, bytes) else text.encode())
        return _compiled(str(Path(folder, f"{name}.typ")), root=folder, timestamp=int(stamp.timestamp()))


def forget(documents: int = _REMEMBERED) -> None:
    """Let the typesetter let go of so many of the documents it remembers, the oldest first: of all, when none is like
    the next.
    """
    for _ in range(documents):
        _compiled(b"")


def _compiled(source: str | bytes, **more: Any) -> bytes:
    import typst

    return bytes(typst.compile(source, format="pdf", font_paths=_fonts(), ignore_system_fonts=True, **more))


@cache
def _fonts() -> typst.Fonts:
    """Our letters, read once: to read them takes longer than to set a page."""
    import typst

    return typst.Fonts(font_paths=[str(folder) for folder in folders()], include_system_fonts=False)
