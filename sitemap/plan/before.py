"""Before you leave home: what to fetch, print, ask, look for, measure and take along, made from what the site lacks."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from sitemap.errors import BadValue
from sitemap.plan.phrases import LANGUAGES, texts
from sitemap.reasons import reason
from sitemap.safety import rules
from sitemap.site.kinds import HEAPS, KINDS
from sitemap.site.model import Feature, Site
from sitemap.telling import word
from sitemap.units import SYSTEMS, to_display, unit_label

HEAPS_A_SHEET, MOST_SHEETS = 10, 20
GROUPS = ("fetch", "print", "ask", "look", "measure", "carry")
TAPED = {"metric": (50, "m"), "us": (150, "ft")}  # a stretch to count the own pace on
_FOOT_STEP = 5  # [ft] a distance to look is rounded up to this
_NAMES_AT_ONCE = 12


@dataclass(frozen=True)
class Item:
    """One line of the list. group : key of GROUPS; key : stable word; text : for a person, in the language asked."""

    group: str
    key: str
    text: str


def words(language: str) -> Mapping[str, Any]:
    """The words of the sheets in a language. Raises BadValue for one we do not have."""
    if language not in LANGUAGES:
        raise BadValue(reason("command.language", known=tuple(LANGUAGES), value=language))
    said = texts(language)["survey"]
    kinds = {key: word(kind.label, language) for key, kind in KINDS.items()}  # or its own
    return {**said, "kinds": kinds | dict(said["kinds"])}  # type: ignore[call-overload]


def before(site: Site, language: str = "en", units: str | None = None) -> tuple[Item, ...]:
    """What to do before and on the walk, in the order of GROUPS.

    language : "en" or "es"; units : "metric" or "us", those of the site where left out
    """
    said = words(language)
    system = units if units in SYSTEMS else site.units
    found = [*_fetch(site), *_print(site), *_ask(site), *_measure(site, system, said), *_carry(site)]
    lines = [Item(group, key, said["before"][key].format(**_shown(more, said))) for group, key, more in found]
    lines += [Item("look", kind, text) for kind, text in _look(site, system, said)]
    return tuple(sorted(lines, key=lambda item: GROUPS.index(item.group)))


def look_for(system: str) -> tuple[tuple[str, float], ...]:
    """Kinds that must be looked for, each with how far, in the shown unit [m, or ft rounded up to the next five]."""
    return tuple((kind, _look_distance(look_m, system)) for kind, look_m in rules.look_for().items())


def _look_distance(look_m: float, system: str) -> float:
    shown = round(to_display(look_m, "m", system), 6)
    step = _FOOT_STEP if system == "us" else 1
    return math.ceil(shown / step) * step


def unit_word(unit: str, system: str, said: Mapping[str, Any]) -> str:
    """The label of a unit in the language of the sheets."""
    return word(unit_label(unit, system), str(said["language"]))


def taped_text(system: str, said: Mapping[str, Any]) -> str:
    """The stretch to count the own pace on: "50 m"."""
    count, _ = TAPED[system]
    return f"{count} {unit_word('m', system, said)}"


Line = tuple[str, str, Mapping[str, Any]]


def _fetch(site: Site) -> Iterator[Line]:
    held = site.files
    if "terrain" not in held:
        yield "fetch", "elevation", {}
    if "image" not in held:
        yield "fetch", "picture", {}
    if not site.of_kind("logged_area"):
        yield "fetch", "area", {}
    if site.timezone is None:
        yield "fetch", "timezone", {}
    if not any(f.shape is not None for f in site.of_kind("gate", "structure", "meeting_point", "parking")):
        yield "fetch", "known_place", {}


def heap_sheets(site: Site) -> int:
    """How many sheets of heaps to print at once: for those known and half a sheet more, two at least, and no more than
    somebody carries."""
    wanted = math.ceil((len(site.of_kind(*HEAPS)) + HEAPS_A_SHEET / 2) / HEAPS_A_SHEET)
    return min(max(2, wanted), MOST_SHEETS)


def _print(site: Site) -> Iterator[Line]:
    count = heap_sheets(site)
    room, known = count * HEAPS_A_SHEET, len(site.of_kind(*HEAPS))
    yield "print", "heap_sheets", {"count": count, "heaps": room}
    if known > room:
        yield "print", "heap_sheets_again", {"count": known}
    yield "print", "ground_sheet", {}
    yield "print", "moisture_sheet", {}


def _ask(site: Site) -> Iterator[Line]:
    asked = {r.choice("whom") for r in site.records("asked") if r.text("name") and r.date("date") and r.has("answer")}
    if "authority" not in asked:
        yield "ask", "authority", {}
    if site.of_kind("power_line") and "line_owner" not in asked:
        yield "ask", "line_owner", {}
    if "neighbour" not in asked:
        yield "ask", "neighbour", {}
    unasked = [s for s in site.of_kind("water_source") if s.choice("permission") != "yes"]
    if unasked:
        yield "ask", "permission", {"names": unasked}


def _look(site: Site, system: str, said: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    looked: dict[str | None, float] = {}
    for record in site.records("looked"):
        within_m = record.number("within_m")
        if within_m is not None and record.text("who") and record.date("when"):
            looked[record.text("kind")] = max(looked.get(record.text("kind"), 0.0), within_m)
    needed = rules.look_for()
    for kind, far in look_for(system):
        if looked.get(kind, 0.0) < needed[kind]:
            text = f"{said['kinds'][kind]}, {said['ground_sheet']['within']} {far:g}"
            yield kind, f"{text} {unit_word('m', system, said)}"


def _measure(site: Site, system: str, said: Mapping[str, Any]) -> Iterator[Line]:
    if site.section("crew").number("pace_m") is None:
        yield "measure", "pace_count", {"taped": taped_text(system, said)}
    heaps = [heap for heap in site.of_kind(*HEAPS) if heap.choice("status") not in ("burned", "cold")]
    yield from _names("sizes", (h for h in heaps if not _sized(h)))
    yield from _names("how_full", (h for h in heaps if not (h.has("packing") or h.has("packing_ratio"))))
    yield from _names("armfuls", (h for h in heaps if not h.has("char_stock_fraction")))
    yield from _names("thickest", (h for h in heaps if h.number("thickest_cm") is None))
    yield from _names("places", (f for f in site.features if f.geometry is None))
    links = site.records("links")
    tested = {r.text("source") for r in links if r.number("bucket_seconds") and r.number("bucket_litres")}
    levelled = {r.text("source") for r in links if r.number("lift_m") is not None}
    sources = site.of_kind("water_source")
    yield from _names("bucket", (s for s in sources if s.id not in tested))
    yield from _names("lift", (s for s in sources if s.id not in levelled))
    spots = site.of_kind("kiln_spot")
    open_ends = ("ground", "branches_overhead", "fuel_upslope")
    yield from _names("under", (s for s in spots if any(s.choice(name) is None for name in open_ends)))
    if heaps and not any(h.number("moisture_pct") is not None or h.records("readings") for h in heaps):
        yield "measure", "moisture", {}


def _sized(heap: Feature) -> bool:
    needed = ("width_m", "height_m") if heap.kind == "windrow" else ("length_m", "width_m", "height_m")
    drawn = heap.shape is not None and heap.shape.geom_type.endswith("Polygon")
    return all(heap.number(name) is not None or (drawn and name != "height_m") for name in needed)


def _names(key: str, features: Iterable[Feature]) -> Iterator[Line]:
    found = list(features)
    if found:
        yield "measure", key, {"names": found}


def _carry(site: Site) -> Iterator[Line]:
    yield "carry", "tape", {}
    yield "carry", "phone", {}
    yield "carry", "bucket_watch", {}
    sources = site.of_kind("water_source")
    if not sources or any(s.choice("source") in (None, "pond", "stream") for s in sources):
        yield "carry", "stick", {}
    yield "carry", "meter", {}
    yield "carry", "pencils", {}


def _shown(more: Mapping[str, Any], said: Mapping[str, Any]) -> dict[str, Any]:
    """Features as their names, the first dozen of them."""
    shown = dict(more)
    if "names" in shown:
        names = [feature.name for feature in shown["names"]]
        rest = len(names) - _NAMES_AT_ONCE
        tail = [said["before"]["and_more"].format(count=rest)] if rest > 0 else []
        shown["names"] = ", ".join(names[:_NAMES_AT_ONCE] + tail)
    return shown
