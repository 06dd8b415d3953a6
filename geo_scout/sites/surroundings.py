"""What lies on and around a patch: crew bases, land classes, treatments."""

from collections.abc import Sequence

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from geo_scout.formulas.geodesy import nearest_edge
from geo_scout.model.season import CrewTable, Rules
from geo_scout.sites.ground import plane_of

TOUCH_SHARE = 1e-6
"""Overlaps below this share of a patch are touching edges."""


def add_surroundings(
    patches: gpd.GeoDataFrame, land: pd.DataFrame, crews: Sequence[CrewTable]
) -> gpd.GeoDataFrame:
    """Return the patches with nearest crew, its distance, and the share on preferred land.

    Parameters
    ----------
    patches
        Patches in the working CRS.
    land
        Overlaps with land classes.
    crews
        Crews with the coordinates of their bases [deg].
    """
    bases = gpd.GeoSeries(
        gpd.points_from_xy([c.base_longitude_deg for c in crews], [c.base_latitude_deg for c in crews]),
        crs=4326,
    ).to_crs(plane_of(patches))
    nearest, distance_km = nearest_edge(patches.geometry.to_numpy(), bases.to_numpy(), plane_of(patches))
    names = np.array([crew.name for crew in crews], dtype=object)
    preferred = land[land["rule"] == "prefer"].groupby("site_id")["share"].sum()
    preferred_pct = 100 * preferred.reindex(patches["site_id"], fill_value=0.0).clip(upper=1.0)
    return patches.assign(
        crew=names[nearest], crew_distance_km=distance_km, preferred_land_pct=preferred_pct.to_numpy()
    )


def overlap_land(
    patches: gpd.GeoDataFrame, land_classes: gpd.GeoDataFrame | None, rules: Rules
) -> pd.DataFrame:
    """Return the share of each patch on each land class, forbidden land with its buffer.

    Parameters
    ----------
    patches
        Patches in a planar CRS [m].
    land_classes
        Polygons with ``class``; None without the layer.
    rules
        ``land_classes`` and ``buffer_m``.

    Returns
    -------
    DataFrame
        ``site_id``, ``land_class``, ``rule`` and ``share`` [share], sorted by site and class.
    """
    columns = ["site_id", "land_class", "rule", "share"]
    if land_classes is None:
        return pd.DataFrame(columns=columns).astype({"share": float})
    rule_of = {name.strip().casefold(): rule for name, rule in rules.land_classes.items()}
    rule = land_classes["class"].map(lambda name: rule_of.get(name.strip().casefold(), ""))
    shapes = land_classes.geometry.to_numpy()
    widened = np.where(rule == "forbid", shapely.buffer(shapes, rules.buffer_m), shapes)
    shared = _shares(patches, widened, land_classes["class"].to_numpy(), "land_class")
    return shared.assign(
        rule=shared["land_class"].map(lambda name: rule_of.get(name.strip().casefold(), ""))
    )[columns]


def overlap_treatments(patches: gpd.GeoDataFrame, treatments: gpd.GeoDataFrame | None) -> pd.DataFrame:
    """Return the share of each patch inside each treatment, with its kind and dates.

    Returns
    -------
    DataFrame
        ``site_id``, ``treatment_id``, ``kind``, ``start``, ``end`` and ``share`` [share].
    """
    columns = ["site_id", "treatment_id", "kind", "start", "end", "share"]
    if treatments is None:
        return pd.DataFrame(columns=columns).astype({"share": float})
    shared = _shares(patches, treatments.geometry.to_numpy(), np.arange(len(treatments)), "treatment")
    facts = treatments.iloc[shared["treatment"].to_numpy(dtype=int)].reset_index(drop=True)
    facts = facts.assign(end=facts["end"].fillna(facts["start"]))
    return pd.DataFrame(pd.concat([shared, facts.drop(columns=facts.geometry.name)], axis=1))[columns]


def _shares(
    patches: gpd.GeoDataFrame, shapes: NDArray[np.object_], labels: NDArray[np.generic], label_name: str
) -> pd.DataFrame:
    """Return the share of each patch covered by the union of the shapes of each label."""
    patch, shape = shapely.STRtree(shapes).query(patches.geometry.to_numpy(), predicate="intersects")
    shared: dict[tuple[int, object], list[int]] = {}
    for index, one in sorted(zip(patch.tolist(), shape.tolist(), strict=True)):
        shared.setdefault((index, labels[one]), []).append(one)
    rows = []
    for (index, label), ones in shared.items():
        geometry = patches.geometry.iloc[index]
        share = geometry.intersection(shapely.union_all(shapes[ones])).area / geometry.area
        if share > TOUCH_SHARE:
            rows.append((patches["site_id"].iloc[index], label, min(share, 1.0)))
    table = pd.DataFrame(rows, columns=["site_id", label_name, "share"]).astype({"share": float})
    return table.sort_values(["site_id", label_name], kind="stable", ignore_index=True)
