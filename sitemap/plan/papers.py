"""The documents a plan becomes: PDF, page, and the table beside them."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path

from sitemap.assessment import Assessment
from sitemap.errors import BadFile
from sitemap.plan.charts import chart
from sitemap.plan.contents import ALL, plan_of
from sitemap.plan.html import html_of
from sitemap.plan.largest import heaps_table
from sitemap.plan.map import SIZES_MM, map_svg
from sitemap.plan.model import BurnPlan, MapHere, blocks_of
from sitemap.plan.pdf import pdf_of
from sitemap.plan.phrases import words_for
from sitemap.reasons import reason
from sitemap.wording import usual_paper

Photos = Mapping[str, bytes]


def plan_html(
    a: Assessment,
    paper: str | None = None,
    keys: Iterable[str] = ALL,
    language: str | None = None,
    photos: Photos | None = None,
) -> str:
    """The sheets as one HTML page that needs nothing else.

    paper : "a4" or "letter", by the units of the site where left out; keys, language : as of `plan_of`
    photos : JPEG by sha256, as far as they are kept here
    """
    plan, paper = plan_of(a, keys, language), paper or usual_paper(a.source.units)
    return html_of(plan, _maps(a, plan, paper), paper, photos=photos)


def plan_pdf(
    a: Assessment,
    paper: str | None = None,
    keys: Iterable[str] = ALL,
    language: str | None = None,
    photos: Photos | None = None,
) -> bytes:
    """The sheets as PDF; paper, keys, language, photos : as of `plan_html`."""
    plan, paper = plan_of(a, keys, language), paper or usual_paper(a.source.units)
    return pdf_of(plan, _maps(a, plan, paper), a.on, paper, photos)


def write_plan(
    a: Assessment,
    path: str | Path,
    paper: str | None = None,
    keys: Iterable[str] = ALL,
    language: str | None = None,
    photos: Photos | None = None,
) -> None:
    """Write the plan to a file, whole or not at all; of many heaps a table of every one beside it, FILE-heaps.csv.

    Parameters
    ----------
    a : of the site on the burn date
    path : ends in .html or .pdf
    paper : "a4" or "letter", by the units of the site where left out
    keys, language : as of `plan_of`
    photos : as of `plan_html`

    Raises
    ------
    BadFile : another ending, or a place that cannot be written to; nothing is written then
    BadValue : a paper, a sheet or a language that does not exist
    """
    path, keys = Path(path), tuple(keys)
    ending = path.suffix.lower()
    if ending not in (".html", ".pdf"):
        raise BadFile(reason("command.ending", name=path.name, known=(".html", ".pdf")))
    if not path.parent.is_dir():
        raise BadFile(reason("command.no_folder", path=str(path), folder=str(path.parent)))
    if path.is_dir():
        raise BadFile(reason("command.is_folder", path=str(path)))
    page = ending == ".html"
    content = (
        plan_html(a, paper, keys, language, photos).encode() if page else plan_pdf(a, paper, keys, language, photos)
    )
    table = heaps_table(a) if "annex" in keys else None
    try:
        _put(path, content)
        if table is not None:
            _put(path.with_name(f"{path.stem}-heaps.csv"), table)
    except OSError as error:
        raise BadFile(reason("command.cannot_write", path=str(path), why=error.strerror or str(error))) from error


def _put(path: Path, content: bytes) -> None:
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".plan-")
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(content)
        mask = os.umask(0)
        os.umask(mask)
        Path(name).chmod(0o666 & ~mask)  # as any other file a person makes, not private as a temporary one
        os.replace(name, path)
    except OSError:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise


def _maps(a: Assessment, plan: BurnPlan, paper: str) -> dict[str, str | None]:
    """The maps and charts that stand on the sheets, each drawn once."""
    versions = [blocks for sheet in plan.sheets for blocks in (sheet.blocks, *sheet.shorter)]
    blocks = (block for version in versions for block in blocks_of(version))
    sizes = dict.fromkeys(block.size for block in blocks if isinstance(block, MapHere))
    words = words_for(a.source, plan.language)
    return {size: map_svg(a, size, paper, words) if size in SIZES_MM else chart(a, size, words) for size in sizes}
