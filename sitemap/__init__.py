"""Pitstead's core: from a site on the ground to a burn-site plan, without a screen in sight."""
