"""The relief and its contour lines as layers of the map."""

import base64
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor

import folium

from geo_scout.model.zones import ReliefGrid
from geo_scout.outputs.map.contours import Contours, contours_of
from geo_scout.outputs.map.page import OfflineMap
from geo_scout.outputs.map.relief_tiles import ReliefTiles, relief_tiles
from geo_scout.outputs.relief import picture_of, shaded_pixels

EARTH = "#7a5230"
CONTOUR_STYLES: Mapping[str, Mapping[str, str | float | bool]] = {
    "contour": {"fill": False, "interactive": False, "color": EARTH, "weight": 0.7, "opacity": 0.75},
    "index_contour": {"fill": False, "interactive": False, "color": EARTH, "weight": 1.5, "opacity": 0.85},
}


def add_relief(season_map: OfflineMap, relief: ReliefGrid) -> ReliefTiles | None:
    """Add the shaded picture to the map, and return the tiles that the page lays over it."""
    pixels = shaded_pixels(relief)
    # Pillow lets other threads work while it compresses, so picture and tiles are made side by side.
    with ThreadPoolExecutor() as pool:
        tiles = pool.submit(relief_tiles, relief, pixels)
        picture = picture_of(relief, pixels)
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
    return tiles.result()


def add_contours(season_map: OfflineMap, relief: ReliefGrid) -> Contours | None:
    """Add a layer for contour lines, if there are any, and return the lines, which the page puts into it.

    As numbers from vertex to vertex in the page's data they are a quarter as long as written by folium.
    """
    contours = contours_of(relief)
    if contours is None:
        return None
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
    return contours
