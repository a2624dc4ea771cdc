"""What people typed, shown as they typed it where the page framework would read it as markup."""

from __future__ import annotations

from sitemap.telling.unbroken import unbroken


def plain(text: str) -> str:
    """User text as text, not as markup; a figure keeps its unit on its line.

    >>> plain("gust 13 km/h *") == "gust 13\\u00a0km/h \\\\*"
    True
    """
    return "".join("\\" + c if c in "\\`*_{}[]()#+-.!|<>$:~" else c for c in unbroken(text, ""))
