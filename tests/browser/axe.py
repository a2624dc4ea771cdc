"""What somebody cannot read or reach, by the accessibility rules of axe-core (WCAG 2.1 A and AA)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import axe_playwright_python
from playwright.sync_api import Frame, Page

AXE = (Path(axe_playwright_python.__file__).parent / "axe.min.js").read_text(encoding="utf-8")
RULES = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"]},
    "rules": {
        name: {"enabled": False} for name in ("region", "page-has-heading-one", "landmark-one-main")
    },  # of a page
}


def serious(where: Page | Frame, include: list[str]) -> list[str]:
    """Serious and critical findings below these selectors."""
    if not where.evaluate("typeof axe === 'object'"):
        where.evaluate(AXE)
    found: dict[str, Any] = where.evaluate(
        "([include, rules]) => axe.run({include: include.map(one => [one])}, rules)", [include, RULES]
    )
    assert found["passes"], "the rules were not applied"
    return [
        f"{each['id']}: {each['help']} – {each['nodes'][0]['html'][:160]}"
        for each in found["violations"]
        if each["impact"] in ("serious", "critical")
    ]
