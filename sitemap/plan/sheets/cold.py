"""The cold sheet: it stays on site until everything is cold. Checks, how to make one, bags, and the close-out."""

from __future__ import annotations

import datetime as dt

from sitemap.assessment import Assessment
from sitemap.plan.model import Block, Boxes, Facts, Items, Paragraph, Section, Sheet, Table
from sitemap.plan.phrases import Words
from sitemap.plan.say import name_of, short_kiln, shortened, spots_to_light
from sitemap.plan.sheets.crew_water import drawn
from sitemap.reasons import KilnName, Quantity
from sitemap.season.cold_of_site import Burned
from sitemap.site.model import Entry

BODY_PT = 9
_LATER = (("next_morning", 1), ("day_3", 3), ("day_7", 7), ("day_14", 14))  # [d] after the burn day
_HOW = ("look", "hand", "rod", "break", "last", "again")
_LEFT_LINES = 3  # for bags that what is left takes
_HEAPS = 8  # names of heaps in a line
_BLANK_KILNS = 2  # rows where no kiln may be lit as the site stands
_NAME = 26  # letters of a name in a narrow column
_WHO = 14  # letters of who looked
_TRIES = ((10, _NAME), (7, _NAME), (5, _NAME), (3, _NAME), (3, 12), (2, 2))  # lines for bags, letters of a name
_BOX = "☐"
_PEN = "\u00a0"


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """The one sheet."""
    versions = [_blocks(a, words, lines, name) for lines, name in _TRIES]
    return (Sheet("cold", words("cold.title"), versions[0], True, BODY_PT, None, tuple(versions[1:])),)


def _blocks(a: Assessment, words: Words, lines: int, name: int) -> tuple[Block, ...]:
    how = tuple(words(f"cold.how_{key}") for key in _HOW)
    close = tuple((words(f"cold.close_{s.key}"), f"{s.who}, {s.when}" if s.done else "") for s in a.closing.steps)
    return (
        Section("cold", words("cold.due"), (_checks(a, words, name), Paragraph(words("cold.stay")))),
        Section("how", words("cold.how"), (Items(how),)),
        Section("bags", words("cold.bags"), (Paragraph(words("cold.rule")), *_bags(a, words, lines))),
        Section("close", words("cold.close"), (*_left(a, words), Boxes(close, columns=2))),
    )


def _checks(a: Assessment, words: Words, most: int) -> Table:
    """A box for every kiln that may be lit and every check, with the day it is due."""
    rows = [_burned(words, each, shortened(each.name, most)) for each in a.burned if _open(each)]
    rows += [_due(a, words, spot.id, short_kiln(a, spot.id, most)) for spot in spots_to_light(a)]
    blank = (_PEN, *(_BOX,) * (len(_LATER) + 2))
    heads = ("kiln", "first", *(key for key, _ in _LATER), "warm_wind")
    return Table(
        "",
        tuple(words(f"cold.{head}") for head in heads),
        tuple(rows) or (blank,) * _BLANK_KILNS,
        (16, 15, 15, 14, 14, 14, 14),
        hand=True,
    )


def _due(a: Assessment, words: Words, spot: str, name: str) -> tuple[str, ...]:
    clocks = a.clock_of(spot)
    first = words.moment(clocks[-1].checks[0].when, a.on) if clocks else ""
    days = ["" if a.on is None else _short_day(words, a.on + dt.timedelta(days=after)) for _, after in _LATER]
    kiln = words("shared.kiln", kiln=KilnName(name))
    return kiln, f"{_BOX} {first}", *(f"{_BOX} {day}" for day in days), _BOX


def _open(burned: Burned) -> bool:
    """Whether a look is still to be made; one that has no day has no row."""
    return burned.cold is not None and any(due.done is None for due in burned.cold.dues)


