"""The plan as one HTML page: nothing fetched, no script; prints on A4 and Letter, reads on a phone."""

from __future__ import annotations

import base64
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from html import escape
from importlib.resources import files
from typing import Any

from sitemap.errors import BadValue
from sitemap.plan.html_room import fitted
from sitemap.plan.letters import shown
from sitemap.plan.model import (
    Blanks,
    Block,
    Boxes,
    BurnPlan,
    Cell,
    Facts,
    Items,
    MapHere,
    Paragraph,
    Pictures,
    Section,
    Sheet,
    Sides,
    Table,
    Warned,
)
from sitemap.plan.phrases import Words
from sitemap.reasons import reason
from sitemap.telling.unbroken import unbroken
from sitemap.wording import PAPERS

_POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:"  # no script, nothing from outside, whatever slips in
)
_MISSING = "missing"  # among the drawings: what is said of a photo that is not there
_FEW = 2  # columns a phone has room for side by side; more become a card a row


@dataclass(frozen=True)
class Live:
    """What a page that is written in has beside the sheets.

    policy : what it may do; style : more of it; end : at the end of the page
    inserted : after the last sheet of a key: (key, anchor, title in the contents or "", HTML)
    """

    policy: str
    style: str
    end: str
    inserted: tuple[tuple[str, str, str, str], ...]


def html_of(
    plan: BurnPlan,
    maps: Mapping[str, str | None],
    paper: str = "a4",
    live: Live | None = None,
    photos: Mapping[str, bytes] | None = None,
) -> str:
    """The page.

    Parameters
    ----------
    plan : what is said
    maps : SVG element by size ("small", "full"), or None where nothing is placed
    paper : "a4" or "letter", the sheet a browser offers when it prints
    live : of a page that is written in; left out: nothing runs on it
    photos : JPEG by sha256; one that is not there is said to be missing

    Returns
    -------
    HTML text; every word of the plan is escaped

    Raises
    ------
    BadValue : another paper
    """
    if paper not in PAPERS:
        raise BadValue(reason("command.paper", known=tuple(PAPERS), value=paper))
    style = files(__package__).joinpath("page.css").read_text(encoding="utf-8")
    style = style.replace("PAPER", PAPERS[paper].css)
    style += live.style if live is not None else ""
    words = Words(plan.language, "metric")
    images = {key: _image(content, words("photos.title")) for key, content in (photos or {}).items()}
    maps = {**maps, **images, _MISSING: text_of(words("photos.missing"))}
    parts = list(_parts(plan, maps, None if live is not None else paper, live.inserted if live is not None else ()))
    contents = "".join(f'<a href="#{anchor}">{text_of(title)}</a>' for anchor, title, _ in parts if title)
    whole = "".join(part for _, _, part in parts) + (live.end if live is not None else "")
    named = text_of(words("shared.contents"))
    policy = live.policy if live is not None else _POLICY
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(plan.language)}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        f"<title>{text_of(plan.name)}: {text_of(plan.subtitle)}</title>\n<style>\n{style}</style>\n</head>\n<body>\n"
        f"<header><h1>{text_of(plan.name)}</h1><p>{text_of(plan.subtitle)}</p></header>\n"
        f'<nav aria-label="{named}"><details><summary>{named}</summary>{contents}</details></nav>\n'
        f"<main>\n{whole}</main>\n<footer>{text_of(plan.footer)}</footer>\n</body>\n</html>\n"
    )


def _parts(
    plan: BurnPlan,
    maps: Mapping[str, str | None],
    paper: str | None,
    inserted: tuple[tuple[str, str, str, str], ...],
) -> Iterator[tuple[str, str, str]]:
    """Anchor, title and HTML of each sheet and of what is inserted. paper : it is printed on; None: it is not"""
    for number, sheet in enumerate(plan.sheets):
        anchor, printed = _anchor(number, sheet), (sheet.blocks, sheet.body_pt)
        if paper is not None and sheet.one_side:
            printed = fitted(sheet, paper, maps, "" if number else plan.name)
        yield anchor, sheet.title, _sheet(anchor, sheet, printed, maps)
        if sheet.key not in {later.key for later in plan.sheets[number + 1 :]}:
            yield from ((own, title, html) for key, own, title, html in inserted if key == sheet.key)


def _anchor(number: int, sheet: Sheet) -> str:
    """Names of kilns are no anchors: the sheets of one key are told apart by their place."""
    return escape(sheet.key if sheet.about is None else f"{sheet.key}-{number}")


def _sheet(anchor: str, sheet: Sheet, printed: tuple[tuple[Block, ...], float], maps: Mapping[str, str | None]) -> str:
    """The sheet as it is read on a screen, and where a side has no room for that, shorter as it is printed."""
    told, (blocks, size) = _blocks(sheet.blocks, maps), printed
    if blocks != sheet.blocks:
        own = {size: svg and re.sub(r'(id="|url\(#)', r"\1brief-", svg) for size, svg in maps.items()}
        told = f'<div class="whole">\n{told}</div>\n<div class="brief">\n{_blocks(blocks, own)}</div>\n'
    lang = f' lang="{escape(sheet.language)}"' if sheet.language else ""
    return (
        f'<section id="{anchor}" class="sheet"{lang} style="--body:{size:g}pt">\n<h2>{text_of(sheet.title)}</h2>\n'
        f"{told}</section>\n"
    )


def _section(block: Section, maps: Mapping[str, str | None]) -> str:
    head = f"<h3>{text_of(block.title)}</h3>\n" if block.title else ""
    return f'<section class="part {escape(block.key)}">\n{head}{_blocks(block.blocks, maps)}</section>\n'


