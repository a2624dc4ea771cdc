"""May this kiln be lit? One decision per kiln, made once, and read by map, page, clock, paper, signature and file."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from sitemap.day.actions import action_of
from sitemap.reasons import Reason
from sitemap.safety.effects import CONDITIONAL, PASSES, RULED_OUT
from sitemap.safety.permission import Check

Word = Literal["may be lit", "not yet", "not here"]
MAY: Word = "may be lit"
NOT_YET: Word = "not yet"
NOT_HERE: Word = "not here"
WORDS: tuple[Word, ...] = (MAY, NOT_YET, NOT_HERE)  # best first
_WORD_OF: dict[str, Word] = {CONDITIONAL: NOT_YET, RULED_OUT: NOT_HERE}
_EFFECT_OF: dict[Word, str] = {MAY: PASSES, **{word: effect for effect, word in _WORD_OF.items()}}


@dataclass(frozen=True)
class Bar:
    """One thing that keeps a kiln from being lit.

    check, verdict, about : of the check it comes from
    word : "not yet" where it can be mended where the kiln stands, "not here" where it cannot
    reason : what is wrong; action : what to do about it
    """

    check: str
    verdict: str
    word: Word
    about: str
    reason: Reason
    action: Reason

    @property
    def effect(self) -> str:
        """The effect whose sign it bears: "conditional" or "ruled out"."""
        return _EFFECT_OF[self.word]


@dataclass(frozen=True)
class Decision:
    """Whether one kiln may be lit, and why not. The word follows from the bars alone: with one left there is no yes.

    spot : id of the kiln spot; name : of it
    because : every bar, the worst first
    """

    spot: str
    name: str
    because: tuple[Bar, ...]

    @property
    def word(self) -> Word:
        """ "may be lit", "not yet" or "not here"."""
        return max((bar.word for bar in self.because), key=WORDS.index, default=MAY)

    @property
    def effect(self) -> str:
        """The effect whose sign it bears: "passes", "conditional" or "ruled out"."""
        return _EFFECT_OF[self.word]

    @property
    def may_be_lit(self) -> bool:
        """Whether nothing bars it; not a permission to leave any check of the morning out."""
        return not self.because

    @property
    def first(self) -> Bar | None:
        """The bar to be told where there is room for one."""
        return self.because[0] if self.because else None


def decide(spot: str, name: str, checks: Iterable[Check]) -> Decision:
    """The decision on one kiln from every check of its spot and of the day.

    spot, name : id and name of the kiln spot; checks : of the spot and of the day

    What is wrong stands before what is not known, and both before nothing: a missing answer never hides a bad one.
    """
    found = tuple(checks)
    bars = [
        Bar(each.check, each.verdict, _WORD_OF[each.effect], each.about, each.reason, action_of(each))
        for each in found
        if each.effect != PASSES
    ]
    if not found:
        raise ValueError("A decision rests on checks: none were made. This is a fault of the program.")
    bars.sort(key=lambda bar: (-WORDS.index(bar.word), bar.verdict == "not known"))
    return Decision(spot, name, tuple(dict.fromkeys(bars)))
