"""The phone page: the sheets in one file that works without signal, with what is written at the landing.

Decision and crew cards stand first. What is ticked, read and logged stays on the phone, kept by the name of the plan,
and is sent back as a small file that `site.imports.returned` takes in. Where paper has lines for the pen, fields stand.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from html import escape
from importlib.resources import files
from typing import Any

from sitemap.assessment import Assessment
from sitemap.plan.contents import plan_of
from sitemap.plan.html import Live, html_of, text_of
from sitemap.plan.map import corners_of, map_svg
from sitemap.plan.model import Blanks, Block, Boxes, BurnPlan, Cell, Section, Sides, Table
from sitemap.plan.parts.limits import stop_at
from sitemap.plan.phone_log import bag_fields, batch_fields
from sitemap.plan.phrases import Words, texts, words_for
from sitemap.plan.sheets.day import TICKS
from sitemap.reasons import KilnName
from sitemap.safety.limits_of_site import limits_of
from sitemap.site.imports.returned import plan_id
from sitemap.units import to_display, unit_label

KEYS = ("decision", "crew", "map", "day", "cold", "photos", "permission")
EVENTS = ("lit", "fed_last", "water_on", "out", "cold", "warm")
_LOGGED = {  # a reading → its attribute in the log
    "wind": "wind_m_s",
    "gust": "gust_m_s",
    "humidity": "humidity_pct",
    "temperature": "temperature_c",
}
_FILLED = ("cold_tick", "water", "where_error", "reading")  # words with something to fill in


def phone_html(a: Assessment, language: str | None = None, photos: Mapping[str, bytes] | None = None) -> str:
    """The page.

    Parameters
    ----------
    a : of the site on the burn date
    language : "en" or "es"; that of the site where left out
    photos : JPEG by sha256, as far as they are kept here

    Returns
    -------
    HTML text that needs nothing else

    Raises
    ------
    BadValue : a language that does not exist
    """
    plan = _without_pen(plan_of(a, KEYS, language))
    plan = replace(plan, sheets=tuple(sorted(plan.sheets, key=lambda sheet: KEYS.index(sheet.key))))
    words = words_for(a.source, plan.language)
    maps = {size: map_svg(a, size, words=words) for size in ("small", "full")}
    script = files(__package__).joinpath("phone.js").read_text(encoding="utf-8")
    kept = json.dumps(_data(a, plan, words), ensure_ascii=False).replace("<", "\\u003c")
    end = f'<script type="application/json" id="data">{kept}</script>\n<script type="module">{script}</script>\n'
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    style = files(__package__).joinpath("phone.css").read_text(encoding="utf-8")
    policy = f"default-src 'none'; style-src 'unsafe-inline'; img-src data:; script-src 'sha256-{digest}'"
    inserted = [("crew", "write", words("phone.title"), _writing(a, words))]
    if maps["full"]:
        inserted.append(("crew", "where-am-i", "", _where(words)))
    return html_of(plan, maps, live=Live(policy, style, end, tuple(inserted)), photos=photos)


def _data(a: Assessment, plan: BurnPlan, words: Words) -> dict[str, Any]:
    """What the script needs to know; no word of it is read as markup."""
    stem = re.sub(r"[^A-Za-z0-9]+", "-", a.site.name).strip("-").lower() or "site"
    day = a.on.isoformat() if a.on is not None else ""
    said = texts(plan.language)["phone"]
    limits = [
        {
            "key": limit.key,
            "log": _LOGGED[limit.key],
            "label": words(f"decision.{limit.key}"),
            "unit": unit_label(limit.unit, words.units),
            "end": round(to_display(stop_at(limit, words).value, limit.unit, words.units), 2),
            "below": limit.below,
        }
        for limit in limits_of(a.source.section("permit"))
    ]
    return {
        "plan": plan_id(a.site.name, a.on),
        "site": a.site.name,
        "date": day,
        "units": words.units,
        "file": f"{stem}-{day or 'landing'}.from-the-landing.json",
        "limits": limits,
        "corners": corners_of(a),
        "words": {key: str(text) for key, text in said.items()} | {"water": _water(words)},
    }


def _water(words: Words) -> str:
    return words("phone.water", unit=unit_label("l", words.units))


def _writing(a: Assessment, words: Words) -> str:
    """The fields: name, ticks, cold checks, readings, log line, what is kept, the file to send."""
    said = {key: escape(words(f"phone.{key}")) for key in texts("en")["phone"] if key not in _FILLED}
    readings = "".join(
        f"<label>{text_of(words(f'decision.{limit.key}'))} ({text_of(unit_label(limit.unit, words.units))})"
        f'<input id="read-{limit.key}" inputmode="decimal" autocomplete="off"></label>'
        for limit in limits_of(a.source.section("permit"))
    )
    kilns = "".join(f'<option value="{escape(spot.name)}">{text_of(spot.name)}</option>' for spot in a.spots)
    cold = "".join(_cold_ticks(a, words))
    return (
        f'<section id="write" class="write"><h2>{said["title"]}</h2>\n<p>{said["offline"]}</p>\n'
        f'<label>{said["who"]}<input id="who" autocomplete="name"></label>\n'
        f"<h3>{said['ticks']}</h3>\n{''.join(_ticks(a, words))}"
        + (f"<h3>{said['cold']}</h3>\n{cold}" if cold else "")
        + f'<h3>{said["readings"]}</h3>\n<div class="two">{readings}</div>'
        f'<button type="button" id="keep-reading">{said["keep_reading"]}</button>\n'
        f'<h3>{said["log"]}</h3>\n<div class="two">'
        f'<label>{said["kiln"]}<select id="line-kiln"><option value="">{said["no_kiln"]}</option>{kilns}'
        "</select></label>"
        f'<label>{said["time"]}<input id="line-time" type="time"></label>'
        f'<label>{said["event"]}<select id="line-event"><option value="">{said["no_event"]}</option>{_events(words)}'
        "</select></label></div>"
        f'<label>{said["text"]}<textarea id="line-text" rows="2"></textarea></label><div class="two">'
        f'<label>{said["buckets"]}<input id="line-buckets" inputmode="decimal" autocomplete="off"></label>'
        f'<label>{text_of(_water(words))}<input id="line-water" inputmode="decimal" autocomplete="off"></label></div>'
        f"{batch_fields(a, words)}"
        f'<button type="button" id="keep-line">{said["keep_line"]}</button>\n{bag_fields(words)}'
        f'<h3>{said["kept"]}</h3>\n<p id="none">{said["nothing_kept"]}</p><ul id="kept"></ul>\n'
        f'<button type="button" id="send">{said["send"]}</button>\n<p class="small">{said["send_note"]}</p>\n'
        '<p id="said" role="status" aria-live="polite"></p></section>\n'
    )


def _events(words: Words) -> str:
    """What a line may say besides its words: a moment of a batch, or what a cold check found."""
    return "".join(f'<option value="{key}">{text_of(words(f"phone.event_{key}"))}</option>' for key in EVENTS)


def _ticks(a: Assessment, words: Words) -> Iterator[str]:
    done = _done(a)
    for key in TICKS:
        yield _tick(key, words(f"day.tick_{key}"), done.get(key, ""))


def _cold_ticks(a: Assessment, words: Words) -> Iterator[str]:
    """A box for each open cold check of what burned before, and for each one of each kiln that may be lit."""
    for burned in a.burned:
        for due in burned.cold.dues if burned.cold is not None and burned.name else ():
            if due.done is None:
                says = words("phone.cold_tick", kiln=KilnName(burned.name), when=words.day(due.on))
                yield _tick(f"cold {due.what} {burned.name}", says, "")
    for spot in a.spots:
        for clock in a.clock_of(spot.id)[-1:]:
            for check in clock.checks:
                when = words.moment(check.when, a.on)
                yield _tick(
                    f"cold {check.what} {spot.name}", words("phone.cold_tick", kiln=KilnName(spot.name), when=when), ""
                )


def _tick(key: str, says: str, done: str) -> str:
    return (
        f'<label class="tick"><input type="checkbox" data-tick="{escape(key)}">'
        f'<span class="says">{text_of(says)}</span>'
        f'<span class="by" data-before="{escape(done)}">{text_of(done)}</span></label>\n'
    )


def _done(a: Assessment) -> dict[str, str]:
    """What was ticked on the burn date already: its own day is the burn date."""
    day = a.on.isoformat() if a.on is not None else "?"
    ticks = [(entry.text("what"), entry.text("who"), entry.text("when")) for entry in a.source.records("ticks")]
    return {what: f"{who}, {when}" for what, who, when in ticks if what and who and when and when.startswith(day)}


def _where(words: Words) -> str:
    return (
        f'<p class="where"><button type="button" id="where">{escape(words("phone.where"))}</button> '
        '<span id="where-said" role="status"></span></p>\n'
    )


def _without_pen(plan: BurnPlan) -> BurnPlan:
    """The plan without lines, columns and boxes for the pen, for which the phone has fields."""
    return replace(plan, sheets=tuple(replace(sheet, blocks=_typed(sheet.blocks)) for sheet in plan.sheets))


def _typed(blocks: tuple[Block, ...]) -> tuple[Block, ...]:
    kept: list[Block] = []
    for block in blocks:
        if isinstance(block, Section):
            inside = _typed(block.blocks)
            kept += [replace(block, blocks=inside)] if inside else []
        elif isinstance(block, Sides):
            kept.append(Sides(_typed(block.left), _typed(block.right)))
        elif isinstance(block, Table):
            kept += _written(block)
        elif not isinstance(block, Boxes | Blanks):
            kept.append(block)
    return tuple(kept)


def _says(cell: Cell) -> bool:
    return isinstance(cell, tuple) or bool(cell.strip())


def _written(table: Table) -> list[Block]:
    """A table without the rows and columns nobody has written in."""
    rows = [row for row in table.rows if any(map(_says, row))]
    columns = [i for i in range(len(table.heads)) if any(_says(row[i]) for row in rows)]
    if not rows or (table.hand and len(columns) < 2):
        return []
    widths = tuple(table.widths[i] for i in columns) if table.widths else ()
    heads = tuple(table.heads[i] for i in columns)
    return [replace(table, heads=heads, rows=tuple(tuple(row[i] for i in columns) for row in rows), widths=widths)]
