"""The photos: what the things of the site look like, for whoever has not been there."""

from __future__ import annotations

from sitemap.assessment import Assessment
from sitemap.plan.model import Picture, Pictures, Sheet
from sitemap.plan.phrases import Words
from sitemap.plan.say import name_of
from sitemap.site.photos import Photo, photos_of

BODY_PT = 9


def sheets(a: Assessment, words: Words) -> tuple[Sheet, ...]:
    """All of them, or no sheet where there is none."""
    shown = tuple(Picture(photo.sha256, _caption(a, words, photo)) for photo in photos_of(a.source))
    return (Sheet("photos", words("photos.title"), (Pictures(shown),), False, BODY_PT),) if shown else ()


def _caption(a: Assessment, words: Words, photo: Photo) -> str:
    day = words.day(photo.taken) if photo.taken is not None else ""
    return " · ".join(filter(None, (name_of(a, photo.of), photo.caption, day)))
