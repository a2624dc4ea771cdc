"""What the papers are made of is made once for all tests that read it."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from sitemap import plan
from sitemap.assessment import Assessment
from sitemap.plan import contents, phone

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
def made_once() -> Iterator[None]:
    """The same assessment gives the same sheets and maps (`test_plan_documents` holds that of two that are alike)."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(contents, "_MAKERS", {key: once(make) for key, make in contents._MAKERS.items()})
        for module in (plan, phone):
            patch.setattr(module, "map_svg", once(module.map_svg))
        yield
