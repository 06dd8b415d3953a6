"""Stable names of patches: the host's code and the smallest id among the members."""

import hashlib
import re
from collections import Counter
from collections.abc import Sequence

import geopandas as gpd
import numpy as np
import shapely
from numpy.typing import NDArray


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
    degrees = shapely.normalize(shapely.set_precision(shapes.geometry.to_crs(4326).to_numpy(), 1e-7))
    encoded = shapely.to_wkb(degrees, byte_order=1, output_dimension=2)
    return [hashlib.sha256(one).hexdigest()[:8] for one in encoded]


def natural_key(text: str) -> tuple[tuple[int, int, str], ...]:
    """Return a key that sorts numbers inside text as numbers.

    >>> sorted(["K10", "K9", "K1"], key=natural_key)
    ['K1', 'K9', 'K10']
    """
    parts = re.findall(r"\d+|\D+", text)
    return tuple((0, int(part), part) if part.isdecimal() else (1, 0, part) for part in parts)


def site_ids(
    code: str, ids_per_patch: Sequence[Sequence[str]], gross_ha: NDArray[np.float64], digests: Sequence[str]
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
    digests
        Digest of each patch's own geometry, for equal areas.

    Notes
    -----
    An infestation cut by a boundary gives its id to several patches: the largest keeps the bare
    id, the others get .2, .3 ... by falling area.
    """
    bare = [f"{code}-{min(ids, key=natural_key)}" for ids in ids_per_patch]
    order = sorted(range(len(bare)), key=lambda i: (-round(float(gross_ha[i]), 6), digests[i]))
    seen: Counter[str] = Counter()
    named = [""] * len(bare)
    for i in order:
        seen[bare[i]] += 1
        named[i] = bare[i] if seen[bare[i]] == 1 else f"{bare[i]}.{seen[bare[i]]}"
    return named
