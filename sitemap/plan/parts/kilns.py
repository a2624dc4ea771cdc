"""Kilns: the verdict of each with every check, what it burns, and its clock in full."""

from __future__ import annotations

from collections.abc import Iterator

from sitemap.assessment import Assessment, SpotReport
from sitemap.kiln.values import KilnRun
from sitemap.plan.model import Block, Facts, Paragraph, Section, Table
from sitemap.plan.phrases import Words
from sitemap.plan.say import brief, name_of, sign_of
from sitemap.reasons import KilnName, Term
from sitemap.safety.effects import PASSES, RULED_OUT
from sitemap.safety.permission import Check
from sitemap.summary import counted, said
from sitemap.units import text
from sitemap.wording import capital, check_label, listed


def kilns(a: Assessment, words: Words) -> Section:
    """The verdict of each kiln with every check but the distances, which have a head of their own."""
    blocks: list[Block] = []
    if not a.spots:
        blocks.append(Paragraph(words.own("No kiln is placed.")))
    runs = {run.spot: run for run in a.kilns}
    shared = _shared(a)
    if shared:
        blocks.append(_whole_site(a, words, shared))
    for spot in a.spots:
        blocks.append(
            Paragraph(f"{capital(words.shown(KilnName(spot.name)))}: {_decided(a, words, spot.id)}", "strong")
        )
        blocks.append(Paragraph(_decides(a, words, spot)))
        if spot.id in runs:
            blocks.append(Facts(tuple(_work(a, words, runs[spot.id]))))
        blocks.append(_checks(a, words, spot, shared))
    if any(each.may_be_lit for each in a.decisions):
        blocks.append(Paragraph(words.own("“May be lit” is not a permission and promises nothing."), "small"))
    return Section("kilns", words.own("Kilns"), tuple(blocks))


def _decided(a: Assessment, words: Words, spot: str) -> str:
    decision = a.decision(spot)
    if decision is None:
        return words("shared.not_known")
    return f"{sign_of(decision.effect)} {words.shown(Term(decision.word))}"


def _decides(a: Assessment, words: Words, spot: SpotReport) -> str:
    decision = a.decision(spot.id)
    if decision is None or decision.may_be_lit:
        return words.own("Nothing that was entered stands against it.")
    first = dict.fromkeys(words.tell(bar.action) for bar in decision.because if bar.word == decision.word)
    return words.own("First: {actions}. The reasons stand below.", actions=listed(first))


def _work(a: Assessment, words: Words, run: KilnRun) -> Iterator[tuple[str, str]]:
    """What is each kiln's own: what stands there, what it burns, how many batches."""
    units = a.source.units
    many = words.own(", {n} of them", n=run.units) if run.units > 1 else ""
    moved = words.own(", moved between places") if run.moved else ""
    yield words.own("What stands there"), f"{run.name}{many}{moved}"
    scattered = words.own("scattered slash")
    heaps = [feature.name if (feature := a.source.get(heap)) else scattered for heap in run.heaps]
    yield words.own("Burns"), listed(heaps) or words.own("no heap is given to it")
    per_day = _no_clock(a, words, run)
    if run.batches_per_day is not None:
        per_day = words.own("{n} a day", n=run.batches_per_day)
    batches, days = words.figure(counted(run.batches)), words.figure(counted(run.days))
    told = words.own("{batches} in all; {per_day}; days {days}", batches=batches, per_day=per_day, days=days)
    yield words.own("Kiln batches"), told
    lost = words.figure(said(run.lost_in_an_hour, "fraction", units))
    yield words.own("Each hour without water"), words.own("costs {share} of the char", share=lost)
    glow = words.own(
        "{glow}; 2.5 kW/m² is too much even in work clothing", glow=words.figure(said(run.glow_kw_m2, "kw_m2", units))
    )
    yield words.own("Heat at the quench, {far} from the rim", far=text(1.0, "m", units, 2)), glow
    yield (
        words.own("Thickest piece"),
        words.own(
            "{thick}, in at least {soak} min before the water (operators' rule, no source; a test furnace chars it "
            "through in {charring} min)",
            thick=text(run.thickest_cm, "cm", units, 2),
            soak=f"{run.soak_min:.0f}",
            charring=f"{run.charring_min:.0f}",
        ),
    )


def _no_clock(a: Assessment, words: Words, run: KilnRun) -> str:
    """Why a kiln has no batch on the day: the day, or the people who rake; as it is noted of the kiln."""
    about = {run.spot, run.id}
    notes = [note for note in a.unknowns if note.what == "no_batch_fits" and note.about in about]
    if notes:
        return notes[0].told(a.source.units, words.language).rstrip(".")
    return words.own("no batch on the day" if a.daylight else "no clock, the light of the day is not known")


def _checks(a: Assessment, words: Words, spot: SpotReport, shared: tuple[Check, ...]) -> Table:
    rows = [_check(a, words, check) for check in spot.checks if check.check != "distance" and check not in shared]
    apart = [check for check in spot.checks if check.check == "distance"]
    if apart:
        worst = next((c for c in apart if c.effect == spot.effect), apart[0])
        still = [words.told(c.reason) for c in apart if c.effect != PASSES]
        fine = words.own("{n} distances, each far enough by the rule entered.", n=len(spot.setbacks))
        why = f"{' '.join(still) if still else fine} {words.own('See “Distances”.')}"
        rows.append((words.own("Distances"), _signed(words, worst), why))
    rows += _of_the_day(a, words, spot)
    return Table("", words.row("Check", "Verdict", "Why"), tuple(rows), (18, 20, 62), small=True)


def _of_the_day(a: Assessment, words: Words, spot: SpotReport) -> Iterator[tuple[str, str, str]]:
    """What else bars it: matters of the day, of people and of the wood."""
    decision, of_spot = a.decision(spot.id), {(check.check, check.verdict) for check in spot.checks}
    for bar in decision.because if decision is not None else ():
        if (bar.check, bar.verdict) not in of_spot:
            why = f"{words.told(bar.reason)} {words.own('To do: {action}.', action=words.tell(bar.action))}"
            yield _label(a, words, bar.check, bar.about), f"? {words.shown(Term(bar.verdict))}", why


def _shared(a: Assessment) -> tuple[Check, ...]:
    """Checks that are the same for every kiln: who was asked, what was looked for."""
    of_site = [check for check in a.spots[0].checks if check.check in ("looked", "authority")] if a.spots else []
    return tuple(check for check in of_site if all(check in spot.checks for spot in a.spots))


def _whole_site(a: Assessment, words: Words, shared: tuple[Check, ...]) -> Table:
    rows = tuple(_check(a, words, each) for each in shared)
    title = words.own("Checks of the whole site: they count for every kiln")
    return Table(title, words.row("Check", "Verdict", "Why"), rows, (18, 20, 62), True)


def _check(a: Assessment, words: Words, check: Check) -> tuple[str, str, str]:
    return _label(a, words, check.check, check.about), _signed(words, check), words.told(brief(check.reason))


def _signed(words: Words, check: Check) -> str:
    if check.check == "water_attack" and check.verdict == "short":
        return f"{sign_of(RULED_OUT)} {words('decision.weak')}"  # as the decision sheet says it
    return f"{sign_of(check.effect)} {words.shown(Term(check.verdict))}"


def _label(a: Assessment, words: Words, check: str, about: str) -> str:
    label = words.shown(Term(check_label(check)))
    return f"{label}: {words.shown(Term(name_of(a, about))).lower()}" if check == "looked" else label
