"""A row of the table: one change to the safe site, and what the decision on a kiln must then say."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from tests.safety.dangerous.safe_site import SafeSite

NOT_YET, NOT_HERE = "not yet", "not here"


@dataclass(frozen=True)
class Row:
    """One dangerous set-up.

    change : makes it out of the safe site
    word : the best the decision may say
    says : regular expression, found in what the first bars say (reason or action)
    kiln : whose decision is read; today : the day somebody looks, the burn date where left out
    """

    change: Callable[[SafeSite], SafeSite]
    word: str
    says: str
    kiln: str = "k1"
    today: dt.date | None = None


def row(
    title: str,
    change: Callable[[SafeSite], SafeSite],
    word: str,
    says: str,
    *,
    kiln: str = "k1",
    today: dt.date | None = None,
) -> Any:
    """A row under its title."""
    return pytest.param(Row(change, word, says, kiln, today), id=title)