def _blocks(blocks: Iterable[Block], maps: Mapping[str, str | None]) -> str:
    return "".join(_WRITERS[type(block)](block, maps) for block in blocks)


def text_of(words: str) -> str:
    """Words as HTML text; a figure keeps its unit."""
    return escape(unbroken(shown(words)))


def _paragraph(block: Paragraph, _: Any) -> str:
    if block.weight == "strong":
        return f"<h4>{text_of(block.text)}</h4>\n"
    return f'<p class="{escape(block.weight)}">{text_of(block.text)}</p>\n'


def _facts(block: Facts, _: Any) -> str:
    rows = "".join(f"<dt>{text_of(label)}</dt><dd>{text_of(words)}</dd>\n" for label, words in block.pairs)
    return f"<dl>\n{rows}</dl>\n"


def _items(block: Items, _: Any) -> str:
    small = ' class="small"' if block.small else ""
    return f"<ul{small}>\n" + "".join(f"<li>{text_of(words)}</li>\n" for words in block.texts) + "</ul>\n"


def _warned(block: Warned, _: Any) -> str:
    rows = "".join(f"<li>{text_of(words)}</li>\n" for words in block.texts)
    return f'<div class="warned"><h4>{text_of(block.title)}</h4><ul>\n{rows}</ul></div>\n'


def _table(block: Table, _: Any) -> str:
    names = [
        name for name, on in (("small", block.small), ("hand", block.hand), ("cards", len(block.heads) > _FEW)) if on
    ]
    caption = f"<caption>{text_of(block.title)}</caption>\n" if block.title else ""
    total = sum(block.widths) or 1
    columns = "".join(f'<col style="width:{100 * width / total:.1f}%">' for width in block.widths)
    heads = "".join(f'<th scope="col">{text_of(head)}</th>' for head in block.heads)
    rows = "".join(f"<tr{_to_fill(block, row)}>{_cells(block.heads, row)}</tr>\n" for row in block.rows)
    return (
        f'<table class="{" ".join(names)}">\n{caption}<colgroup>{columns}</colgroup>\n'
        f"<thead><tr>{heads}</tr></thead>\n<tbody>\n{rows}</tbody>\n</table>\n"
    )


def _to_fill(block: Table, row: tuple[Cell, ...]) -> str:
    """A row for the pen alone is of no use on a phone."""
    return ' class="pen"' if block.hand and not any(isinstance(cell, tuple) or cell.strip() for cell in row) else ""


def _cells(heads: tuple[str, ...], row: tuple[Cell, ...]) -> str:
    bare = isinstance(row[0], str) and row[0].strip() and not any(letter.isalpha() for letter in row[0])
    named = f' data-head="{text_of(heads[0])}"' if bare else ""  # a time or a number says nothing by itself on a card
    first = f'<th scope="row"{named}>{_lines(row[0])}</th>'
    rest = zip(heads[1:], row[1:], strict=True)
    return first + "".join(f'<td data-head="{text_of(head)}"><span>{_lines(cell)}</span></td>' for head, cell in rest)


def _lines(cell: Cell) -> str:
    return text_of(cell) if isinstance(cell, str) else "<br>".join(text_of(line) for line in cell)


def _boxes(block: Boxes, _: Any) -> str:
    rows = "".join(
        f'<li><span class="box">{"✓" if who else ""}</span><span>{text_of(words)}</span>'
        f'<span class="fill">{text_of(who)}</span></li>\n'
        for words, who in block.rows
    )
    return f'<ul class="boxes{" two" if block.columns > 1 else ""}">\n{rows}</ul>\n'


def _blanks(block: Blanks, _: Any) -> str:
    rows = "".join(f'<li><span>{text_of(label)}</span><span class="fill"></span></li>\n' for label in block.labels)
    return f'<ul class="blanks">\n{rows}</ul>\n'


def _map(block: MapHere, maps: Mapping[str, str | None]) -> str:
    drawing = maps.get(block.size)
    if drawing is None:
        return f'<p class="plain">{text_of(block.otherwise)}</p>\n' if block.otherwise else ""
    return f'<figure class="map-{escape(block.size)}" tabindex="0">{drawing}</figure>\n'


def _image(content: bytes, alt: str) -> str:
    """A photo within the page; its caption says what it shows."""
    return f'<img alt="{escape(alt)}" src="data:image/jpeg;base64,{base64.b64encode(content).decode()}">'


def _pictures(block: Pictures, maps: Mapping[str, str | None]) -> str:
    figures = "".join(
        f"<figure>{maps.get(picture.key) or maps[_MISSING]}"
        f"<figcaption>{text_of(picture.caption)}</figcaption></figure>\n"
        for picture in block.shown
    )
    return f'<div class="photos">{figures}</div>\n'


def _sides(block: Sides, maps: Mapping[str, str | None]) -> str:
    left, right = block.shares
    return (
        f'<div class="sides" style="--left:{left}fr;--right:{right}fr"><div>{_blocks(block.left, maps)}</div>'
        f"<div>{_blocks(block.right, maps)}</div></div>\n"
    )


_WRITERS: Mapping[type, Callable[[Any, Mapping[str, str | None]], str]] = {
    Paragraph: _paragraph,
    Facts: _facts,
    Items: _items,
    Warned: _warned,
    Table: _table,
    Boxes: _boxes,
    Blanks: _blanks,
    MapHere: _map,
    Pictures: _pictures,
    Sides: _sides,
    Section: _section,
}