def _burned(words: Words, burned: Burned, name: str) -> tuple[str, ...]:
    """Of what burned before: each check done with name and day, the others with the day they are due."""
    assert burned.cold is not None
    cells = []
    for due in burned.cold.dues:
        done = due.done
        if done is None or done.on is None:
            cells.append(f"{_BOX} {_short_day(words, due.on)}")
        else:
            cells.append(words("cold.done", who=shortened(done.who, _WHO), on=_short_day(words, done.on)))
    return words("shared.kiln", kiln=KilnName(name)), *cells, _BOX


def _short_day(words: Words, date: dt.date) -> str:
    return words.day(date).rsplit(" ", 1)[0]


def _bags(a: Assessment, words: Words, lines: int) -> tuple[Block, ...]:
    """What a bag weighs beside what the machine lifts, and lines for each bag."""
    burn = a.burn
    count = "" if burn.bags is None else f"{burn.bags.triple()[1]:.0f}"
    pairs = [
        (words("cold.bag_count"), count or words("shared.not_known")),
        (
            words("cold.one_bag"),
            words(
                "cold.weights",
                dry=drawn(burn.bag_dry_kg, "kg"),
                damp=drawn(burn.bag_damp_kg, "kg"),
                soaked=drawn(burn.bag_soaked_kg, "kg"),
            ),
        ),
    ]
    pairs += [
        (words("cold.lifts", machine=shortened(machine.name, _NAME)), _lifts(a, words, machine.number("lift_kg")))
        for machine in a.source.equipment("machines")[:2]
    ]
    heads = tuple(words(f"cold.{key}") for key in ("bag", "bagged", "weighs", "from_kiln", "goes_to"))
    kept = [_bag(a, words, entry) for entry in a.source.records("bags")][:lines]
    empty = ((_PEN,) * len(heads),) * max(lines - len(kept) - (_LEFT_LINES if a.closing.begun else 0), 1)
    return Facts(tuple(pairs)), Table("", heads, (*kept, *empty), (10, 20, 16, 20, 34), hand=True)


def _bag(a: Assessment, words: Words, entry: Entry) -> tuple[str, ...]:
    """Bags that were entered: how many, when, what one weighs, from where, and where they went."""
    weight, bagged = entry.number("weight_kg"), entry.date("bagged")
    return (
        f"{entry.integer('count') or 1} ×",
        "" if bagged is None else words.day(bagged),
        "" if weight is None else words.shown(Quantity(weight, "kg", 3)),
        shortened(name_of(a, entry.text("kiln") or ""), _NAME) if entry.text("kiln") else "",
        shortened(entry.text("goes_to") or "", 2 * _NAME),
    )


def _left(a: Assessment, words: Words) -> tuple[Block, ...]:
    """What is left on the site, once something has burned: char, heaps, what is not cold."""
    closing = a.closing
    if not closing.begun:
        return ()
    bags = closing.bags
    said = [words("cold.left_bags", count=bags.count, weighed=bags.weighed, kg=Quantity(bags.kg, "kg", 3))]
    if closing.char_m3:
        said.append(
            words("cold.left_char", counted=Quantity(closing.char_m3, "m3", 2), bags=Quantity(bags.m3, "m3", 2))
        )
    if closing.heaps_left:
        said.append(words("cold.left_heaps", heaps=closing.heaps_left[:_HEAPS], count=len(closing.heaps_left)))
    if closing.not_cold:
        said.append(words("cold.left_warm", names=tuple(each.name or "?" for each in closing.not_cold)))
    return (Paragraph(" ".join(said)),)


def _lifts(a: Assessment, words: Words, lift_kg: float | None) -> str:
    if lift_kg is None:
        return words("cold.lift_unknown")
    soaked, dry = a.burn.bag_soaked_kg, a.burn.bag_dry_kg
    shown = Quantity(lift_kg, "kg", 3, "down")
    if soaked is None or dry is None:
        return words("cold.lift", lift=shown)
    if lift_kg >= soaked.high:
        return words("cold.lift_soaked", lift=shown)
    return words("cold.lift_dry" if lift_kg >= dry.high else "cold.lift_short", lift=shown)
