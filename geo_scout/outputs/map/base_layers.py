"""What folium draws under the sites: relief, contours, water, districts, roads, land ... Geometry only.

Each layer is named by its id; the page puts its words in the id's place.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import folium
import geopandas as gpd

from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.map.contours import Contours
from geo_scout.outputs.map.ground_layers import add_contours, add_relief, beside, draw_ground
from geo_scout.outputs.map.page import OfflineMap
from geo_scout.outputs.map.relief_tiles import ReliefTiles
from geo_scout.outputs.map.shapes import bare_collection, edges_once, lines_and_areas

INK = "#22303a"
ALERT = "#a8480f"
BLUE = "#1c2f7a"
WATER = "#4f86b3"

SHOWN_AT_FIRST = ("water", "districts", "roads")

Style = Mapping[str, str | float | bool]

_LINE: Style = {"fill": False, "interactive": False}
# Broader and paler than a road, so that the two differ without colour, too.
STREAM_STYLE: Style = {**_LINE, "color": WATER, "weight": 2.6, "opacity": 0.8}
LAKE_STYLE: Style = {**STREAM_STYLE, "fill": True, "fillColor": WATER, "fillOpacity": 0.25, "weight": 1.4}
ROAD_STYLE: Style = {**_LINE, "color": "#6f675c", "weight": 1.6, "opacity": 0.9}
DISTRICT_STYLE: Style = {**_LINE, "color": INK, "weight": 1.8, "opacity": 0.75, "dashArray": "9 6"}
TREATMENT_STYLE: Style = {**_LINE, "color": ALERT, "weight": 2.0, "dashArray": "2 5"}
LAND_STYLES: Mapping[str, Style] = {
    "forbid": {**_LINE, "color": ALERT, "weight": 2.2},
    "ask": {**_LINE, "color": INK, "weight": 2.0, "dashArray": "1 6"},
    "prefer": {**_LINE, "color": BLUE, "weight": 2.0, "dashArray": "12 4"},
}


@dataclass
class BaseLayers:
    """The base layers a map has, and what of them travels in the page's data.

    Parameters
    ----------
    ids
        Their ids, for the legend.
    contours
        Contour lines, which the page puts into the empty layer of that id.
    relief_tiles
        The relief as tiles.
    """

    ids: list[str] = field(default_factory=list)
    contours: Contours | None = None
    relief_tiles: ReliefTiles | None = None

    def data(self) -> dict[str, object]:
        """Return what the page reads."""
        return {
            "base_layers": self.ids,
            "contour_interval_m": self.contours and self.contours.interval_m,
            "contours": self.contours and self.contours.data(),
            "relief_tiles": self.relief_tiles and self.relief_tiles.data(),
        }


def add_base_layers(season_map: OfflineMap, result: SeasonResult, audience: Audience) -> BaseLayers:
    """Add relief and line work to the map, and the layer switch last.

    Returns
    -------
    BaseLayers
        What was added.
    """
    base = BaseLayers()
    if result.relief is not None:
        ground = draw_ground(beside(result.relief, season_map.centre_longitude_deg))
        base.relief_tiles, base.contours = ground.tiles, ground.contours
        add_relief(season_map, ground.picture)
        base.ids.append("relief")
        if ground.contours is not None:
            add_contours(season_map)
            base.ids.append("contours")
    vectors = result.layers.vectors
    base.ids += _add_water(season_map, vectors.get("water"))
    if audience != "public":  # land classes can name places that are nobody else's business
        base.ids += _add_land(season_map, result)
        base.ids += _add_lines(season_map, vectors.get("treatments"), "treatments", TREATMENT_STYLE)
    if (boundaries := vectors.get("boundaries")) is not None:
        base.ids += _add_lines(season_map, edges_once(boundaries), "districts", DISTRICT_STYLE)
    base.ids += _add_lines(season_map, vectors.get("roads"), "roads", ROAD_STYLE)
    season_map.add(folium.LayerControl(collapsed=False, autoZIndex=False), "layers")
    return base


def _add_land(season_map: OfflineMap, result: SeasonResult) -> list[str]:
    land = result.layers.vectors.get("land_classes")
    if land is None:
        return []
    rules = {name.strip().casefold(): rule for name, rule in result.season.rules.land_classes.items()}
    rule_of = land["class"].astype(str).str.strip().str.casefold().map(rules)
    added: list[str] = []
    for rule, style in LAND_STYLES.items():
        added += _add_lines(season_map, land[rule_of == rule], f"land_{rule}", style)
    return added


def _add_water(season_map: OfflineMap, frame: gpd.GeoDataFrame | None) -> list[str]:
    def style(feature: Mapping[str, Any]) -> dict[str, str | float | bool]:
        return dict(LAKE_STYLE if "Polygon" in feature["geometry"]["type"] else STREAM_STYLE)

    collection = None if frame is None else lines_and_areas(frame, season_map.centre_longitude_deg)
    return _add_collection(season_map, collection, "water", style)


def _add_lines(
    season_map: OfflineMap,
    frame: gpd.GeoDataFrame | None,
    element_id: str,
    style: Style,
) -> list[str]:
    collection = None if frame is None else bare_collection(frame, season_map.centre_longitude_deg)
    return _add_collection(season_map, collection, element_id, lambda _feature: dict(style))


def _add_collection(
    season_map: OfflineMap,
    collection: Mapping[str, Any] | None,
    element_id: str,
    style_function: Callable[[Mapping[str, Any]], dict[str, str | float | bool]],
) -> list[str]:
    if collection is None:
        return []
    layer = folium.GeoJson(
        collection,
        style_function=style_function,
        name=element_id,
        show=element_id in SHOWN_AT_FIRST,
        smooth_factor=1.0,
    )
    season_map.add(layer, element_id)
    return [element_id]
