"""What is wrong, as a page says it: in the units and the language of the site somebody works on."""

from __future__ import annotations

from sitemap.errors import PitsteadError
from sitemap.reasons import reason
from sitemap.site.model import Site
from sitemap.telling import tell


def fault_text(error: PitsteadError, site: Site) -> str:
    """The sentence of a fault.

    site : whose units and language are meant; the rest of a page is English, and what goes wrong must be understood
    """
    return error.told(site.units, site.language)


def unchanged_text(error: PitsteadError, site: Site) -> str:
    """The sentence of a fault of something that was to be brought in, and that the open site is as it was."""
    return tell(reason("files.unchanged", why=error.told(site.units, site.language)), site.units, site.language)
