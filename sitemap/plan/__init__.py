"""The burn-site plan: what is said (`plan_of`), and the documents it becomes."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

from sitemap.assessment import Assessment
from sitemap.errors import BadFile
from sitemap.plan.contents import plan_of
from sitemap.plan.html import html_of
from sitemap.plan.map_figure import map_svg
from sitemap.plan.pdf import pdf_of

__all__ = ["plan_html", "plan_of", "plan_pdf", "write_plan"]


def plan_html(assessment: Assessment, paper: str = "a4") -> str:
    """The plan as one HTML page that needs nothing else; paper : "a4" or "letter"."""
    return html_of(plan_of(assessment), _maps(assessment), paper)


def plan_pdf(assessment: Assessment, paper: str = "a4") -> bytes:
    """The plan as PDF; paper : "a4" or "letter"."""
    return pdf_of(plan_of(assessment), _maps(assessment), assessment.on, paper)


def write_plan(assessment: Assessment, path: str | Path, paper: str = "a4") -> None:
    """Write the plan to a file, whole or not at all.

    Parameters
    ----------
    assessment : of the site on the burn date
    path : ends in .html or .pdf
    paper : "a4" or "letter"

    Raises
    ------
    BadFile : another ending, or a place that cannot be written to; nothing is written then
    """
    path = Path(path)
    ending = path.suffix.lower()
    if ending not in (".html", ".pdf"):
        raise BadFile(
            f"The plan is written as .html or .pdf; {path.name!r} ends in {ending or 'nothing'!r}. Rename it."
        )
    if not path.parent.is_dir():
        raise BadFile(f"The plan cannot be written to {path}: there is no folder {path.parent}. Make it first.")
    if path.is_dir():
        raise BadFile(f"The plan cannot be written to {path}: that is a folder. Give the file a name.")
    content = plan_html(assessment, paper).encode() if ending == ".html" else plan_pdf(assessment, paper)
    try:
        _put(path, content)
    except OSError as error:
        raise BadFile(
            f"The plan cannot be written to {path}: {error.strerror or error}. Choose another place."
        ) from error


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


def _maps(assessment: Assessment) -> dict[str, str | None]:
    return {size: map_svg(assessment, size) for size in ("small", "full")}
