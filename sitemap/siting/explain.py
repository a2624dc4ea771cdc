"""What the ground says of a place and what every check says of a kiln spot put there, told as one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from sitemap.safety.effects import CONDITIONAL, PASSES, RULED_OUT, worst_effect
from sitemap.safety.permission import Check
from sitemap.site.kinds import KINDS
from sitemap.siting.layers import Reason

MORE_ASKED = (
    "The area of reach ends before here: it asks for the way of quenching at the kiln spots that takes the most."
)
_ON_THE_GROUND = {"ground": "what lies under the kiln", "branches": "whether branches hang over it"}
_LINES = {"water_quench": "Quench line", "water_attack": "Attack line"}


@dataclass(frozen=True)
class Told:
    """effect : of a kiln spot put there; usable : whether nothing bars the ground; sentences : what bars first."""

    effect: str
    usable: bool
    sentences: tuple[str, ...]


def told(reasons: Iterable[Reason], checks: Sequence[Check], names: Mapping[str, str], units: str) -> Told:
    """The answer for a place.

    Parameters
    ----------
    reasons : what the ground says against a kiln there
    checks : of a kiln spot put there; without any it is conditional
    names : of the features by id, to say nothing twice
    units : of the sentences

    Returns
    -------
    Told; of the water the checks of the spot decide, as its verdict does
    """
    said = list(reasons)
    quench = next((check for check in checks if check.check == "water_quench"), None)
    barred = any(reason.bars for reason in said if reason.what == "water")
    if quench is not None and barred != (quench.effect == RULED_OUT):
        said = [reason for reason in said if reason.what != "water"]
        said += [Reason("more water", False, MORE_ASKED)] if barred else []
    effect = worst_effect(check.effect for check in checks)
    known = [(reason.bars, reason.sentence) for reason in said]
    open_checks = [check for check in checks if check.effect != PASSES]
    for check in open_checks:
        if not (_unasked(check) or _covered(check, said, names)):
            line = _LINES.get(check.check)
            known.append(
                (
                    check.effect == RULED_OUT,
                    f"{line}, {check.verdict}: {check.told(units)}" if line else check.told(units),
                )
            )
    sentences = [text for bars in (True, False) for barring, text in known if barring == bars]
    ground = [_ON_THE_GROUND[check.check] for check in open_checks if check.check in _ON_THE_GROUND]
    looked = [KINDS[check.about].label.lower() for check in open_checks if check.check == "looked"]
    if ground:
        sentences.append(f"To be seen on the ground: {', '.join(ground)}.")
    if looked:
        sentences.append(f"To be looked for, as far as its rule and with name and date: {', '.join(looked)}.")
    usable = effect != RULED_OUT and not any(barring for barring, _ in known)
    return Told(effect, usable, tuple(dict.fromkeys(sentences)))


def _unasked(check: Check) -> bool:
    """Checks told together at the end."""
    return check.effect == CONDITIONAL and (check.check in _ON_THE_GROUND or check.check == "looked")


def _covered(check: Check, said: Iterable[Reason], names: Mapping[str, str]) -> bool:
    """Whether the ground has said it already."""
    what = {"slope": "slope", "water_quench": "water"}.get(check.check)
    if what is not None:
        return any(reason.what == what for reason in said)
    if check.check != "distance" or check.about not in names:
        return False
    name = names[check.about]
    bars = check.effect == RULED_OUT
    return any(f"{name}: " in r.sentence or r.sentence.startswith(f"Kiln {name} ") for r in said if r.bars == bars)
