"""Basic density of wood (oven-dry mass over green volume) by group or species, and of mixtures."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from functools import cache, lru_cache

import numpy as np

from sitemap import tables
from sitemap.errors import BadValue, not_negative, positive, within
from sitemap.ranges import Numbers
from sitemap.reasons import Reason, Term, reason
from sitemap.tables import Row

BLANK = "mixed"
GROUPS = ("softwood", "hardwood", "mixed")
ROTTEN = "rotten"
_SUM_TOLERANCE = 0.01  # shares typed as thirds (0.33) still count as a whole


def wood_key(text: str) -> str:
    """A typed name as it stands in the table: lower case, spaces and hyphens as underscores.

    >>> wood_key(" Douglas-fir ")
    'douglas_fir'
    """
    return "_".join(text.casefold().replace("-", " ").replace("_", " ").split())


def density_of(wood: str) -> Row:
    """The row of the density table for a group, genus or species.

    Parameters
    ----------
    wood : a name, key or Latin name ("softwood", "Ponderosa pine", "Picea abies", "rotten")

    Returns
    -------
    the row: row["value"] [kg/m³], row["spread"] half range as a share, row["name"], row.source, row.evidence

    Raises
    ------
    BadValue : a wood the table lacks, offering the nearest names

    References
    ----------
    Each row bears its own (Hardy 1996, national list, IPCC 2006).

    >>> density_of("Ponderosa pine")["value"]
    380
    """
    row = _woods().get(wood) or _woods().get(wood_key(wood))
    if row is None:
        raise BadValue(_unknown(wood))
    return row


@cache
def _woods() -> Mapping[str, Row]:
    """Rows by key, and by Latin name."""
    rows = tables.load("wood_density")
    return {**{wood_key(row["latin"]): row for row in rows.values() if row.get("latin")}, **rows}


@lru_cache(maxsize=1024)
def _unknown(wood: str) -> Reason:
    """A name the table lacks, with the nearest ones it has."""
    woods, key = _woods(), wood_key(wood)
    holding = [k for k in tables.load("wood_density") if key and (key in k.split("_") or k in key.split("_"))]
    alike = difflib.get_close_matches(key, list(woods))
    near = tuple(Term(name) for name in dict.fromkeys(woods[k]["name"] for k in (*holding, *alike)))[:4]
    groups = tuple(Term(group) for group in GROUPS)
    if not near:
        return reason("slash.no_such_wood", wood=wood, groups=groups)
    return reason("slash.no_such_wood_nearest", wood=wood, near=near, groups=groups)


def mixture_density(densities_kg_m3: Sequence[Numbers], shares: Sequence[float]) -> Numbers:
    """Density of a mixture by volume shares, ρ = Σ sᵢ·ρᵢ.

    Parameters
    ----------
    densities_kg_m3 : k numbers or arrays (n,) [kg/m³], above 0
    shares : k numbers by volume [fraction]

    Returns
    -------
    the density [kg/m³], scalar or (n,)

    Raises
    ------
    BadValue : shares below 0, or not adding up to 1 within 0.01 (within it they are scaled to 1)

    References
    ----------
    Conservation of mass (D).

    >>> round(mixture_density([380.0, 450.0], [0.7, 0.3]), 6)
    401.0
    """
    parts = not_negative("A share of the mixture", np.asarray(shares, dtype=float), "of 1")
    total = float(np.sum(parts))
    if len(parts) != len(densities_kg_m3) or not abs(total - 1) <= _SUM_TOLERANCE:
        raise BadValue(reason("slash.mixture_shares", total=total))
    positive("The density of the wood", np.asarray(densities_kg_m3), "kg/m³")
    mixed: Numbers = sum(part / total * density for part, density in zip(parts.tolist(), densities_kg_m3, strict=True))
    return mixed


def with_rotten(density_kg_m3: Numbers, rotten_fraction: Numbers, rotten_kg_m3: Numbers) -> Numbers:
    """Density where a share of the wood volume is rotten, ρ = (1 − r)·ρ_sound + r·ρ_rotten.

    Parameters
    ----------
    density_kg_m3, rotten_kg_m3 : scalar or (n,) [kg/m³], above 0
    rotten_fraction : by volume, 0 to 1 [fraction]

    Returns
    -------
    the density, same shape [kg/m³]

    Raises
    ------
    BadValue : outside those limits

    References
    ----------
    Mixture by volume (D); rotten wood 300 kg/m³, Hardy 1996 Table 2 (P).

    >>> with_rotten(400.0, 0.25, 300.0)
    375.0
    """
    positive("The density of the wood", density_kg_m3, "kg/m³")
    positive("The density of rotten wood", rotten_kg_m3, "kg/m³")
    share = within("The rotten share", rotten_fraction, 0, 1)
    return (1 - share) * density_kg_m3 + share * rotten_kg_m3
