"""Elevations that disagree with each other: feet read as metres, or another place."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from rasterio.errors import RasterioIOError

from geo_scout.formulas.transformers import transformer_between
from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.raster_looks import places_over, read_at
from geo_scout.model.layers import RasterLayer
from geo_scout.model.listed import counted

FT_PER_M = 3.2808
# Our choices. Of ground lower than this a ratio says little; fewer cells than this may be a chance; climate
# cells are coarse, so in hills single places differ by hundreds of metres, but not the middle of many.
_LEAST_M, _LEAST_CELLS, _SLACK, _LARGE_M, _AGREES = 100.0, 5, 0.08, 300.0, 1.25
_IN_METRES = "Write the elevations of this table in metres, as elevation_m."


@dataclass(frozen=True)
class _Witness:
    """Elevations of one kind beside those of the layer elevation, at the same places [m]."""

    layer: str
    whose: str
    told_m: NDArray[np.float64]
    raster_m: NDArray[np.float64]

    @property
    def ratio(self) -> float:
        """Return elevation over what is told, in the middle of the places; nan where all are low."""
        is_high = (self.told_m > _LEAST_M) & (self.raster_m > _LEAST_M)
        return float(np.median(self.raster_m[is_high] / self.told_m[is_high])) if is_high.any() else np.nan

    @property
    def difference_m(self) -> float:
        """Return how far elevation lies above what is told, in the middle of the places."""
        return float(np.median(self.raster_m - self.told_m))

    def agrees(self) -> bool:
        """Return whether both are in one unit."""
        return 1 / _AGREES < self.ratio < _AGREES


def check_elevation_unit(read: LayersRead) -> None:
    """Stop where elevations look like feet beside those of the climate cells, stations or known populations.

    The middle ratio at the places looked at is compared with 3.28 and its inverse. Another large difference
    is a caution.
    """
    elevation = read.rasters.get("elevation")
    if elevation is None:
        return
    try:
        witnesses = list(_witnesses(read, elevation))
    except RasterioIOError:
        return  # a damaged block is told where the cells are needed
    has_support = any(one.layer == "climate_elevation" and one.agrees() for one in witnesses)
    for witness in witnesses:
        if _is_about(witness.ratio, FT_PER_M):
            if has_support:
                _doubt(read, witness)
                continue
            _stop(read, "elevation", witness, witness.raster_m, witness.told_m, witness.whose)
            return
        if _is_about(witness.ratio, 1 / FT_PER_M):
            _stop(read, witness.layer, witness, witness.told_m, witness.raster_m, "the layer elevation")
        elif abs(witness.difference_m) > _LARGE_M:
            _doubt(read, witness)


def _is_about(ratio: float, factor: float) -> bool:
    return abs(ratio / factor - 1) <= _SLACK


def _witnesses(read: LayersRead, elevation: RasterLayer) -> Iterator[_Witness]:
    """Yield what there is to compare with: climate cells, stations, populations of the profiles."""
    climate = read.rasters.get("climate_elevation")
    if climate is not None:
        places = places_over(elevation, read.usable("infestations"))
        there = transformer_between(elevation.crs, climate.crs).transform(*places)
        told, here = read_at(climate, there)[:, 0], read_at(elevation, places)[:, 0]
        known = np.isfinite(told) & np.isfinite(here)
        if known.sum() >= _LEAST_CELLS:
            yield _Witness("climate_elevation", "the layer climate_elevation", told[known], here[known])
    for layer, whose, table in _points(read):
        spots = table.dropna()
        to_grid = transformer_between(4326, elevation.crs)
        here = read_at(
            elevation, to_grid.transform(spots["longitude_deg"].to_numpy(), spots["latitude_deg"].to_numpy())
        )[:, 0]
        told, known = spots["elevation_m"].to_numpy(dtype=np.float64), np.isfinite(here)
        if known.any():
            yield _Witness(layer, whose, told[known], here[known])


def _points(read: LayersRead) -> Iterator[tuple[str, str, pd.DataFrame]]:
    columns = ["longitude_deg", "latitude_deg", "elevation_m"]
    if read.weather is not None:
        yield "weather", "the stations of the layer weather", read.weather.stations[columns]
    if read.station_normals is not None:
        yield (
            "station_normals",
            "the stations of the layer station_normals",
            read.station_normals.stations[columns],
        )
    known = [
        (one.longitude_deg, one.latitude_deg, one.elevation_m)
        for agent in read.season.agents
        for one in agent.known_populations
    ]
    yield "elevation", "known_populations of the profiles", pd.DataFrame(known, columns=columns, dtype=float)


def _stop(
    read: LayersRead,
    layer: str,
    witness: _Witness,
    high_m: NDArray[np.float64],
    low_m: NDArray[np.float64],
    other: str,
) -> None:
    """Stop the layer whose numbers are about 3.28 times those of the other."""
    is_population = layer == "elevation" and high_m is witness.told_m
    subject = f"of {witness.whose} it" if is_population else "it"
    what = (
        f"{subject} is {np.median(high_m):,.0f} m in the middle of {counted(len(high_m), 'place')} where "
        f"{other} has {np.median(low_m):,.0f} m, about 3.28 times as much: the elevation looks like feet."
    )
    read.about(layer).say("elevation-feet", "stop", what, _fix(read, layer, is_population=is_population))


def _fix(read: LayersRead, layer: str, *, is_population: bool) -> str:
    given = read.season.settings.layers.given()
    if is_population:
        return "Write elevation_m of the known populations in metres."
    if layer not in read.rasters:
        return _IN_METRES
    others = [name for name in ("elevation", "climate_elevation") if name != layer and name in given]
    if any(given[name].vertical_unit == "ft" for name in others):
        return f'If so, add: vertical_unit = "ft"; or is {others[0]} in metres, vertical_unit = "m"?'
    return 'If so, add: vertical_unit = "ft"'


def _doubt(read: LayersRead, witness: _Witness) -> None:
    size = abs(witness.difference_m)
    side = "above" if witness.difference_m > 0 else "below"
    what = (
        f"it lies {size:,.0f} m {side} {witness.whose} in the middle of "
        f"{counted(len(witness.told_m), 'place')} where both are known."
    )
    fix = (
        "Check unit, scale and place of both; a station's or a population's own elevation may be wrong, too."
    )
    read.about("elevation").say("elevation-differs", "caution", what, fix)
