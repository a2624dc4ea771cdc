"""The permission sheet: what an authority asks, with room for its number and signature."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment
from sitemap.plan.model import Blanks, Block, Facts, Items, Paragraph, Sheet
from sitemap.plan.near import at_least
from sitemap.plan.parts.day_water import spread
from sitemap.plan.parts.limits import limit_words
from sitemap.plan.parts.who_where import embers, last_day, where, who
from sitemap.plan.phrases import Words
from sitemap.plan.say import away, name_of, short_kiln, shortened
from sitemap.reasons import Quantity, Term
from sitemap.safety.setbacks import Setback
from sitemap.site.kinds import KINDS

BODY_PT = 9.0
_RING_M = 3.0  # [m] bare ring: house rule (C)
_ROOMS = ((240, 8), (160, 6), (90, 4), (50, 3), (24, 2))  # letters of typed words, lines of a list
Pair = tuple[str, str]


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """The one sheet."""
    versions = tuple(_blocks(a, words, letters, lines) for letters, lines in _ROOMS)
    title = words("permission.title")
    return (Sheet("permission", title, versions[0], True, BODY_PT, shorter=versions[1:]),)


def _blocks(a: Assessment, words: Words, letters: int, lines: int) -> tuple[Block, ...]:
    def part(key: str, pairs: Iterator[Pair]) -> tuple[Block, ...]:
        return Paragraph(words(f"permission.{key}"), "strong"), Facts(tuple(pairs))

    reach = embers(a, words)
    return (
        *part("where", where(a, words, letters)),
        *part("who", who(a, words, letters)),
        *part("what", _what(a, words, letters, lines)),
        *part("when", _when(a, words)),
        *part("how", _how(a, words, letters, lines)),
        Paragraph(words("permission.near"), "strong"),
        Items((*_near(a, words, letters, lines), reach[0], *((shortened(reach[1], 2 * letters),) if reach[1] else ()))),
        Paragraph(words("permission.asked"), "strong"),
        Blanks(words.lines("permission.blanks")),
        Blanks((words("permission.applicant"),)),
        Paragraph(words("permission.caution"), "small"),
    )


def _row(words: Words, key: str, told: str) -> Pair:
    return words(f"permission.{key}"), told


def _some(names: list[str], most: int, words: Words) -> str:
    """As many names as there is room for, and how many more there are."""
    if len(names) <= most:
        return ", ".join(names)
    return f"{', '.join(names[: most - 1])} {words('permission.more', n=len(names) - most + 1)}"


def _what(a: Assessment, words: Words, letters: int, lines: int) -> Iterator[Pair]:
    found, area = a.slash, a.slash.logged_area_ha
    yield _row(words, "ground", words.shown(None if area is None else Quantity(area, "ha")))
    heaps = [shortened(words.shown(item.name), letters // 3) for item in found.items]
    told = words("permission.no_wood")
    if found.counted:
        stock = spread(found.char_stock_dry_t, "t")
        told = words("permission.wood_is", stock=stock, heaps=_some(heaps, 2 * lines, words))
    yield _row(words, "wood", told)
    names = _some([short_kiln(a, spot.id, letters // 3) for spot in a.spots], 10, words)
    kilns = words("permission.kilns_are", n=len(a.spots), names=names)
    yield _row(words, "kilns", f"{kilns}; {words('permission.open_top')}")
    burn = a.burn
    if burn.batches is not None and burn.days is not None:
        counts = {"batches": round(burn.batches.likely), "days": round(burn.days.likely)}
        yield _row(words, "batches", words("permission.batches_are", **counts))


def _when(a: Assessment, words: Words) -> Iterator[Pair]:
    yield _row(words, "first_day", words.day(a.on))
    yield words("decision.last_day"), last_day(a, words)
    clocks = [clock for spot in a.spots for clock in a.clock_of(spot.id)]
    told = words("permission.no_clock")
    if clocks:
        lit, out = max(clock.light_by for clock in clocks), max(clock.no_steam_by for clock in clocks)
        told = words("permission.daily_is", light=words.moment(lit, a.on), out=words.moment(out, a.on))
    yield _row(words, "daily", told)
    yield _row(words, "limits", words("permission.limits_are", **limit_words(a, words)))


def _how(a: Assessment, words: Words, letters: int, lines: int) -> Iterator[Pair]:
    control = [shortened(line.name, letters // 3) for line in a.source.of_kind("control_line")]
    held = _some(control, lines, words) or words("permission.no_lines")
    yield _row(words, "held", words("permission.held_is", ring=at_least(_RING_M, words), lines=held))
    yield _row(words, "water", _some(list(_sources(a, words, letters)), lines, words) or words("permission.no_water"))
    if a.burn.reserve_l is not None:
        yield _row(words, "reserve", words("permission.reserve_is", litres=spread(a.burn.reserve_l, "l")))
    yield _row(words, "out", words("permission.out_is"))
    permit = a.source.section("permit")
    office = {"authority": permit.text("authority"), "phone": permit.text("phone")}
    called = {key: None if typed is None else shortened(typed, letters) for key, typed in office.items()}
    yield _row(words, "call", words("permission.call_is", **called))


def _sources(a: Assessment, words: Words, letters: int) -> Iterator[str]:
    for source in a.sources:
        name = shortened(name_of(a, source.id), letters // 3)
        if source.endless:
            yield words("permission.water_endless", source=name)
        else:
            there = None if source.litres_there is None else Quantity(source.litres_there, "l", toward="down")
            yield words("permission.water_is", there=there, source=name)
    if not a.sources:
        yield from (shortened(feature.name, letters // 3) for feature in a.source.of_kind("water_source"))


def _near(a: Assessment, words: Words, letters: int, lines: int) -> Iterator[str]:
    """The nearest thing of each kind that has a rule, over all kilns, the nearest first."""
    nearest: dict[str, Setback] = {}
    for spot in a.spots:
        for setback in spot.setbacks:
            known = nearest.get(setback.kind)
            if setback.kind != "kiln_spot" and (known is None or (setback.distance_m or 0) < (known.distance_m or 0)):
                nearest[setback.kind] = setback
    found = sorted(nearest.values(), key=lambda each: each.distance_m or 0)
    for each in found[:lines] if len(found) <= lines else found[: lines - 1]:
        kind = Term(KINDS[each.kind].label if each.kind in KINDS else each.kind)
        yield words("permission.nearest", kind=kind, name=shortened(each.name, letters // 3), distance=away(each))
    if len(found) > lines:
        yield words("permission.more", n=len(found) - lines + 1)
    if not found:
        yield words("permission.nearest_none")
    smoke = [shortened(feature.name, letters // 3) for feature in a.source.of_kind("smoke_place")]
    yield f"{words('permission.smoke')}: {_some(smoke, lines, words) or words('permission.no_smoke')}"
