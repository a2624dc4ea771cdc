"""What people type is shown as they typed it: no name becomes a picture fetched from the net, a link or a heading."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from sitemap.site.equipment import EQUIPMENT, RECORDS, SECTIONS
from sitemap.site.file import parse_site
from sitemap.site.kinds import KINDS
from sitemap.site.model import Site
from tests.properties import thorough
from tests.views.conftest import PAGES, ROOT, SAMPLES, Visit, store

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


def read_as_markup(tab: Visit) -> Iterator[str]:
    """All that the page hands to its reader of markup: texts, labels, tips, what can be chosen."""
    for kind in ("markdown", "caption", "info", "warning", "error", "success"):
        yield from (str(each.value) for each in tab.app.get(kind))
    for kind in ("button", "checkbox", "radio", "selectbox", "text_input", "expander", "page_link", "button_group"):
        for each in tab.app.get(kind):
            proto = each.proto
            yield from (str(getattr(proto, part, "")) for part in ("label", "help"))
            if kind in ("radio", "button_group"):
                yield from map(str, getattr(proto, "options", ()))


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
    assert not live, "\n".join(map(str, live[:40]))
