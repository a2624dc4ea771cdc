"""What was typed in the fields of a site and has been taken: the browser waits to hear of it."""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import count
from typing import Any

_MOST = 50  # so many fields are told of, those taken last
_marks = count(time.time_ns() // 1_000_000)  # also after a start anew none comes twice


@dataclass
class Heard:
    """The last text of each field that was taken, on the site with the link."""

    link: str | None = None
    texts: dict[str, tuple[int, str]] = field(default_factory=dict)

    def took(self, link: str | None, key: str, text: Any) -> None:
        """Remember that what was typed in a field has been taken."""
        if link != self.link:
            self.link, self.texts = link, {}
        if isinstance(text, str):
            self.texts.pop(key, None)
            self.texts[key] = next(_marks), text
            if len(self.texts) > _MOST:
                del self.texts[next(iter(self.texts))]

    def of(self, link: str | None) -> Mapping[str, tuple[int, str]]:
        """Key of the field → a mark of that time alone, as the same text may be taken again, and text; for one site."""
        return dict(self.texts) if link == self.link else {}
