"""The plan as PDF, set by typst. Words travel as data and are never read as markup."""

from __future__ import annotations

import datetime as dt
import json
import tempfile
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path

from sitemap.errors import BadValue
from sitemap.plan.model import BurnPlan, plain_values

PAPERS = {"a4": "a4", "letter": "us-letter"}


def pdf_of(plan: BurnPlan, maps: Mapping[str, str | None], on: dt.date, paper: str = "a4") -> bytes:
    """The PDF.

    Parameters
    ----------
    plan : what is said
    maps : SVG element by size, or None where nothing is placed
    on : burn date, also the date in the file, so that the same plan gives the same bytes
    paper : "a4" or "letter"

    Returns
    -------
    the file

    Raises
    ------
    BadValue : another paper
    """
    import matplotlib as mpl
    import typst

    if paper not in PAPERS:
        raise BadValue(f"The plan is printed on {' or '.join(PAPERS)}; it says {paper!r}. Choose one.")
    data = {"plan": plain_values(plan), "maps": [size for size, svg in maps.items() if svg], "paper": PAPERS[paper]}
    moment = dt.datetime.combine(on, dt.time(12), dt.UTC)
    with tempfile.TemporaryDirectory(prefix="plan-") as folder:
        place = Path(folder)
        place.joinpath("plan.json").write_text(json.dumps(data, ensure_ascii=False), encoding="utf-8")
        for size, svg in maps.items():
            if svg:
                place.joinpath(f"{size}.svg").write_text(svg, encoding="utf-8")
        template = place / "plan.typ"
        template.write_text(files(__package__).joinpath("plan.typ").read_text(encoding="utf-8"), encoding="utf-8")
        return bytes(
            typst.compile(
                str(template),
                format="pdf",
                root=folder,
                font_paths=[str(Path(mpl.get_data_path()) / "fonts" / "ttf")],
                timestamp=int(moment.timestamp()),
            )
        )
