"""Stable names of patches: the host's code and the smallest id among the members."""

import hashlib
import re
from collections.abc import Sequence
from itertools import count

import geopandas as gpd
import numpy as np
import shapely
from numpy.typing import NDArray

DIGEST_PER_DEG = 1e7
"""Steps of the digest in one degree; one step is about 1 cm."""


def host_code(host: str, stated: str | None) -> str:
    """Return the letters that start each site_id of a host.

    >>> host_code("Ashthorn", None)
    'ASHT'
    """
    letters = re.sub(r"[^A-Z0-9]", "", host.upper())
    return stated or letters[:4] or "HOST"


def member_ids(members: gpd.GeoDataFrame) -> list[str]:
    """Return the user's id of each member, or eight hex digits of its geometry's SHA-256.

    Parameters
    ----------
    members
        Infestations with ``id``; geometry in any CRS.
    """
    ids = [str(value) for value in members["id"]]
    missing = np.array([value == "" for value in ids], dtype=bool)
    if missing.any():
        for position, digest in zip(np.flatnonzero(missing), geometry_digests(members[missing]), strict=True):
            ids[int(position)] = digest
    return ids


def geometry_digests(shapes: gpd.GeoDataFrame) -> list[str]:
    """Return eight hex digits per geometry, the same in whatever CRS or ring order it came.

    Notes
    -----
    Coordinates are taken to degrees and rounded to 1e-7 deg (about 1 cm) first.
    """
    degrees = shapely.transform(shapes.geometry.to_crs(4326).to_numpy(), _on_grid)
    encoded = shapely.to_wkb(shapely.normalize(degrees), byte_order=1, output_dimension=2)
    return [hashlib.sha256(one).hexdigest()[:8] for one in encoded]


def _on_grid(degrees: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return whole numbers of 1e-7 deg, the antimeridian always as 180 W and never a negative zero."""
    units = np.rint(degrees * DIGEST_PER_DEG)
    units[:, 0] = (units[:, 0] + 180 * DIGEST_PER_DEG) % (360 * DIGEST_PER_DEG) - 180 * DIGEST_PER_DEG
    return units + 0.0


def natural_key(text: str) -> tuple[tuple[int, int, str], ...]:
    """Return a key that sorts numbers inside text as numbers.

    >>> sorted(["K10", "K9", "K1"], key=natural_key)
    ['K1', 'K9', 'K10']
    """
    # Python reads no number of more than 4,300 digits.
    parts = re.findall(r"\d{1,1000}|\D+", text)
    return tuple((0, int(part), part) if part.isdecimal() else (1, 0, part) for part in parts)


def site_ids(
    code: str,
    ids_per_patch: Sequence[Sequence[str]],
    gross_ha: NDArray[np.float64],
    corner_m: NDArray[np.float64],
) -> list[str]:
    """Return one distinct id per patch.

    Parameters
    ----------
    code
        The host's code.
    ids_per_patch
        Member ids of each patch.
    gross_ha
        (n,) gross area [ha].
    corner_m
        (n, 2) south-west corner of each patch's bounds: of equal areas the western one comes first [m].

    Notes
    -----
    An infestation cut by a boundary gives its id to several patches: the largest keeps the bare
    id, the others get .2, .3 ... by falling area. A number that is an id of the user's own is passed over.
    """
    bare = [f"{code}-{min(ids, key=natural_key)}" for ids in ids_per_patch]
    taken = set(bare)
    order = np.lexsort((corner_m[:, 1], corner_m[:, 0], -np.round(gross_ha, 6)))
    used: set[str] = set()
    named = list(bare)
    for i in order.tolist():
        if bare[i] in used:
            named[i] = next(name for n in count(2) if (name := f"{bare[i]}.{n}") not in taken)
            taken.add(named[i])
        used.add(bare[i])
    return named
