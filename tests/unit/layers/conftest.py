"""Seasons built from the model's classes, and small files in the test's own folder."""

import csv
import datetime as dt
import warnings
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import geopandas as gpd
import numpy as np
import pytest
import rasterio
import shapely
from rasterio.transform import from_origin

from geo_scout.layers import read_layers
from geo_scout.model.agent import AgentProfile
from geo_scout.model.finding import Finding
from geo_scout.model.layers import LayerSet
from geo_scout.model.season import Season, SeasonSettings

AS_OF = dt.date(2026, 11, 1)
# Around 47 N 110 W a square of 0.001 degrees is about 111 m high and 76 m wide.
WEST, SOUTH, STEP = -110.0, 47.0, 0.001


def square(number: int = 0, size: float = STEP) -> shapely.Polygon:
    """Return a square in degrees; each number has its own place, well apart."""
    return shapely.box(WEST + 0.01 * number, SOUTH, WEST + 0.01 * number + size, SOUTH + size)


def point(number: int = 0) -> shapely.Point:
    return shapely.Point(WEST + 0.01 * number, SOUTH)


class SeasonFolder:
    """A folder with layer files, and the season that names them."""

    square = staticmethod(square)
    point = staticmethod(point)
    line = shapely.LineString([(WEST, SOUTH), (WEST + STEP, SOUTH + STEP)])

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.layers: dict[str, dict[str, Any]] = {}
        self.rules: dict[str, Any] = {"max_bad_share": 0.5}
        self.records: dict[str, Any] = {}
        self.cover_schemes: dict[str, dict[str, list[float]]] = {}
        self.agents = [("stem weevil", "ashthorn")]
        self.given: frozenset[str] = frozenset()
        self.more_crews: list[dict[str, Any]] = []
        self.crew = {"base_longitude_deg": -109.6, "base_latitude_deg": 47.1}

    def add(self, name: str, path: str | None = None, **keys: Any) -> None:
        self.layers[name] = {"path": path or f"{name}.gpkg", **keys}

    def write(
        self, layer: str, shapes: Sequence[Any], crs: Any = 4326, file: str = "", **columns: Any
    ) -> Path:
        """Write a vector layer; a column given as one value is repeated."""
        path = self.folder / (file or f"{layer}.gpkg")
        data = {k: v if isinstance(v, list) else [v] * len(shapes) for k, v in columns.items()}
        frame = gpd.GeoDataFrame(data, geometry=list(shapes), crs=crs)
        with warnings.catch_warnings():
            # geopandas warns of a missing reference system and of long shapefile names: both are wanted here.
            warnings.simplefilter("ignore", UserWarning)
            warnings.simplefilter("ignore", RuntimeWarning)
            frame.to_file(path)
        if layer not in self.layers:
            self.add(layer, path.name)
        return path

    def write_table(self, layer: str, rows: Sequence[Sequence[str]], file: str = "", **keys: Any) -> Path:
        path = self.folder / (file or f"{layer}.csv")
        with path.open("w", encoding="utf-8", newline="") as stream:
            csv.writer(stream).writerows(rows)
        self.add(layer, path.name, **keys)
        return path

    def write_raster(self, layer: str, cells: Any, crs: Any = 4326, file: str = "", **profile: Any) -> Path:
        """Write bands of cells with their north-west corner at 47.1 N 110.1 W, 0.01 degrees each."""
        bands = np.atleast_3d(np.asarray(cells)) if np.ndim(cells) == 3 else np.asarray(cells)[None]
        path = self.folder / (file or f"{layer}.tif")
        extra = {
            key: profile.pop(key) for key in ("scales", "offsets", "descriptions", "units") if key in profile
        }
        options = {
            "driver": "GTiff",
            "count": len(bands),
            "height": bands.shape[1],
            "width": bands.shape[2],
            "dtype": bands.dtype,
            "crs": crs,
            "transform": from_origin(-110.1, 47.1, 0.01, 0.01),
            **profile,
        }
        with rasterio.open(path, "w", **options) as dataset:
            dataset.write(bands)
            for key, value in extra.items():
                setattr(dataset, key, value)
        if layer not in self.layers:
            self.add(layer, path.name)
        return path

    def season(self) -> Season:
        if "infestations" not in self.layers:
            self.write(
                "infestations", [square()], id="A1", host="ashthorn", cover=40.0, survey_date="2025-06-01"
            )
            self.layers["infestations"]["units"] = {"cover": "percent"}
        names = [f"agents/{name.replace(' ', '_')}.toml" for name, _ in self.agents]
        (self.folder / "agents").mkdir(exist_ok=True)
        for name in ["season.toml", *names]:
            (self.folder / name).write_text("format = 1\n", encoding="utf-8")
        settings = SeasonSettings.model_validate(
            {
                "format": 1,
                "season": {"agents": names, "as_of": AS_OF},
                "layers": self.layers,
                "crews": [{"name": "Yard", **self.crew}, *self.more_crews],
                "rules": self.rules,
                "records": self.records,
                "cover_schemes": self.cover_schemes,
            }
        )
        profiles = tuple(
            AgentProfile.model_validate(
                {"format": 1, "name": name, "host": host, "establishment": {"prior_share": 0.4}}
            )
            for name, host in self.agents
        )
        return Season(self.folder / "season.toml", settings, profiles, AS_OF, self.given)

    def read(self) -> LayerSet:
        return read_layers(self.season())


@pytest.fixture
def folder(tmp_path: Path) -> SeasonFolder:
    return SeasonFolder(tmp_path)


@pytest.fixture
def found() -> Callable[[LayerSet, str], list[Finding]]:
    """Return the findings of one code."""

    def of_code(layers: LayerSet, code: str) -> list[Finding]:
        return [finding for finding in layers.findings if finding.code == code]

    return of_code


@pytest.fixture
def told() -> Callable[[LayerSet, str], str]:
    """Return the text of the only finding of one code."""

    def text(layers: LayerSet, code: str) -> str:
        [finding] = [finding for finding in layers.findings if finding.code == code]
        return finding.text()

    return text
