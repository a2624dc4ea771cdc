"""The fields of the phone page for a whole batch and for bags: as the log of a site has them, in the words of the page.

What is typed travels under the name of its attribute, in the units of the page; `site.imports.returned` reads it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from html import escape

from sitemap.assessment import HEAPS, Assessment
from sitemap.plan.html import text_of
from sitemap.plan.phrases import Words
from sitemap.site.attributes import Attribute
from sitemap.site.log_values import BAGS, LOG
from sitemap.units import unit_label

Things = Mapping[str, Mapping[str, str]]  # what a field may name: list of the site → id → name
TIMES = ("lit", "fed_last", "water_on", "out")
BATCH = (
    "date",
    *TIMES,
    *("uncharred", "uncharred_where", "cause", "bucket_kg"),
    *("water_by", "water_machine", "water_loads", "water_min"),
    *("moisture_pct", "thickest_cm", "fed_kg", "people", "heaps_done"),
)
BAG = ("count", "litres", "weight_kg", "state", "goes_to")


def batch_fields(a: Assessment, words: Words) -> str:
    """What a line of the log may say besides, folded."""
    things = {"features": {heap.id: heap.name for heap in a.source.of_kind(*HEAPS)}}
    things["machines"] = {machine.id: machine.name for machine in a.source.equipment("machines")}
    return (
        f"<details><summary>{_said(words, 'batch')}</summary>\n<p>{_said(words, 'batch_note')}</p>"
        f'<div class="two">{_fields("f", LOG, BATCH, words, things)}</div></details>\n'
    )


def bag_fields(words: Words) -> str:
    """Bags counted and weighed, folded; their kiln is that of the line above."""
    return (
        f'<details><summary>{_said(words, "bags")}</summary><div class="two">{_fields("b", BAGS, BAG, words, {})}</div>'
        f'<button type="button" id="keep-bags">{_said(words, "keep_bags")}</button></details>\n'
    )


def _said(words: Words, key: str) -> str:
    return escape(words(f"phone.{key}"))


def _fields(prefix: str, attributes: Iterable[Attribute], names: Iterable[str], words: Words, things: Things) -> str:
    at = {attribute.name: attribute for attribute in attributes}
    return "".join(_field(prefix, at[name], words, things) for name in names)


def _field(prefix: str, attribute: Attribute, words: Words, things: Things) -> str:
    label = _said(words, f"{prefix}_{attribute.name}")
    unit = unit_label(attribute.unit, words.units) if attribute.unit else ""
    head = f"{label} ({text_of(unit)})" if unit else label
    data = f'data-{"log" if prefix == "f" else "bag"}="{attribute.name}"'
    if attribute.type == "choice":
        return _select(head, data, {key: words(f"phone.c_{key}") for key in attribute.choice_keys}, words)
    if attribute.refers_to and not things[attribute.refers_to]:
        return ""
    if attribute.refers_to:
        return _select(head, data, things[attribute.refers_to], words)
    picked = "time" if attribute.name in TIMES else "date" if attribute.type == "date" else ""
    kind = f'type="{picked}"' if picked else 'autocomplete="off"'
    number = ' inputmode="decimal" data-number' if attribute.type in ("number", "integer") else ""
    return f"<label>{head}<input {data} {kind}{number}></label>"


def _select(head: str, data: str, options: Mapping[str, str], words: Words) -> str:
    rows = "".join(f'<option value="{escape(key)}">{text_of(said)}</option>' for key, said in options.items())
    return f'<label>{head}<select {data}><option value="">{_said(words, "not_said")}</option>{rows}</select></label>'
