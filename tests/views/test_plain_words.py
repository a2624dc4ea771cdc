"""What people type is shown as they typed it: no name becomes a picture fetched from the net, a link or a heading."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.file import parse_site
from sitemap.site.kinds import KINDS, SLASH
from sitemap.site.model import Site
from tests.properties import thorough
from tests.views.conftest import PAGES, ROOT, SAMPLES, Visit, store

pytestmark = pytest.mark.usefixtures("own_side_open")
Open = Callable[..., Visit]
HARM = "![a](http://h.invalid/{}) [b](http://h.invalid) <img src='http://h.invalid'> **c** :red[d]"
LIVE = re.compile(r"(?<!\\)(!?\[[^\]\\]*\]\(http|\*\*c\*\*|:red\[)")
TAG = re.compile(r"(?<!\\)<img src='http")
FREE = {
    attribute.name
    for kinds in (KINDS, EQUIPMENT, SECTIONS, RECORDS)
    for kind in kinds.values()
    for attribute in (*kind.attributes, *(part for whole in kind.attributes for part in whole.item))
    if attribute.type == "text"
} | {"name"}
REFERRED = {"kiln", "pump", "hose", "nozzle", "machine", "tank", "source", "spot", "line", "wood", "kind", "whom"}


def hostile(sample: str) -> Site:
    """A sample in which every free word is markup, each another."""
    raw = json.loads((ROOT / "sample_sites" / f"{sample}.geojson").read_text(encoding="utf-8"))
    count = iter(range(10_000))

    def spoiled(value: Any) -> Any:
        if isinstance(value, list):
            return [spoiled(each) for each in value]
        if not isinstance(value, dict):
            return value
        return {
            key: HARM.format(next(count))
            if key in FREE - REFERRED and isinstance(each, str)
            else each
            if key in ("files", "units", "timezone", "language")
            else spoiled(each)
            for key, each in value.items()
        }

    raw["features"] = [spoiled(each) for each in raw["features"]]
    raw["site"] = spoiled(raw["site"])
    return parse_site(json.dumps(raw))


AS_MARKUP = {"label", "help", "body", "caption", "content"}  # of whatever element: what its reader of markup is given
AS_WORDS = {"text", "code", "html", "iframe", "bidi_component", "component_instance"}  # shown as they are, or ours
CHOICES = {"radio", "button_group"}  # whose options are markup too; those of other fields are words


def read_as_markup(tab: Visit) -> Iterator[str]:
    """All that the page hands to its reader of markup: texts, labels, tips, captions, what can be chosen."""
    for part in (tab.app.main, tab.app.sidebar):
        yield from _of_part(part)


def _of_part(part: Any) -> Iterator[str]:
    if getattr(part, "type", "") not in AS_WORDS and getattr(part, "proto", None) is not None:
        yield from _of_message(part.proto, getattr(part, "type", "") in CHOICES)
    for child in getattr(part, "children", {}).values():
        yield from _of_part(child)


def _of_message(message: Any, choices: bool) -> Iterator[str]:
    for field, value in message.ListFields():
        each = value if field.is_repeated else [value]
        if field.message_type is not None:
            for inner in each:
                if hasattr(inner, "ListFields"):
                    yield from _of_message(inner, choices)
        elif field.name in AS_MARKUP or (choices and field.name == "options"):
            yield from (word for word in each if isinstance(word, str))


@pytest.mark.parametrize("sample", SAMPLES if thorough() else SAMPLES[:1])
def test_law_markup_in_a_name_stays_words(visit: Open, sample: str) -> None:
    site = hostile(sample)
    assert str(site).count("h.invalid") > 50
    tab = visit(store().create(site).link)
    live = []

    def look(where: str) -> None:
        assert not tab.app.exception, where
        live.extend((where, "tag") for each in tab.app.get("html") if TAG.search(each.proto.body))
        live.extend(
            (where, text[max(0, found.start() - 60) : found.end() + 20])
            for text in read_as_markup(tab)
            if (found := LIVE.search(text))
        )

    for page in PAGES:
        tab.go(page)
        look(page)
    tab.go("map")
    for feature in {each.kind: each for each in site.features}.values():
        tab.choose(feature.id)
        look(f"map: {feature.kind}")
    tab.app.text_input(key=f"name.{feature.id}").set_value(HARM.format("typed")).run()
    look("undo")
    assert any(text.startswith("Take back: ") for text in read_as_markup(tab))
    heap = next(each for each in site.features if each.kind in SLASH)
    tab.choose(heap.id)
    keys = [str(each.key) for each in tab.app.text_input]
    refusing = [key for key in keys if key.startswith((f"where.{heap.id}", f"f.{heap.id}."))]
    for key in refusing[:4]:  # what cannot be read is said with its words
        tab.app.text_input(key=key).set_value(HARM.format("refused")).run()
        look(f"refused: {key}")
    assert not live, "\n".join(map(str, live[:40]))
