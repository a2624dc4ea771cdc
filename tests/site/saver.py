"""Run by the store's tests in a process of its own: saves edit after edit and says each one that is done.

Arguments: folder, link, mark, number of edits. Each edit adds the feature `<mark>-<n>` and sets the member `name`.
"""

from __future__ import annotations

import os
import sys

from sitemap.site.model import Feature
from sitemap.site.store import Store


def main(folder: str, link: str, mark: str, edits: str) -> None:
    """Save until the edits are done, or until somebody kills this process."""
    store = Store(folder, url=os.environ.get("PITSTEAD_DATABASE"))
    print("ready", flush=True)
    for number in range(int(edits)):
        site = store.open(link).site
        place = {"type": "Point", "coordinates": [-120.0, 44.0]}
        after = site.put(Feature.of(f"{mark}-{number}", place, {"kind": "pile", "note": "x" * 2000}))
        store.save(link, site, after.with_member("name", f"{mark}-{number}"), f"Add {number}")
        print(f"{mark}-{number}", flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
