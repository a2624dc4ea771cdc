"""The decision sheet: what somebody who must say yes or no reads, on one side, for one kiln or ten.

Where a side is full the same is said shorter (`Room`): reasons give way to their labels, and what to do about them is
said once for all kilns it is asked of; typed words end in an ellipsis, lists say how many more stand in the annex. A
bar is never left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from sitemap.assessment import Assessment
from sitemap.day.decision import MAY, WORDS, Bar, Decision
from sitemap.plan.model import Blanks, Block, Facts, Items, MapHere, Paragraph, Sheet, Sides, Table, every_word
from sitemap.plan.parts.day_water import attack_words, quench_words, water_of_the_day
from sitemap.plan.parts.limits import limits_table
from sitemap.plan.parts.moved import moved
from sitemap.plan.parts.open_points import ranked_unknowns
from sitemap.plan.parts.rests import rests
from sitemap.plan.parts.weather_read import weather_read
from sitemap.plan.parts.who_where import embers, long_texts, who_and_when
from sitemap.plan.phrases import Words
from sitemap.plan.say import brief, kiln_mark, short_kiln, shortened, sign_of
from sitemap.reasons import Term
from sitemap.safety.effects import CONDITIONAL, PASSES, RULED_OUT
from sitemap.season.smoke_of_site import cautions_of
from sitemap.wording import check_label


@dataclass(frozen=True)
class Room:
    """How much there is room for.

    reasons : bars of a kiln told with their reason; actions : those after them told with what to do
    letters : of typed words; lines : of each list
    every : bars of every kiln, told once with what to do; map : which stands beside the text
    to_do : what to do about each kiln, told once for all that it is asked of, where their rows do not say it
    whole : conditions and way in stand to their last letter
    """

    reasons: int
    actions: int
    letters: int
    lines: int
    every: int
    map: str = "small"
    to_do: int = 0
    whole: bool = False

    @property
    def gather(self) -> bool:
        """What bars several kilns is told once for them, and kilns of which the same is told share a row."""
        return self.reasons == 0


_N = "smaller"
ROOMS = (  # the fullest first
    *(Room(9, 0, 240, 6, 20), Room(9, 0, 160, 4, 20), Room(4, 6, 160, 3, 20), Room(3, 6, 160, 3, 20)),
    *(Room(2, 9, 160, 3, 20), Room(2, 9, 120, 3, 20, _N), Room(1, 9, 160, 3, 20, _N), Room(1, 9, 120, 3, 9, _N)),
    *(Room(1, 3, 120, 2, 6, _N), Room(1, 1, 120, 2, 6, _N), Room(0, 0, 160, 3, 9, _N, 9)),
    *(Room(0, 0, 120, 2, 9, _N, 4), Room(0, 0, 80, 2, 6, _N, 2)),
    *(Room(0, 0, 60, 2, 5, _N, 2), Room(0, 0, 50, 2, 5, _N, 1), Room(0, 0, 40, 1, 2, _N, 1)),
    *(Room(0, 0, 27, 0, 1, _N, 1), Room(0, 0, 18, 0, 1, _N, 1), Room(0, 0, 18, 0, 0, _N, 1)),
)
_WHOLE = 40  # letters of other typed words: only where these have fewer are conditions and way in shortened
BODY_PT = 9.0
_SHARES = {"small": (1, 1), "smaller": (3, 2)}  # of text and map
_SHORT_NAME, _SHORT_LINE, _FEW_WORDS = 5, 16, 90  # letters
_HEAD_WIDE = 15  # parts of the width: a narrower column stacks the words of its head
_SAID_BY_ACTION = ("ground",)  # its reason says what to do as well
_BOTH_LINES = ("water_quench", "water_attack")
_ROOMY, _REASONS_OF_ALL = 120, 3  # letters where bars of all kilns have their reasons, and how many of them
_HALF_SIDE = 46  # letters of a line in one of two columns
_BROKEN = 1.25  # what lines of a narrow column lose where a word does not fit any more


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """The one sheet."""
    reach = embers(a, words)
    unknown = tuple(note.told(words.units, words.language) for note in ranked_unknowns(a))
    long = bool(long_texts(a, words))
    rooms = (replace(room, whole=long and room.letters >= _WHOLE) for room in ROOMS)
    versions = tuple(dict.fromkeys(_blocks(a, words, room, reach, unknown) for room in rooms))
    return (Sheet("decision", words("decision.title"), versions[0], True, BODY_PT, shorter=versions[1:]),)


def _blocks(
    a: Assessment, words: Words, room: Room, reach: tuple[str, str], unknown: tuple[str, ...]
) -> tuple[Block, ...]:
    left: tuple[Block, ...] = (
        *(_head(words, "limits"), *limits_table(a, words)),
        *(_head(words, "rests"), Items(rests(a, words, room.letters // 3))),
    )
    missing = (_head(words, "unknown"), *_unknown(a, words, room, unknown))
    right: tuple[Block, ...] = (
        *(_head(words, "water"), *water_of_the_day(a, words, room.lines, room.letters // 2)),
        *(_head(words, "today"), Items(_list(_today(a, words), room.lines + 2, room, words, "more_today"))),
    )
    if _lines(left) <= _lines(right):
        left = (*left, *missing)
    else:
        right = (*right, *missing)
    place = tuple(who_and_when(a, words, room.letters, room.whole))
    wide = long_texts(a, words) if room.whole else ()  # over the whole side they take the fewest lines
    blocks: tuple[Block, ...] = (
        *_in_a_line(a, words),
        Sides(
            (Facts(tuple(each for each in place if each[0] not in wide)),),
            (MapHere(room.map, words("map.none")),),
            _SHARES[room.map],
        ),
        *(_over_all(tuple(each for each in place if each[0] in wide), a, words, room)),
        *_kilns(a, words, room),
        Sides(left, right),
        Paragraph(f"{words('decision.caution')} {reach[0]} {shortened(reach[1], 2 * room.letters)}".strip(), "small"),
        *_sign(a, words, room),
    )
    cut = any("…" in told for told in every_word(blocks))
    return (*blocks, Paragraph(words("decision.shortened"), "small")) if cut else blocks


def _over_all(long: tuple[tuple[str, str], ...], a: Assessment, words: Words, room: Room) -> Iterator[Block]:
    """What goes over both columns: long words that are signed under, and the weather that was read."""
    read = weather_read(a, words, room.letters)
    rows = (*long, *([(words("decision.weather_read"), read)] if read is not None else ()))
    if rows:
        yield Facts(rows)


def _lines(blocks: tuple[Block, ...]) -> int:
    """About how many lines blocks take in one of two columns: what stands longer gets no more."""
    lines = 0
    for block in blocks:
        if isinstance(block, Table):
            part = [_HALF_SIDE * width / sum(block.widths) for width in block.widths]
            for row in (block.heads, *block.rows):
                lines += max(_wrapped(len(str(cell)), room) for cell, room in zip(row, part, strict=True))
        else:
            lines += sum(math.ceil(len(told) / _HALF_SIDE) for told in every_word(block))
    return lines


def _wrapped(letters: int, room: float) -> int:
    return 1 if letters <= room else math.ceil(_BROKEN * letters / room)


def _head(words: Words, key: str) -> Paragraph:
    return Paragraph(words(f"decision.{key}"), "strong")


def _in_a_line(a: Assessment, words: Words) -> Iterator[Block]:
    """First of all which kilns may be lit and which may not, by their marks on the map."""
    if not a.decisions:
        return
    told = []
    for key, effect in zip(WORDS, (PASSES, CONDITIONAL, RULED_OUT), strict=True):
        marks = [kiln_mark(a, each.spot) for each in a.decisions if each.word == key]
        if marks:
            told.append(f"{sign_of(effect)} {words.shown(Term(key))}: {', '.join(marks)}")
        elif key == MAY:
            told.append(words("decision.none_may"))
    yield Paragraph(" · ".join(told), "strong")


def _kilns(a: Assessment, words: Words, room: Room) -> Iterator[Block]:
    """A row per kiln; what bars every one of them is told once, before them."""
    if not a.decisions:
        yield _head(words, "kilns")
        yield Paragraph(words("decision.no_kiln"))
        return
    common = _common(a.decisions)
    if common:
        yield _head(words, "every_kiln")
        reasons = min(room.every, _REASONS_OF_ALL) if room.letters >= _ROOMY else 0
        yield Items(_because(common, words, replace(room, reasons=reasons, actions=room.every - reasons)))
    table = _rows(a, common, words, room)
    name = 8 if max(len(str(row[0])) for row in table) <= _SHORT_NAME else 17
    quench, attack = (max(len(str(row[column])) for row in table) for column in (3, 4))
    few = max(len(" ".join(row[2])) for row in table) <= _FEW_WORDS
    if max(quench, attack) <= _SHORT_LINE:
        quench = attack = _HEAD_WIDE
    elif room.gather and few:
        quench, attack = max(_HEAD_WIDE, min(quench, 22)), max(_HEAD_WIDE, min(attack, 24))
    else:
        quench = attack = 21
    left_out = any(len(each.because) > room.reasons + room.actions for each in a.decisions)
    title = words("decision.kilns_annex" if left_out else "decision.kilns")
    yield Table(
        title,
        words.lines("decision.heads"),
        table,
        (name, 13, (99 if room.gather else 111) - name - quench - attack, quench, attack),
    )
    told = _to_do(a, common, words, room)
    if told:
        yield Items(told)
    for shared in moved(a, words):
        yield Paragraph(shared)


Row = tuple[str | tuple[str, ...], ...]


def _rows(a: Assessment, common: tuple[Bar, ...], words: Words, room: Room) -> tuple[Row, ...]:
    """A row per kiln; where there is little room, one for those of which the same is told, with the mark of each."""
    rows = {decision.spot: _row(a, decision, common, words, room) for decision in a.decisions}
    if not room.gather:
        return tuple(rows.values())
    alike: dict[Row, list[str]] = {}
    for spot, row in rows.items():
        alike.setdefault(row[1:], []).append(spot)
    return tuple(
        (rows[spots[0]][0] if len(spots) == 1 else ", ".join(kiln_mark(a, spot) for spot in spots), *row)
        for row, spots in alike.items()
    )


def _row(a: Assessment, decision: Decision, common: tuple[Bar, ...], words: Words, room: Room) -> Row:
    wet, told_once = a.water.of_spot(decision.spot) if a.water else None, {_key(bar) for bar in common}
    own = tuple(bar for bar in decision.because if _key(bar) not in told_once)
    alone = own
    if room.gather:
        gathered = [bars for bars, spots in _alike(a, common, words).items() if decision.spot in spots]
        alone = tuple(bar for bar in own if not any(_same(bar, bars) for bars in gathered))
    because = _because(alone, words, room) if alone else ()
    if len(alone) < len(own):
        because = (words("decision.below_too", labels=because[0]) if because else words("decision.below"),)
    because = because or (words("decision.besides" if common else "decision.passes"),)
    return (
        short_kiln(a, decision.spot, room.letters // 3),
        f"{sign_of(decision.effect)} {words.shown(Term(decision.word))}",
        because,
        quench_words(a, wet.quench if wet else None, words, None if room.gather else room.letters // 3),
        attack_words(wet.attack if wet else None, words, room.gather),
    )


Bars = tuple[Bar, ...]


def _alike(a: Assessment, common: Bars, words: Words) -> dict[Bars, list[str]]:
    """Bars that are the same at the same kilns, by the ids of these; those of one kiln alone are left out."""
    told_once, at = {_key(bar) for bar in common}, dict[tuple[str, ...], tuple[Bar, list[str]]]()
    for decision in a.decisions:
        for bar in decision.because:
            if _key(bar) not in told_once:
                key = bar.check, bar.verdict, words.tell(bar.action)
                spots = at.setdefault(key, (bar, []))[1]
                spots += [] if decision.spot in spots else [decision.spot]
    sets: dict[tuple[str, ...], list[Bar]] = {}
    for bar, spots in at.values():
        if len(spots) > 1:
            sets.setdefault(tuple(spots), []).append(bar)
    return {tuple(bars): list(spots) for spots, bars in sets.items()}


def _to_do(a: Assessment, common: Bars, words: Words, room: Room) -> tuple[str, ...]:
    """What to do about the kilns whose rows do not say it: each thing once, with the marks of those it is asked of.

    Where bars are gathered, behind what is wrong with these kilns; the rows tell what is wrong with one alone.
    """
    if not room.gather:
        return ()
    gathered = _alike(a, common, words)
    told = [_asked(spots, bars, a, words, room, _labels(bars, words)) for bars, spots in gathered.items()]
    told_once = {_key(bar) for bar in common[: room.every]}
    alone: dict[Bars, list[str]] = {}
    for decision in a.decisions:
        own = tuple(bar for bar in decision.because if _key(bar) not in told_once)
        if own and not any(decision.spot in spots and _same(own[0], bars) for bars, spots in gathered.items()):
            asked = tuple({words.tell(bar.action): bar for bar in reversed(own)}.values())[::-1]
            alike = next((each for each in alone if _actions(each, words) == _actions(asked, words)), asked)
            alone.setdefault(alike, []).append(decision.spot)
    return (*told, *(_asked(spots, bars, a, words, room) for bars, spots in alone.items()))


def _asked(spots: list[str], bars: Bars, a: Assessment, words: Words, room: Room, wrong: str = "") -> str:
    """What is asked of kilns, as much of it as there is room for."""
    actions = _actions(bars, words)
    first = "" if len(actions) <= room.to_do else words("decision.first")
    kilns = ", ".join(kiln_mark(a, spot) for spot in spots)
    named = f"{kilns}: {wrong}" if wrong else kilns
    return words("decision.to_do", kilns=named, action=f"{first}{'; '.join(actions[: room.to_do])}")


def _actions(bars: Bars, words: Words) -> tuple[str, ...]:
    return tuple(dict.fromkeys(words.tell(bar.action).rstrip(".") for bar in bars))


def _same(bar: Bar, bars: Bars) -> bool:
    return any((bar.check, bar.verdict, bar.action) == (each.check, each.verdict, each.action) for each in bars)


def _key(bar: Bar) -> tuple[object, ...]:
    """Bars of two kilns that are the same thing, told once."""
    return bar.check, bar.verdict, bar.word, bar.reason, bar.action


def _common(decisions: tuple[Decision, ...]) -> tuple[Bar, ...]:
    if len(decisions) < 2:
        return ()
    others = [{_key(bar) for bar in decision.because} for decision in decisions[1:]]
    return tuple(bar for bar in decisions[0].because if all(_key(bar) in each for each in others))


def _because(bars: tuple[Bar, ...], words: Words, room: Room) -> tuple[str, ...]:
    """Each bar with its reason and what to do about it; those there is no room for by their label."""
    most = room.reasons + room.actions
    alike: dict[tuple[str, str], list[Bar]] = {}  # what asks for the same is told together
    for place, bar in enumerate(bars[:most]):
        why = words.shown(Term(bar.verdict))
        if place < room.reasons and bar.check not in _SAID_BY_ACTION:
            why = shortened(words.tell(brief(bar.reason)).rstrip("."), 240)
        alike.setdefault((why, words.tell(bar.action).rstrip(".")), []).append(bar)
    told = [
        words("decision.bar", label=_listed(same, words), why=why, action=action)
        for (why, action), same in alike.items()
    ]
    if len(bars) > most:
        told.append(words("decision.also" if told else "decision.only", labels=_labels(bars[most:], words)))
    return tuple(told)


def _labels(bars: tuple[Bar, ...], words: Words) -> str:
    """What is wrong by its verdict, what is only not known last; what is alike together."""
    alike: dict[str, list[Bar]] = {}
    for bar in sorted(bars, key=lambda bar: bar.verdict == "not known"):
        alike.setdefault(words.shown(Term(bar.verdict)), []).append(bar)
    return "; ".join(f"{_listed(same, words)}: {verdict}" for verdict, same in alike.items())


def _listed(bars: list[Bar], words: Words) -> str:
    """The labels of bars, each once; quench and attack line have one for both."""
    both = {bar.check for bar in bars}.issuperset(_BOTH_LINES)
    labels = (words("decision.both_lines") if both and bar.check in _BOTH_LINES else _label(bar, words) for bar in bars)
    return ", ".join(dict.fromkeys(labels))


def _label(bar: Bar, words: Words) -> str:
    return words.shown(Term(check_label(bar.check)))


def _list(lines: tuple[str, ...], most: int, room: Room, words: Words, more: str = "more") -> tuple[str, ...]:
    """As many lines as there is room for, and how many more there are."""
    told = tuple(shortened(line, max(room.letters, 120)) for line in lines)
    if len(told) <= most:
        return told
    first = told[: max(most - 1, 0)]
    return (*first, words(f"decision.{more}" if first else "decision.all_in_annex", n=len(told) - len(first)))


def _today(a: Assessment, words: Words) -> tuple[str, ...]:
    """What is looked at again on the morning, and air that hardly mixes; the weather stands in the limits."""
    matters = [each for each in a.on_the_day if each.code != "today.weather"]
    still = [each for each in cautions_of(a.smoke) if each.code == "season.air_hardly_mixes"]
    return tuple(words.told(each) for each in (*matters[:1], *still, *matters[1:]))


def _unknown(a: Assessment, words: Words, room: Room, lines: tuple[str, ...]) -> Iterator[Block]:
    if lines:
        yield Items(_list(lines, room.lines, room, words))
    elif a.decisions and all(decision.may_be_lit for decision in a.decisions):
        blank = [label for label, told in who_and_when(a, words, room.letters) if words("shared.not_known") in told]
        told = words("decision.none_but", what=", ".join(blank)) if blank else words("decision.none_unknown")
        yield Paragraph(told)
    else:
        yield Paragraph(words("decision.bars_unknown"))
    if a.assumed:
        yield Paragraph(words("decision.assumed", n=len(a.assumed)), "small")


def _sign(a: Assessment, words: Words, room: Room) -> Iterator[Block]:
    """Room to sign for the kilns that may be lit; what may not be lit has no signature line."""
    lit = [short_kiln(a, each.spot, room.letters // 3) for each in a.decisions if each.may_be_lit]
    if not lit:
        yield Paragraph(words("decision.nothing_to_sign"), "strong")
        return
    yield Paragraph(words("decision.signed_for", kilns=", ".join(lit), day=words.day(a.on)))
    charge, authority = (Blanks((words(f"decision.sign_{who}"),)) for who in ("charge", "authority"))
    yield Sides((charge,), (authority,))
