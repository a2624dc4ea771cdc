"""Long names in the annex: whole once, shorter with a number in its tables."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

from sitemap.assessment import Assessment
from sitemap.plan.model import Block, Facts, Paragraph, Section
from sitemap.plan.phrases import Words
from sitemap.plan.say import shortened
from sitemap.site.equipment import EQUIPMENT
from sitemap.wording import capital

LONG, SHORT = 60, 40  # letters of a name that is told shorter, and how many of it are told


def with_short_names(a: Assessment, words: Words, blocks: tuple[Block, ...]) -> tuple[Block, ...]:
    """The blocks with every long name told shorter, and behind the first of them the whole names by their numbers."""
    gear = (item.name for key in EQUIPMENT for item in a.source.equipment(key))
    long = [name for name in dict.fromkeys((*(f.name for f in a.source.features), *gear)) if len(name) > LONG]
    if not long:
        return blocks
    numbered = {name: f"{shortened(name, SHORT)} [{number}]" for number, name in enumerate(long, start=1)}
    told = {capital(name): short for name, short in numbered.items()} | numbered
    first, *rest = (_retold(block, told) for block in blocks)
    how = Paragraph(words.own("Told shorter in this annex, with their numbers:"), "small")
    pairs = tuple((f"[{number}]", name) for number, name in enumerate(long, start=1))
    return first, Section("names", words.own("Long names"), (how, Facts(pairs))), *rest


def _retold(value: Any, told: Mapping[str, str]) -> Any:
    """A block, or what it is made of, with every name in it replaced; the longest first, for one may begin another."""
    if isinstance(value, str):
        for name in sorted(told, key=len, reverse=True) if len(value) > LONG else ():
            value = value.replace(name, told[name])
        return value
    if isinstance(value, tuple):
        return tuple(_retold(each, told) for each in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{each.name: _retold(getattr(value, each.name), told) for each in fields(value)})
    return value
