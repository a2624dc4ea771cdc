"""What the log teaches of char and yield changes the wood a batch takes by its own share, and nothing else."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from sitemap.kiln.values import KilnRun
from sitemap.season.learning import Belief
from sitemap.season.log_of_site import _Common, _per_batch
from tests.safety.dangerous.safe_site import SafeSite


@cache
def run() -> KilnRun:
    return SafeSite().assessed().kilns[0]


@pytest.mark.parametrize(("heavier", "richer"), [(1.0, 1.0), (2.0, 1.0), (1.0, 2.0), (1.5, 0.5)])
def test_law_heavier_char_took_more_wood_and_a_richer_yield_less(heavier: float, richer: float) -> None:
    """Wood = volume × density of the char / yield (D)."""

    def moved(mean: float, factor: float) -> tuple[Belief, Belief]:
        return Belief(mean, 0.1), Belief(mean + math.log(factor), 0.1)

    common = _Common(moved(5.0, heavier), moved(-1.5, richer), Belief(0.0, 0.1), ())
    planned = run().feed_dry_t_per_batch.values
    np.testing.assert_allclose(_per_batch(run(), common), planned * heavier / richer, rtol=1e-9)
