"""Where the figures come from: every table row the plan rests on, with its evidence; and the words, in small print."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from sitemap import tables
from sitemap.assessment import Assessment
from sitemap.errors import PitsteadError
from sitemap.plan.model import Facts, Paragraph, Section, Table
from sitemap.plan.phrases import Words
from sitemap.plan.say import between
from sitemap.site.kinds import HEAPS, SLASH
from sitemap.slash.wood import density_of
from sitemap.tables import Row
from sitemap.telling import marked
from sitemap.units import UNITS, rounded, text, to_display, unit_label
from sitemap.wording import glossary

# The unit in the name of a figure; the first that fits counts. A difference of temperatures stays in K.
_SUFFIXES = {"_kw_m2": "kw_m2", "_kv": "kv", "_m": "m", "_k": "K", "_c": "c"}
_KEYS = {unit.metric.replace("³", "3").replace("²", "2"): key for key, unit in UNITS.items() if unit.metric}
Used = Callable[[Assessment], set[str] | None]

TITLES = {
    "packing": "wood share of a heap",
    "earth": "earth in a heap",
    "sorting": "sorting",
    "slash_spread": "uncertainty",
    "wood_density": "density of dry wood",
    "size_classes": "counts by thickness",
    "kiln_burning": "burning",
    "quench": "quench",
    "ground_under_kiln": "ground under a kiln",
    "position_errors": "error of a place",
    "power_line_clearance": "clearance of a machine",
    "heat_limits": "heat on people",
    "weather_limits": "weather limits",
    "water_friction": "friction in hose",
    "water_fittings": "fittings",
}


def _choices(kinds: tuple[str, ...], name: str, blank: str = "") -> Used:
    """Rows somebody chose by name in features of some kinds, and the row a blank stands for."""

    def used(a: Assessment) -> set[str]:
        return {feature.choice(name) or blank for feature in a.source.of_kind(*kinds)}

    return used


def _woods(a: Assessment) -> set[str]:
    found = set()
    for feature in a.source.of_kind(*SLASH):
        names = [feature.text("wood") or "mixed"]
        if feature.kind != "transect":
            names += [entry.text("wood") or "" for entry in feature.records("wood_mix")]
        for name in names:
            try:
                found.add(density_of(name).key)
            except PitsteadError:
                continue
    return found


def _only_with(*kinds: str) -> Used:
    """All rows, where the site has such features at all."""
    return lambda a: None if a.source.of_kind(*kinds) else set()


_USED: Mapping[str, Used] = {
    "packing": _choices(HEAPS, "packing", "tops"),
    "earth": _choices(HEAPS, "soil", "none"),
    "wood_density": _woods,
    "ground_under_kiln": _choices(("kiln_spot",), "ground"),
    "sorting": _only_with(*SLASH),
    "slash_spread": _only_with(*SLASH),
    "size_classes": lambda a: None if any(t.records("classes") for t in a.source.of_kind("transect")) else set(),
    "kiln_burning": _only_with("kiln_spot"),
    "quench": _only_with("kiln_spot"),
    "position_errors": _only_with("kiln_spot"),
    "power_line_clearance": _only_with("power_line", "machine_stand"),
    "heat_limits": _only_with("kiln_spot"),
    "weather_limits": lambda _: None,
    "water_friction": _only_with("water_source"),
    "water_fittings": _only_with("water_source"),
}


def rows_used(a: Assessment) -> tuple[tuple[str, Row], ...]:
    """(table, row) of every published figure behind this plan; the distances stand under their own head."""
    found = []
    for table, used in _USED.items():
        keys = used(a)
        found += [(table, row) for key, row in tables.load(table).items() if keys is None or key in keys]
    return tuple(found)


def sources(a: Assessment, words: Words) -> Section:
    """Every figure with its source and evidence."""
    rows = tuple(
        (
            f"{words.own(TITLES[table])}: {row_name(row)}",
            row_value(row, a.source.units),
            row.source,
            words.own(tables.EVIDENCE_LEVELS[row.evidence]),
        )
        for table, row in rows_used(a)
    )
    intro = words.own(
        "Evidence for each figure: {levels}. The distances carry theirs beside them.",
        levels="; ".join(words.row(*tables.EVIDENCE_LEVELS.values())),
    )
    heads = words.row("Figure", "Value", "Source", "Evidence")
    table = Table("", heads, rows, (25, 23, 41, 25), small=True)
    return Section("sources", words.own("Where the figures come from"), (Paragraph(intro, "small"), table))


def row_name(row: Row) -> str:
    """What a row is about: its name, what it says, or its key in words without the unit at its end."""
    if row.get("name"):
        return str(row["name"])
    if "value" in row.figures and row.get("says"):
        return str(row["says"])
    return re.sub(r"_(m_s|pct|c|h)$", "", row.key).replace("_", " ")


def row_value(row: Row, units: str) -> str:
    """The figures of a row, in the units shown."""
    unit = str(row.get("unit") or "")
    if "inside_low" in row.figures:
        open_below = "inside_high" in row.figures and row["inside_low"] == row["near_low"]  # no limit there
        inside, near = (
            between(None if open_below else row[f"{word}_low"], row.get(f"{word}_high"), unit, units)
            for word in ("inside", "near")
        )
        return f"inside {inside}, near {near}"
    if "value" in row.figures:
        key, of = _unit_of(unit)
        ends = [_shown(row[end], key, units) for end in ("value", "low", "high") if end in row.figures]
        spread = f" ({'–'.join(ends[1:])})" if len(ends) == 3 else ""
        return f"{ends[0]}{spread} {of if key is None else unit_label(key, units) + of}".strip()
    told = [
        f"{name.removesuffix(suffix).replace('_', ' ')} {_figure(value, shown, units)}"
        for name, value in row.figures.items()
        for suffix, shown in _SUFFIXES.items()
        if name.endswith(suffix)
    ]
    if "s" in row.figures:  # a thickness class; the letters are those of the equation it stands in
        squared = f"d² {_plain(row['d2_in2'])} in², " if "d2_in2" in row.figures else ""
        return f"{squared}s {_plain(row['s'])}, a {_plain(row['a'])}"
    words = (row.get(key) for key in ("verdict", "says", "shown", "condition"))
    return ", ".join(told) or marked(str(next((word for word in words if word), "")), units)


def _unit_of(unit: str) -> tuple[str | None, str]:
    """The key of a table's unit, and what it is counted of; no key for one that has none in `units` (L per m³ of char).

    >>> _unit_of("kg_m3"), _unit_of("kg/m3, loose"), _unit_of("fraction"), _unit_of("L per m³ of char")
    (('kg_m3', ''), ('kg_m3', ', loose'), ('fraction', ''), (None, 'L per m³ of char'))
    """
    if unit == "fraction":
        return "fraction", ""
    if unit in UNITS:
        return unit, ""
    label = re.match(r"[^ ,:]*", unit)
    rest = unit[label.end() :] if label else unit
    key = _KEYS.get(label[0]) if label and not re.match(r" (char|water|dry|per)\b", rest) else None
    return (key, rest) if key else (None, unit)


def _shown(value: float, unit: str | None, system: str) -> str:
    return _plain(value if unit is None else to_display(float(value), unit, system))


def _figure(value: float, unit: str, system: str) -> str:
    return text(float(value), unit, system, 4) if unit in UNITS else f"{_plain(value)} {unit}"


def _plain(value: float) -> str:
    return rounded(float(value), 4)


def meanings(a: Assessment, words: Words) -> Section:  # noqa: ARG001
    """What the words mean, in small print."""
    return Section("words", words.own("Words"), (Facts(tuple(glossary(words.language).items())),))
