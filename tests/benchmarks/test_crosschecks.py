"""The checks across layers on a state's infestations, against geopandas reading and reprojecting them."""

import datetime as dt
import time
from pathlib import Path

import geopandas as gpd
import numpy as np
import shapely

from geo_scout.layers.crosschecks.crosscheck import crosscheck
from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.drafts import LayerDraft
from geo_scout.model.season import Season, SeasonSettings

PATCHES = 100_000
PLANE = "+proj=laea +lat_0=46 +lon_0=-110 +datum=WGS84 +units=m"


def _season() -> Season:
    layers = {"infestations": {"path": "x.gpkg"}, "boundaries": {"path": "x.gpkg"}}
    crews = [{"name": "Yard", "base_longitude_deg": -108.0, "base_latitude_deg": 46.0}]
    settings = SeasonSettings.model_validate(
        {"format": 1, "season": {"agents": ["a.toml"]}, "layers": layers, "crews": crews}
    )
    return Season(Path("season.toml"), settings, (), dt.date(2026, 11, 1), frozenset())


def _patches(count: int) -> gpd.GeoDataFrame:
    centres = np.random.default_rng(1).uniform(0, 4e5, (count, 2))
    shapes = shapely.buffer(shapely.points(centres), 60, quad_segs=8)
    ids = [f"K{number}" for number in range(count)]
    rows = np.arange(1, count + 1)
    surveyed = np.full(count, np.datetime64("2025-06-01", "s"))
    data = {"row": rows, "id": ids, "host": "ashthorn", "survey_date": surveyed}
    return gpd.GeoDataFrame(data, geometry=shapes, crs=PLANE)


def test_checks_cost_little_beside_reading(tmp_path, scale):
    season, patches = _season(), _patches(int(PATCHES * scale))
    patches.to_crs(4326).to_file(tmp_path / "patches.gpkg")
    squares = [
        shapely.box(x * 6e4, y * 6e4, x * 6e4 + 6e4, y * 6e4 + 6e4).segmentize(100)
        for x in range(7)
        for y in range(7)
    ]
    counties = gpd.GeoDataFrame({"row": range(1, 50)}, geometry=squares, crs=PLANE)
    start = time.perf_counter()
    gpd.read_file(tmp_path / "patches.gpkg").to_crs(PLANE)
    plainly = time.perf_counter() - start
    tables = season.settings.layers
    drafts = {
        "infestations": LayerDraft(
            "infestations", table=tables.infestations, season=season, frame=patches, crs=patches.crs
        ),
        "boundaries": LayerDraft(
            "boundaries", table=tables.boundaries, season=season, frame=counties, crs=counties.crs
        ),
    }
    start = time.perf_counter()
    crosscheck(LayersRead(season, drafts, {}, dict(drafts)))
    ours = time.perf_counter() - start
    print(
        f"\n{len(patches):,} polygons: reading {plainly:.2f} s, checks {ours:.2f} s, ratio {ours / plainly:.2f}"
    )
    # The boundaries cost the same at any number of patches; 0.4 at full size and 0.9 at a tenth when nothing else runs.
    assert ours < 2.0 * plainly
