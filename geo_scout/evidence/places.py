"""The places records speak of: the patches, and single points outside every patch."""

from dataclasses import dataclass

import geopandas as gpd
import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.evidence.placing import POSITION_FLOOR_M


@dataclass(frozen=True)
class Places:
    """Patches in their order, then points outside every patch with a release or a find, by name.

    Parameters
    ----------
    place_id
        (n,) ``site_id``, "at release ID" or "at visit ID".
    shapes
        (n,) patches, and the point of the first release, or else of the first find.
    uncertainty_m
        (n,) how far the agents of a place may have been from where they are written down: the largest
        uncertainty of its releases, or else of its finds; 0 without either [m].
    patches
        How many of them are patches.
    """

    place_id: NDArray[np.object_]
    shapes: NDArray[np.object_]
    uncertainty_m: NDArray[np.float64]
    patches: int


def place_of_releases(releases: gpd.GeoDataFrame) -> NDArray[np.object_]:
    """Return the place of each release: its patch, else "at release ID"."""
    site_id, release_id = (releases[name].to_numpy(dtype=object) for name in ("site_id", "release_id"))
    return np.where(site_id != "", site_id, "at release " + release_id)


def place_of_visits(visits: gpd.GeoDataFrame) -> NDArray[np.object_]:
    """Return where each visit was: the patch, else the release it names, else a place of its own."""
    names = (visits[name].to_numpy(dtype=object) for name in ("site_id", "release_id", "visit_id"))
    site_id, release_id, visit_id = names
    outside = np.where(release_id != "", "at release " + release_id, "at visit " + visit_id)
    return np.where(site_id != "", site_id, outside)


def list_places(patches: gpd.GeoDataFrame, releases: gpd.GeoDataFrame, visits: gpd.GeoDataFrame) -> Places:
    """Return the places the agent may live in.

    Parameters
    ----------
    patches
        Patches with ``site_id`` in a planar CRS [m].
    releases, visits
        Records of one agent with ``site_id`` in the same CRS.
    """
    starts = _starts(releases, visits)
    outside = starts[starts["site_id"] == ""].drop_duplicates("place_id").sort_values("place_id")
    place_id = np.concatenate([patches["site_id"].to_numpy(dtype=object), outside["place_id"].to_numpy()])
    leading = starts[starts["order"] == starts.groupby("place_id")["order"].transform("min")]
    uncertainty = leading.groupby("place_id")["uncertainty_m"].max()
    return Places(
        place_id=place_id,
        shapes=np.concatenate([patches.geometry.to_numpy(), outside["point"].to_numpy(dtype=object)]),
        uncertainty_m=uncertainty.reindex(place_id).fillna(0.0).to_numpy(dtype=np.float64),
        patches=len(patches),
    )


def _starts(releases: gpd.GeoDataFrame, visits: gpd.GeoDataFrame) -> pd.DataFrame:
    """Return releases, then finds, as what may start a population, each kind by date and name."""
    finds = visits[visits["found"].to_numpy(dtype=bool)]
    tables = [
        pd.DataFrame(
            {
                "place_id": place,
                "site_id": records["site_id"].to_numpy(dtype=object),
                "point": records.geometry.to_numpy(),
                "uncertainty_m": stated_uncertainty_m(records),
                "order": order,
                "date": records["date"].to_numpy(),
                "name": records[name].to_numpy(dtype=object),
            }
        )
        for order, (records, place, name) in enumerate(
            (
                (releases, place_of_releases(releases), "release_id"),
                (finds, place_of_visits(finds), "visit_id"),
            )
        )
    ]
    return pd.concat(tables, ignore_index=True).sort_values(["order", "date", "name"], kind="stable")


def stated_uncertainty_m(records: gpd.GeoDataFrame) -> NDArray[np.float64]:
    """Return the uncertainty of each position, 30 m where none is written down and never less [m]."""
    stated = records["coordinate_uncertainty_m"].to_numpy(dtype=np.float64)
    return np.asarray(np.fmax(stated, POSITION_FLOOR_M), dtype=np.float64)
