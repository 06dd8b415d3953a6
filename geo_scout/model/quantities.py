"""Every quantity a criterion may need, with its unit and shape; and the climate variables."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

Columns = Mapping[str, NDArray[np.generic]]

QUANTITIES: dict[str, tuple[str, str]] = {
    "infested_ha": ("ha", "per site: gross area times cover"),
    "infested_low_ha": ("ha", "per site: with the lowest cover of its classes"),
    "infested_high_ha": ("ha", "per site: with the highest cover of its classes"),
    "cover_pct": ("pct", "per site: infested area over gross area"),
    "cover_low_pct": ("pct", "per site: lowest"),
    "cover_high_pct": ("pct", "per site: highest"),
    "host_around_ha": ("ha", "per site: infested area of other patches times the agent's reach"),
    "host_around_low_ha": ("ha", "per site: with the lowest cover of all other patches"),
    "host_around_high_ha": ("ha", "per site: with the highest"),
    "crew_distance_km": ("km", "per site: geodesic distance to the nearest crew base"),
    "population_distance_km": ("km", "per site: edge to edge to the nearest confirmed population"),
    "presence_share": ("share", "per site: chance that the agent lives there already"),
    "presence_low_share": ("share", "per site: lowest"),
    "presence_high_share": ("share", "per site: highest"),
    "is_supplement": ("", "per site: whether more agents are asked for where some live"),
    "preferred_land_pct": ("pct", "per site: share on land the season prefers"),
    "elevation_m": ("m", "per site: area-weighted mean elevation"),
    "slope_deg": ("deg", "per site: area-weighted mean slope"),
    "slope_valid_share": ("share", "per site: share of its area on cells that have a slope"),
    "steep_share": ("share", "per site: share of its ground steeper than max_slope_deg"),
    "aspect_deg": ("deg", "per site: mean direction of the fall, as a vector"),
    "aspect_strength": ("", "per site: 1 where it falls one way, 0 where it falls all ways alike"),
    "aspect_share": ("share", "per site: share of its ground that is not flat, so has an aspect"),
    "preferred_aspect_deg": ("deg", "per site: the aspect the agent's profile prefers"),
    "heat_load": ("MJ/cm2/yr, as an index", "per site: area-weighted mean heat load"),
    "heat_load_valid_share": ("share", "per site: share of its area on cells that have a heat load"),
    "heat_load_equation": ("", "per site: which equation of McCune & Keon 2002 it is"),
    "relative_position_m": ("m", "per site: mean height above the ground around each of its cells"),
    "surroundings_m": ("m", "per site: how far that ground reaches in each direction"),
    "population_elevation_m": ("m", "per population"),
    "population_names": ("", "per population: text"),
    "population_site_ids": ("", "per population: site_id of its patch, empty outside the season's patches"),
    "population_years": (
        "by variable",
        "per population: years and year x variable, None without single years",
    ),
    "climate_gap_kind": ("", "one text: regional or interannual"),
    "site_climate": ("by variable", "site x variable, precipitation as log(P + 1)"),
    "population_climate": ("by variable", "population x variable, precipitation as log(P + 1)"),
    "climate_cells": ("by variable", "reference cell x variable, precipitation as log(P + 1)"),
    "climate_variables": ("", "per variable: text"),
}

TERRAIN_QUANTITIES: tuple[str, ...] = (
    "slope_deg",
    "slope_valid_share",
    "steep_share",
    "aspect_deg",
    "aspect_strength",
    "aspect_share",
    "heat_load",
    "heat_load_valid_share",
    "relative_position_m",
)
"""Quantities of the shape of the ground, computed only where a season asks for one of them."""

CLIMATE_VARIABLES: dict[str, tuple[str, str]] = {
    "bio01": ("degc", "annual mean temperature"),
    "bio02": ("degc", "mean daily range"),
    "bio03": ("pct", "mean daily range over annual range"),
    "bio04": ("degc x 100", "standard deviation of monthly mean temperature"),
    "bio05": ("degc", "mean daily maximum of the warmest month"),
    "bio06": ("degc", "mean daily minimum of the coldest month"),
    "bio07": ("degc", "annual range"),
    "bio08": ("degc", "mean temperature of the wettest quarter"),
    "bio09": ("degc", "mean temperature of the driest quarter"),
    "bio10": ("degc", "mean temperature of the warmest quarter"),
    "bio11": ("degc", "mean temperature of the coldest quarter"),
    "bio12": ("mm", "annual precipitation"),
    "bio13": ("mm", "precipitation of the wettest month"),
    "bio14": ("mm", "precipitation of the driest month"),
    "bio15": ("pct", "variation of monthly precipitation"),
    "bio16": ("mm", "precipitation of the wettest quarter"),
    "bio17": ("mm", "precipitation of the driest quarter"),
    "bio18": ("mm", "precipitation of the warmest quarter"),
    "bio19": ("mm", "precipitation of the coldest quarter"),
}

LAPSED_VARIABLES = frozenset({"bio01", "bio05", "bio06", "bio08", "bio09", "bio10", "bio11"})
"""Means of temperature, which an error of the lapse rate moves; ranges of it stay as they are."""

EXACT_COMBINATIONS: tuple[tuple[frozenset[str], str], ...] = (
    (frozenset({"bio05", "bio06", "bio07"}), "bio07 is bio05 less bio06"),
    (frozenset({"bio02", "bio03", "bio07"}), "bio03 is 100 times bio02 over bio07"),
)

CLIMATE_LIMITS: dict[str, str] = {
    "mean_coldest_month_min_degc": "bio06",
    "mean_warmest_month_max_degc": "bio05",
    "annual_mean_degc": "bio01",
    "annual_precipitation_mm": "bio12",
}
"""Limits that monthly normals can answer, and the variable that does."""

EXTREMES: tuple[str, ...] = ("annual_extreme_min_degc", "annual_extreme_max_degc")
"""Lowest and highest temperature of the year: from a layer or daily weather, never from monthly normals."""

UNCHECKED_LIMITS: tuple[str, ...] = EXTREMES
"""Limits that monthly normals cannot answer; without a layer or daily weather they are not checked."""

HEAT_SUM = "heat_sum_degree_days"
"""Heat of a whole year by the profile's own heat window, in Celsius degree-days."""

COLUMN_OF_LIMIT: dict[str, str] = {**CLIMATE_LIMITS, **{name: name for name in (*EXTREMES, HEAT_SUM)}}
"""Every limit a profile may state, and the column that answers it."""
