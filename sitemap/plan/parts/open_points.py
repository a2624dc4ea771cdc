"""What is not known and what was assumed."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.notes import Note
from sitemap.plan.model import Block, Items, Paragraph, Section
from sitemap.plan.phrases import Words
from sitemap.wording import told

_MOST = 200  # printed


def ranked_unknowns(a: Assessment) -> tuple[Note, ...]:
    """What is not known, the sentences behind an open verdict first, each once."""
    deciding = {
        told(check.reason, a.source.units) for spot in a.spots for check in spot.checks if check.verdict == "not known"
    }
    notes = {note.told(a.source.units): note for note in a.unknowns}
    return tuple(sorted(notes.values(), key=lambda note: note.told(a.source.units) not in deciding))


def position_basis(a: Assessment, *ids: str) -> str:
    """Whether the errors of these places were entered or assumed: the weaker of them."""
    features = [a.source.get(each) for each in ids]
    fine = all(feature is not None and feature.number("position_error_m") is not None for feature in features)
    return "as entered" if fine else "assumed"


def _nothing_missing(a: Assessment, words: Words) -> str:
    """Said where no note is left; a kiln that is barred still lacks something, which the frame on page one says."""
    if a.decisions and all(decision.may_be_lit for decision in a.decisions):
        return words.own("Nothing that was asked for is missing.")
    return words.own("What bars a kiln stands on the decision sheet.")


def not_known_and_assumed(a: Assessment, words: Words) -> Section:
    """Everything not known, and everything assumed."""
    unknowns = _few(tuple(note.told(a.source.units, words.language) for note in ranked_unknowns(a)), words)
    assumed = _few(tuple(dict.fromkeys(note.told(a.source.units, words.language) for note in a.assumed)), words)
    blocks: list[Block] = [Paragraph(words.own("Not known"), "strong")]
    blocks.append(Items(unknowns, small=True) if unknowns else Paragraph(_nothing_missing(a, words)))
    blocks.append(Paragraph(words.own("Assumed"), "strong"))
    blocks.append(Items(assumed, small=True) if assumed else Paragraph(words.own("Nothing was assumed.")))
    return Section("not_known", words.own("Not known and assumed"), tuple(blocks))


def _few(told_of: tuple[str, ...], words: Words) -> tuple[str, ...]:
    """As many as anybody reads; of thousands of heaps the rest is said on their page."""
    if len(told_of) <= _MOST:
        return told_of
    rest = words.own("And {count} more like these; the pages of the program list them.", count=len(told_of) - _MOST)
    return (*told_of[:_MOST], rest)
