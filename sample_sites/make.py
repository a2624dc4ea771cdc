"""Makes the sample sites and their ground. Every place, person and number in them is invented.

    python -m sample_sites.make

Each sample is drawn in metres east and north of a centre and brought to longitude and latitude; its elevation is a
smooth invented surface with seeded roughness, written as a GeoTIFF beside it.
"""

from __future__ import annotations

from pathlib import Path

from sample_sites import birch_shore, farm_dam, juniper_bench
from sample_sites.drawing import write

FOLDER = Path(__file__).parent
SITES = {"birch_shore": birch_shore, "farm_dam": farm_dam, "juniper_bench": juniper_bench}


def main(folder: Path = FOLDER) -> None:
    """Write all samples into a folder."""
    for key, site in SITES.items():
        write(folder, key, site.drawing(), site.member(), site.BAN_ASKED)


if __name__ == "__main__":
    main()
