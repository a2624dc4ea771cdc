"""What the papers are made of is made once for all tests that read it."""

from __future__ import annotations

import sys
from collections import OrderedDict
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from sitemap.assessment import Assessment
from sitemap.plan import contents
from sitemap.plan.map import map_svg

REMEMBERED = 256


def once(make: Callable[..., Any]) -> Callable[..., Any]:
    """A function of an assessment that remembers what it made of one; of another that is alike it makes anew."""
    made: OrderedDict[tuple[Any, ...], tuple[Assessment, Any]] = OrderedDict()

    def remembering(a: Assessment, *args: Any, **more: Any) -> Any:
        asked = (id(a), args, *more.items())
        if asked not in made:
            made[asked] = a, make(a, *args, **more)  # kept with it, so that no other has its id
            if len(made) > REMEMBERED:
                made.popitem(last=False)
        return made[asked][1]

    return remembering


@pytest.fixture(scope="session", autouse=True)
def own_sheets() -> Iterator[None]:
    """The same assessment gives the same sheets and maps (`test_plan_documents` holds that of two that are alike)."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(contents, "_MAKERS", {key: once(make) for key, make in contents._MAKERS.items()})
        drawn = once(map_svg)
        for name, module in tuple(sys.modules.items()):
            if name.startswith("sitemap.plan") and getattr(module, "map_svg", None) is map_svg:
                patch.setattr(module, "map_svg", drawn)
        yield
