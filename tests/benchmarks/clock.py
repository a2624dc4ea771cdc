"""How benchmarks measure: seconds of processor, with those of the processes started, so that a busy machine tells the
same figures; several works in turn, the best of each, so that what slows one slows the others; a ratio with its goal.
"""

from __future__ import annotations

import os
import resource
from collections.abc import Callable, Sequence
from pathlib import Path


def cpu_s() -> float:
    """Seconds of processor this process and its ended children have used."""
    used = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(each.ru_utime + each.ru_stime for each in used)


def cpu_s_of(pid: int) -> float:
    """Seconds of processor another running process has used; Linux only, else 0."""
    stat = Path(f"/proc/{pid}/stat")
    if not stat.exists():
        return 0.0
    user, system = stat.read_text().rpartition(")")[2].split()[11:13]
    return (int(user) + int(system)) / os.sysconf("SC_CLK_TCK")


def seconds(work: Callable[[], object]) -> float:
    """Seconds of processor of one run."""
    start = cpu_s()
    work()
    return cpu_s() - start


def in_turn(works: Sequence[Callable[[], object]], rounds: int = 3) -> list[float]:
    """The least seconds of processor of each work, run one after the other, round after round."""
    taken = [[seconds(work) for work in works] for _ in range(rounds)]
    return [min(each) for each in zip(*taken, strict=True)]


def against(figure: float, goal: float, unit: str = "×") -> str:
    """A figure beside its goal, and whether it is met."""
    return f"{figure:.2f} {unit} (goal {goal:g}: {'met' if figure <= goal else 'MISSED'})"
