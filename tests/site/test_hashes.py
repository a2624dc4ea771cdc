"""What is remembered of a Site must not mislead another process."""

from __future__ import annotations

import os
import pickle
import subprocess
import sys

from sitemap.site.model import Feature, Site

TOLD = """
import pickle, sys
site = pickle.load(sys.stdin.buffer)
fresh = type(site)(tuple(type(each).of(each.id, each.geometry, each.values) for each in site.features))
assert site == fresh and hash(site) == hash(fresh) and fresh.features[0] in set(site.features)
"""


def test_law_a_site_is_the_same_in_another_process() -> None:
    """Words hash differently there: a hash remembered here must not come along, or the site were not found again."""
    site = Site((Feature.of("p1", None, {"kind": "pile", "name": "P"}),))
    assert hash(site) == hash(Site(site.features))
    there = {**os.environ, "PYTHONHASHSEED": "7"}
    done = subprocess.run(
        [sys.executable, "-c", TOLD], input=pickle.dumps(site), env=there, check=False, capture_output=True
    )
    assert done.returncode == 0, done.stderr.decode()
