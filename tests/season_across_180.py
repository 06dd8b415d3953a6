"""The invented season of `map_season`, moved to where the 180th meridian runs through its middle."""

import dataclasses
import importlib.util
import math
from pathlib import Path
from types import ModuleType

from affine import Affine
from pyproj import CRS

from geo_scout.model.result import SeasonResult

MOVED_DEG = 180.0 + 117.0
RADIUS_M = 6_378_137.0


def _copy_of_map_season() -> ModuleType:
    spec = importlib.util.spec_from_file_location("map_season_180", Path(__file__).parent / "map_season.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def season_across_180(sites_per_host: int = 12) -> SeasonResult:
    """Return the season with its sites on both sides of the meridian, every longitude from -180 to 180."""
    made = _copy_of_map_season()
    relief = made.make_season().relief
    made.CRS_WORK = CRS.from_user_input("+proj=laea +lat_0=46 +lon_0=180 +datum=WGS84 +units=m")
    season = made.make_season(sites_per_host, relief_px=0)
    to_180 = Affine.translation(RADIUS_M * math.radians(MOVED_DEG), 0.0)
    settings = season.season.settings
    crews = tuple(
        crew.model_copy(
            update={"base_longitude_deg": (crew.base_longitude_deg + MOVED_DEG + 180) % 360 - 180}
        )
        for crew in settings.crews
    )
    return dataclasses.replace(
        season,
        season=dataclasses.replace(season.season, settings=settings.model_copy(update={"crews": crews})),
        relief=dataclasses.replace(relief, transform=to_180 * relief.transform),
    )
