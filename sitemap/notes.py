"""What was assumed and what is not known, said beside the figures that rest on it."""

from __future__ import annotations

from dataclasses import dataclass

from sitemap.reasons import Reason
from sitemap.telling import sentence as as_sentence


@dataclass(frozen=True, order=True)
class Note:
    """One thing assumed, missing or unsound.

    about : id of the feature or piece of equipment, or "site"
    what : stable snake_case word that tests and scripts may read
    text : what is told of it
    """

    about: str
    what: str
    text: Reason

    def told(self, system: str = "metric", language: str = "en") -> str:
        """The sentence, in the units and the language of the site."""
        return as_sentence(self.text, system, language)


def kiln_called(name: str) -> str:
    """How a sentence names the kiln at a kiln spot; never bare "spot", which is an escaped fire.

    >>> kiln_called("K1"), kiln_called("Upper kiln")
    ('kiln K1', 'Upper kiln')
    """
    return name if "kiln" in name.casefold() else f"kiln {name}"


def sentence(text: str) -> str:
    """A text with a capital letter in front and a full stop behind.

    >>> sentence("nothing arrives")
    'Nothing arrives.'
    """
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "!", "?")) else ".")
