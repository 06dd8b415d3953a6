"""The relief and its contour lines as layers of the map."""

import base64
import dataclasses
import math
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import folium
import numpy as np
from affine import Affine

from geo_scout.formulas.longitudes import near_to
from geo_scout.model.zones import MERCATOR_RADIUS_M, ReliefGrid
from geo_scout.outputs.map.contours import Contours, contours_of
from geo_scout.outputs.map.page import OfflineMap
from geo_scout.outputs.map.relief_tiles import ReliefTiles, relief_tiles
from geo_scout.outputs.relief import ReliefPicture, picture_of, shaded_pixels

EARTH = "#7a5230"
CONTOUR_STYLES: Mapping[str, Mapping[str, str | float | bool]] = {
    "contour": {"fill": False, "interactive": False, "color": EARTH, "weight": 0.7, "opacity": 0.75},
    "index_contour": {"fill": False, "interactive": False, "color": EARTH, "weight": 1.5, "opacity": 0.85},
}


@dataclass(frozen=True)
class Ground:
    """What is drawn of the elevation: one shaded picture, tiles that show more, and contour lines."""

    picture: ReliefPicture
    tiles: ReliefTiles | None
    contours: Contours | None


def beside(relief: ReliefGrid, centre_deg: float) -> ReliefGrid:
    """Return the relief, by whole turns brought within half a turn of a longitude [deg]."""
    moved_deg = float(near_to(np.array([relief.middle_deg]), centre_deg)[0])
    if moved_deg == relief.middle_deg:
        return relief
    turns_m = MERCATOR_RADIUS_M * math.radians(moved_deg - relief.middle_deg)
    return dataclasses.replace(relief, transform=Affine.translation(turns_m, 0.0) * relief.transform)


def draw_ground(relief: ReliefGrid) -> Ground:
    """Return what is drawn of the elevation.

    Notes
    -----
    Pillow and contourpy let other threads work, so the three are made side by side.
    """
    with ThreadPoolExecutor() as pool:
        contours = pool.submit(contours_of, relief)
        pixels = shaded_pixels(relief)
        tiles = pool.submit(relief_tiles, relief, pixels)
        picture = picture_of(relief, pixels)
        return Ground(picture, tiles.result(), contours.result())


def add_relief(season_map: OfflineMap, picture: ReliefPicture) -> None:
    """Add the shaded picture to the map."""
    overlay = folium.raster_layers.ImageOverlay(
        "data:image/webp;base64," + base64.b64encode(picture.webp).decode("ascii"),
        bounds=[[picture.south_deg, picture.west_deg], [picture.north_deg, picture.east_deg]],
        name="relief",
        pixelated=False,
        interactive=False,
        zindex=1,
        class_name="relief-image",
    )
    season_map.add(overlay, "relief")


def add_contours(season_map: OfflineMap) -> None:
    """Add an empty layer for contour lines, which the page puts into it.

    As numbers from vertex to vertex in the page's data they are a quarter as long as written by folium.
    """
    empty = {"type": "MultiLineString", "coordinates": []}
    features = [
        {"type": "Feature", "id": kind, "properties": {}, "geometry": empty} for kind in CONTOUR_STYLES
    ]
    layer = folium.GeoJson(
        {"type": "FeatureCollection", "features": features},
        style_function=lambda feature: dict(CONTOUR_STYLES[feature["id"]]),
        name="contours",
        show=False,
        smooth_factor=0.7,
    )
    season_map.add(layer, "contours")
