"""Pitstead's core: from a site on the ground to a burn-site plan, without a screen in sight."""

__version__ = "0.1.0"
