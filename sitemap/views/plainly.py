"""What people typed, shown as they typed it where the page framework would read it as markup."""

from __future__ import annotations


def plain(text: str) -> str:
    """User text as text, not as markup."""
    return "".join("\\" + c if c in "\\`*_{}[]()#+-.!|<>$:~" else c for c in text)
