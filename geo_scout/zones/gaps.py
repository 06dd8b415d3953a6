"""Sites and populations the rasters do not reach, or where they have no value, as findings."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import geopandas as gpd
import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS

from geo_scout.formulas.inner_places import inner_places
from geo_scout.formulas.longitudes import near_to
from geo_scout.formulas.transformers import transformer_between
from geo_scout.model.agent import KnownPopulation
from geo_scout.model.finding import Finding, Grade, first_of_each
from geo_scout.model.layers import RasterLayer
from geo_scout.model.season import Season
from geo_scout.model.zones import ZoneTable
from geo_scout.zones.quantities import climate_variables
from geo_scout.zones.zone_list import KNOWN, PATCH, POPULATION

# Our choice: less than a hundredth is the jagged edge of cells; with half or more missing a mean says little.
LEAST_SHARE, DOUBTFUL_SHARE = 0.01, 0.5
FIRST = 100
_PLACE_DECIMALS = 6
_NOUNS = {PATCH: "the site", POPULATION: "the population"}


@dataclass(frozen=True, slots=True)
class _Gap:
    """One zone that one raster does not wholly answer for."""

    kind: str
    name: str
    share: float
    is_outside: bool
    place: tuple[float, float]


def find_gaps(
    table: ZoneTable, zones: gpd.GeoDataFrame, rasters: Mapping[str, RasterLayer], season: Season
) -> tuple[Finding, ...]:
    """Return a finding for each site or population where a raster has no value, or only on a part.

    Parameters
    ----------
    table
        What the rasters say of the zones.
    zones
        The zones that were asked, in the same order.
    rasters
        The rasters that were asked.
    season
        For the known populations of its agents.

    Notes
    -----
    Less than 1 percent of a site without a value is not said. Rasters with the same gap share one finding,
    and a raster without a value for any of them is one finding, however many there are.
    """
    found: dict[_Gap, list[str]] = {}
    findings: list[Finding] = []
    for layer, raster in rasters.items():
        gaps = list(_gaps_in(table.valid_share[layer].to_numpy(), zones, raster))
        if _are_all_without(gaps, zones):
            findings.append(_on_no_site(layer, raster, gaps))
            continue
        for gap in gaps:
            found.setdefault(gap, []).append(layer)
    findings += [_finding(gap, layers) for gap, layers in found.items()]
    findings += _known_without_climate(table, rasters, season)
    order = {layer: at for at, layer in enumerate(rasters)}
    return tuple(first_of_each(sorted(findings, key=lambda one: order[one.layer]), FIRST))


def _gaps_in(
    valid_share: NDArray[np.float64], zones: gpd.GeoDataFrame, raster: RasterLayer
) -> Iterator[_Gap]:
    kinds = np.asarray(zones.index.get_level_values(0), dtype=object)
    is_asked = np.isin(kinds, [PATCH, POPULATION])
    at = np.flatnonzero(is_asked & (1.0 - valid_share >= LEAST_SHARE))
    if len(at) == 0:
        return
    assert zones.crs is not None
    inside = inner_places(zones.geometry.to_numpy()[at])
    easting, northing = shapely.get_x(inside), shapely.get_y(inside)
    outside = _is_outside(easting, northing, zones.crs, raster)
    to_degrees = transformer_between(zones.crs, CRS.from_epsg(4326))
    places = zip(
        *(np.round(one, _PLACE_DECIMALS) for one in to_degrees.transform(easting, northing)), strict=True
    )
    names = np.asarray(zones.index.get_level_values(2), dtype=object)
    for zone, is_outside, place in zip(at, outside, places, strict=True):
        missing = round(1.0 - float(valid_share[zone]), 6)
        east, north = (float(one) for one in place)
        yield _Gap(str(kinds[zone]), str(names[zone]), missing, bool(is_outside), (east, north))


def _is_outside(
    easting_m: NDArray[np.float64], northing_m: NDArray[np.float64], crs: CRS, raster: RasterLayer
) -> NDArray[np.bool_]:
    grid = raster.transform
    east, north = transformer_between(crs, raster.crs).transform(easting_m, northing_m)
    if raster.crs.is_geographic:
        east = near_to(np.asarray(east), grid.c + raster.width * grid.a / 2)
    column, row = (np.asarray(east) - grid.c) / grid.a, (np.asarray(north) - grid.f) / grid.e
    across = raster.goes_round | ((column >= 0) & (column < raster.width))
    return ~np.asarray(across & (row >= 0) & (row < raster.height), dtype=bool)


def _are_all_without(gaps: Sequence[_Gap], zones: gpd.GeoDataFrame) -> bool:
    """Return whether none of two or more sites and populations has any value."""
    asked = int(zones.index.get_level_values(0).isin([PATCH, POPULATION]).sum())
    return len(gaps) == asked > 1 and all(gap.share == 1.0 for gap in gaps)


def _on_no_site(layer: str, raster: RasterLayer, gaps: Sequence[_Gap]) -> Finding:
    first = gaps[0]
    if not all(gap.is_outside for gap in gaps):
        what = f"the raster has no value on any of {len(gaps):,} sites and populations."
        fix = "Look at the raster and the sites on a map, and check its nodata value."
        return Finding("raster-without-values", "caution", layer, "", what, fix)
    grid = raster.transform
    edges = (grid.c, grid.f + raster.height * grid.e, grid.c + raster.width * grid.a, grid.f)
    to_degrees = transformer_between(raster.crs, CRS.from_epsg(4326))
    west, south, east, north = to_degrees.transform_bounds(*edges)
    what = (
        f"no site and no population lies inside the raster, which reaches from {west:.6g} to {east:.6g} east "
        f"and from {south:.6g} to {north:.6g} north; {first.name} is at {first.place[0]:.5f}, "
        f"{first.place[1]:.5f}."
    )
    fix = "Give a raster of the season's area, or mend its reference system."
    return Finding("raster-elsewhere", "caution", layer, "", what, fix)


def _finding(gap: _Gap, layers: Sequence[str]) -> Finding:
    noun = _NOUNS[gap.kind]
    grade: Grade = "caution" if gap.share >= DOUBTFUL_SHARE else "note"
    together = "" if len(layers) == 1 else f" ({' and '.join(layers)})"
    if gap.share < 1.0:
        what = f"{100 * gap.share:.1f} percent of {noun} lies where the raster has no value{together}."
        fix = "Nothing, if the rest may stand for the whole: the mean is taken over the part with a value."
        return Finding("site-partly-empty", grade, layers[0], gap.name, what, fix, *gap.place)
    if gap.is_outside:
        what, fix = f"{noun} lies outside the raster{together}.", "Give a raster that reaches this far."
        return Finding("site-outside-raster", grade, layers[0], gap.name, what, fix, *gap.place)
    what = f"the raster has no value anywhere on {noun}{together}."
    fix = "Look at the raster there; fill the gap, or do without this measure."
    return Finding("site-on-nodata", grade, layers[0], gap.name, what, fix, *gap.place)


def _known_without_climate(
    table: ZoneTable, rasters: Mapping[str, RasterLayer], season: Season
) -> list[Finding]:
    """Return a caution for each known population without a value of a variable that is compared."""
    layer = next((name for name in ("bioclim", "tmin") if name in rasters), None)
    if layer is None or table.climate_cells.empty:
        return []
    findings = []
    for agent in season.agents:
        wanted = [name for name in climate_variables(agent, season) if name in table.mean]
        for known in agent.known_populations:
            lacking = [name for name in wanted if _lacks(known, agent.name, name, table)]
            if lacking:
                findings.append(_without_climate(known, agent.name, layer, lacking))
    return findings


def _lacks(known: KnownPopulation, agent: str, variable: str, table: ZoneTable) -> bool:
    if variable in known.climate:
        return False
    [row] = table.rows_of(KNOWN, agent, [known.name])
    return row < 0 or bool(np.isnan(table.mean[variable].to_numpy()[row]))


def _without_climate(known: KnownPopulation, agent: str, layer: str, lacking: Sequence[str]) -> Finding:
    what = (
        f"known population '{known.name}' of {agent} has no {', '.join(lacking)}: neither stated in the "
        "profile nor in the raster at its place, so it is left out of the climate gap."
    )
    fix = f"State it under the population: climate = {{{lacking[0]} = ...}}, with its source."
    finding = Finding("population-without-climate", "caution", layer, known.name, what, fix)
    if known.longitude_deg is None or known.latitude_deg is None:
        return finding
    return replace(finding, longitude_deg=known.longitude_deg, latitude_deg=known.latitude_deg)
