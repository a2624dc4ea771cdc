"""The crew card: what one person at one kiln needs, read at arm's length with gloves on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from sitemap.assessment import Assessment, SpotReport
from sitemap.day.decision import Decision
from sitemap.kiln.values import KilnRun
from sitemap.maps.symbols import VERDICTS
from sitemap.plan.model import Block, Items, Paragraph, Section, Sheet, Sides, Table, Warned
from sitemap.plan.near import at_least
from sitemap.plan.parts.limits import stop_at
from sitemap.plan.phrases import Words
from sitemap.plan.say import brief, edges, short_kiln, spots_in_use
from sitemap.plan.sheets.crew_calls import calls
from sitemap.plan.sheets.crew_water import early, lines
from sitemap.plan.sheets.times import batches, moments
from sitemap.reasons import Fact, KilnName, Quantity, Term, metres
from sitemap.safety.limits_of_site import limits_of
from sitemap.safety.of_site import SpotSafety
from sitemap.wording import check_label

BODY_PT = 11
RAKE_M, MACHINE_ROOM_M, BARE_RING_M = 2.0, 3.0, 3.0  # [m] house rules (C)
FOR_THE_PEN = "\u00a0"
_TITLE = 28  # letters of a kiln in the title: it stays one line
#  Why a kiln may not be lit: so many reasons where there is room, fewer, then what of it in a line; and whether call
#  and way out stand side by side.
_TRIES = ((3, False), (1, False), (1, True), (0, True))
_LABELS = 3


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """A card for every kiln that may stand where it is placed, in two languages its front and its back; where there
    is no such kiln, one that says so."""
    spots = spots_in_use(a)
    made = [(_card(a, one, spot), one) for spot in spots for one in words.each] or [
        (_none(a, one), one) for one in words.each
    ]
    return tuple(card if one == words.each[0] else _back(card, a, one) for card, one in made)


def _none(a: Assessment, words: Words) -> Sheet:
    said = Paragraph(words("crew.none" if a.spots else "crew.none_placed"))
    return Sheet("crew", words("crew.any"), (said, *calls(a, words, None)), True, BODY_PT)


def _back(card: Sheet, a: Assessment, words: Words) -> Sheet:
    subtitle, footer = edges(a, words)
    return replace(card, subtitle=subtitle, footer=footer, language=words.language)


def _card(a: Assessment, words: Words, spot: SpotReport) -> Sheet:
    versions = tuple(tuple(_blocks(a, words, spot, *each)) for each in _TRIES)
    title = words("crew.title", kiln=KilnName(short_kiln(a, spot.id, _TITLE)))
    return Sheet("crew", title, versions[0], True, BODY_PT, spot.name, versions[1:])


def _blocks(a: Assessment, words: Words, spot: SpotReport, most: int, beside: bool) -> Iterator[Block]:
    run = next((run for run in a.kilns if run.spot == spot.id), None)
    safe = next((each for each in (a.safety.spots if a.safety else ()) if each.id == spot.id), None)
    yield _decided(words, a.decision(spot.id), most)
    yield Section("card_clock", words("crew.clock"), _clock(a, words, spot.id))
    yield Section("card_job", words("crew.job"), (_jobs(a, words, spot.id, run, safe),))
    yield Section("card_stand", words("crew.stand"), (Items(tuple(_stand(a, words, safe))),))
    yield Section("card_water", words("crew.water"), (Items(lines(a, words, spot.id, run)),))
    yield Warned(words("crew.stop"), _stop(a, words))
    yield Items(early(words, run))
    call, way_out = calls(a, words, a.source.get(spot.id))
    yield from (Sides((call,), (way_out,), (3, 2)),) if beside else (call, way_out)


def _decided(words: Words, decision: Decision | None, most: int) -> Warned:
    """The decision first: nobody reads on to find out that the kiln is not to be lit."""
    if decision is None:
        return Warned(words("crew.do_not_light", word=None), ())
    if decision.may_be_lit:
        return Warned(f"{VERDICTS['passes'].sign} {words('crew.may')}", (words("crew.after_checks"),))
    title = f"{VERDICTS[decision.effect].sign} {words('crew.do_not_light', word=Term(decision.word))}"
    if not most:
        return Warned(title, (_labels(words, decision),))
    bars = [words.told(brief(bar.reason)) for bar in decision.because[:most]]
    rest = len(decision.because) - len(bars)
    more = (words("crew.more_reasons", count=rest),) if rest else ()
    return Warned(title, (*bars, *more))


def _labels(words: Words, decision: Decision) -> str:
    """In one line what bars the kiln, where there is no room for the reasons."""
    labels = tuple(dict.fromkeys(words.shown(Term(check_label(bar.check))) for bar in decision.because))
    rest = len(labels) - _LABELS
    shown = ", ".join(labels[:_LABELS])
    return words("crew.labels_more", labels=shown, count=rest) if rest > 0 else words("crew.labels", labels=shown)


def _clock(a: Assessment, words: Words, spot: str) -> tuple[Block, ...]:
    """The latest times; none for a kiln that may not be lit."""
    own = [(number, clock) for number, clock, each in batches(a) if each.id == spot]
    if not own:
        return (Paragraph(words("crew.no_times")),)
    heads = tuple(
        words(f"shared.{key}") for key in ("light_by", "last_thick", "last_wood", "water_on", "out", "check_1")
    )
    rows = tuple(moments(words, a.on, clock)[:6] for _, clock in own)
    if len(own) == 1:
        return (Table("", heads, rows, (1,) * len(heads)),)
    numbered = tuple((f"{number}", *row) for (number, _), row in zip(own, rows, strict=True))
    return (Table("", (words("crew.number"), *heads), numbered, (1, *(2,) * len(heads))),)


def _jobs(a: Assessment, words: Words, spot: str, run: KilnRun | None, safe: SpotSafety | None) -> Table:
    """Who does what at this kiln, with room for a name."""
    wet = a.water.of_spot(spot) if a.water else None
    by = {"hose": "pump", "haul": "haul", "hand": "carry"}.get((wet.quench.way if wet else None) or "")
    raked = run is None or run.method == "raked_and_sprayed"
    feeders = run.feeders if run else None
    thickest: Fact = Quantity(run.thickest_cm, "cm", 2) if run else None
    alone = len({each.id if each.never_twice else each.spot for each in a.kilns}) == 1
    looks = "lookout_pump_how" if alone and by == "pump" else "lookout_how"
    rows = [
        (
            words("crew.feed_any") if feeders is None else words("crew.feed", count=feeders),
            words("crew.feed_how_unknown") if run is None else words("crew.feed_how", thickest=thickest),
        ),
        (words("crew.rake"), words("crew.rake_how", reach=at_least(RAKE_M, words)))
        if raked
        else (words("crew.nozzle"), words("crew.nozzle_how")),
        *([(words(f"crew.{by}"), words(f"crew.{by}_how"))] if by else []),
        (words("crew.lookout"), words(f"crew.{looks}", far=_patrol(safe))),
    ]
    heads = (words("crew.job_head"), words("crew.how_head"), words("crew.who_head"))
    return Table("", heads, tuple((*row, FOR_THE_PEN) for row in rows), (22, 56, 22), hand=True)


def _patrol(safe: SpotSafety | None) -> Fact:
    return None if safe is None or safe.patrol_m is None else metres(safe.patrol_m, 2, "up")


def _stand(a: Assessment, words: Words, safe: SpotSafety | None) -> Iterator[str]:
    yield words("crew.upwind")
    if safe is not None:
        rest, visitors = (at_least(metres_, words) for metres_ in (safe.rest_m, safe.visitors_m))
        yield words("crew.from_rim", rest=rest, visitors=visitors, ring=at_least(BARE_RING_M, words))
    reach = [machine.number("reach_m") for machine in a.source.equipment("machines")]
    known = [far for far in reach if far is not None]
    if reach:
        yield (
            words("crew.machine", far=at_least(max(known) + MACHINE_ROOM_M, words))
            if len(known) == len(reach)
            else words("crew.machine_unknown", more=at_least(MACHINE_ROOM_M, words))
        )


def _stop(a: Assessment, words: Words) -> tuple[str, ...]:
    """Five signs, the stricter of our limits and the permit's for wind and air."""
    limits = {limit.key: limit for limit in limits_of(a.source.section("permit"))}
    wind, gust, humidity = (stop_at(limits[key], words) for key in ("wind", "gust", "humidity"))
    return (
        words("crew.stop_wind", wind=wind, gust=gust),
        words("crew.stop_air", humidity=humidity),
        words("crew.stop_fire"),
        words("crew.stop_water"),
        words("crew.stop_people"),
    )
