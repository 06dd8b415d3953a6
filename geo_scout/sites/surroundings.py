"""What lies on and around a patch: crew bases, land classes, treatments."""

from collections.abc import Mapping, Sequence

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from geo_scout.formulas.geodesy import nearest_edge
from geo_scout.formulas.unions import union_by_label
from geo_scout.model.plane import plane_of
from geo_scout.model.rules import LandRule, Rules
from geo_scout.model.season import CrewTable
from geo_scout.model.sites import no_overlaps

TOUCH_SHARE = 1e-6
"""Overlaps below this share of a patch are touching edges."""


def add_surroundings(
    patches: gpd.GeoDataFrame,
    land_classes: gpd.GeoDataFrame | None,
    rules: Rules,
    crews: Sequence[CrewTable],
) -> gpd.GeoDataFrame:
    """Return the patches with nearest crew, its distance, and the shares on preferred and forbidden land.

    Parameters
    ----------
    patches
        Patches in the working CRS.
    land_classes
        Polygons with ``class``; None without the layer.
    rules
        ``land_classes`` says which are preferred and forbidden; ground on two of them counts once.
        ``buffer_m`` widens the forbidden ones.
    crews
        Crews with the coordinates of their bases [deg].
    """
    bases = gpd.GeoSeries(
        gpd.points_from_xy([c.base_longitude_deg for c in crews], [c.base_latitude_deg for c in crews]),
        crs=4326,
    ).to_crs(plane_of(patches))
    nearest, distance_km = nearest_edge(patches.geometry.to_numpy(), bases.to_numpy(), plane_of(patches))
    names = np.array([crew.name for crew in crews], dtype=object)
    return patches.assign(
        crew=names[nearest],
        crew_distance_km=distance_km,
        preferred_land_pct=100 * _share_of_rule(patches, land_classes, rules, "prefer"),
        forbidden_land_share=_share_of_rule(patches, land_classes, rules, "forbid"),
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
    classes = land_classes["class"].to_numpy(dtype=object)
    shared = _shares(patches, _widened(land_classes, rules), classes, "land_class")
    return shared.assign(rule=_rules_of(shared["land_class"].to_numpy(dtype=object), rules))[columns]


def overlap_required(patches: gpd.GeoDataFrame, layers: Mapping[str, gpd.GeoDataFrame]) -> pd.DataFrame:
    """Return the share of each patch that each given polygon layer covers, whatever it holds there.

    Returns
    -------
    DataFrame
        ``site_id``, ``layer`` and ``share`` [share]; no row where the layer does not reach the patch.
    """
    tables = [
        _shares(patches, frame.geometry.to_numpy(), np.full(len(frame), name, dtype=object), "layer")
        for name, frame in layers.items()
    ]
    return pd.concat([no_overlaps(), *tables], ignore_index=True)


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


def _rules_of(classes: NDArray[np.object_], rules: Rules) -> NDArray[np.object_]:
    rule_of = {name.strip().casefold(): rule for name, rule in rules.land_classes.items()}
    found = [rule_of.get(name.strip().casefold(), "") for name in classes]
    return np.array(found, dtype=object)


def _widened(land_classes: gpd.GeoDataFrame, rules: Rules) -> NDArray[np.object_]:
    """Return the shapes of the classes, forbidden ones with their buffer."""
    shapes = land_classes.geometry.to_numpy().copy()
    if rules.buffer_m:
        forbidden = _rules_of(land_classes["class"].to_numpy(dtype=object), rules) == "forbid"
        shapes[forbidden] = shapely.buffer(shapes[forbidden], rules.buffer_m)
    return shapes


def _share_of_rule(
    patches: gpd.GeoDataFrame, land_classes: gpd.GeoDataFrame | None, rules: Rules, rule: LandRule
) -> NDArray[np.float64]:
    """Return the share of each patch on any class with the rule [share]."""
    if land_classes is None:
        return np.zeros(len(patches))
    has_rule = _rules_of(land_classes["class"].to_numpy(dtype=object), rules) == rule
    shapes = _widened(land_classes, rules)[has_rule]
    shared = _shares(patches, shapes, np.zeros(len(shapes), dtype=int), "all").set_index("site_id")
    return shared["share"].reindex(patches["site_id"], fill_value=0.0).to_numpy(dtype=np.float64)


def _shares(
    patches: gpd.GeoDataFrame, shapes: NDArray[np.object_], labels: NDArray[np.generic], label_name: str
) -> pd.DataFrame:
    """Return the share of each patch covered by the union of the shapes of each label."""
    ground = patches.geometry.to_numpy()
    tree = shapely.STRtree(ground)
    over, patch = tree.query(shapes, predicate="intersects")
    holds, held = tree.query(shapes, predicate="covers")
    is_cut = ~np.isin(over * len(ground) + patch, holds * len(ground) + held)
    shared = ground[patch]
    shared[is_cut] = shapely.intersection(shared[is_cut], shapes[over[is_cut]])
    code, distinct = pd.factorize(labels)
    pair = patch * max(1, len(distinct)) + code[over]
    area_m2 = shapely.area(union_by_label(shared, pair))
    patch, code = np.divmod(np.unique(pair), max(1, len(distinct)))
    share = np.minimum(area_m2 / shapely.area(ground[patch]), 1.0)
    table = pd.DataFrame(
        {"site_id": patches["site_id"].to_numpy()[patch], label_name: distinct[code], "share": share}
    )
    table = table[table["share"] > TOUCH_SHARE]
    return table.sort_values(["site_id", label_name], kind="stable", ignore_index=True)
