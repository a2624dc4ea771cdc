"""Kilns that may not burn: what is assumed of them, the heaps left without another, and what is laid all the same."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sitemap.day.decision import Decision
from sitemap.kiln.values import KilnRun
from sitemap.notes import Note
from sitemap.reasons import KilnName, Reason, reason


def as_if_moved(
    barred: Mapping[str, str], runs: Iterable[KilnRun], heaps: Mapping[str, str]
) -> tuple[tuple[Note, ...], tuple[Note, ...]]:
    """What is assumed of kilns that may not burn there, and what is not known because of them.

    barred : id of each such kiln spot → its name; runs : what is burned at each spot; heaps : id → name

    Their work stays in the sums: the heaps are still to be burned, and to leave it out would show less water than the
    day may ask for.

    >>> from types import SimpleNamespace as Run
    >>> runs = Run(spot="k1", heaps=("p1", "p2")), Run(spot="k2", heaps=("p2",))
    >>> assumed, unknowns = as_if_moved({"k1": "K1"}, runs, {"p1": "P1", "p2": "P2"})
    >>> [note.about for note in assumed], [note.text.fact("heaps") for note in unknowns]
    (['k1'], [('P1',)])
    """
    planned = tuple(runs)
    elsewhere = {heap for run in planned if run.spot not in barred for heap in run.heaps}
    assumed, unknowns = [], []
    for run in planned:
        if run.spot not in barred:
            continue
        kiln = KilnName(barred[run.spot])
        assumed.append(Note(run.spot, "counted_as_if_moved", reason("day.counted_as_if_moved", kiln=kiln)))
        waiting = tuple(heaps[heap] for heap in run.heaps if heap not in elsewhere and heap in heaps)
        if waiting:
            stuck = reason("day.no_kiln_may_burn", kiln=kiln, heaps=waiting)
            unknowns.append(Note(run.spot, "no_kiln_may_burn", stuck))
    return tuple(assumed), tuple(unknowns)


def laid_though_barred(decisions: Iterable[Decision], laid: Iterable[str]) -> Reason | None:
    """What a calendar says of the kilns it lays batches for although they may not be lit; None where there are none.

    decisions : on every kiln; laid : ids of the kiln spots with batches on its days

    Dates in print read as leave to burn: the sentence stands above them.

    >>> from types import SimpleNamespace as Kiln
    >>> one, other = (Kiln(spot=key, name=key.upper(), may_be_lit=False) for key in ("k1", "k2"))
    >>> laid_though_barred((one, other), ("k2",)).fact("kilns"), laid_though_barred((one, other), ())
    (('K2',), None)
    """
    those = frozenset(laid)
    kilns = tuple(KilnName(each.name) for each in decisions if each.spot in those and not each.may_be_lit)
    return reason("day.laid_though_barred", kilns=kilns) if kilns else None
