"""What folium draws under the sites: relief, districts, roads, land and treatments. Geometry only.

Each layer is named by its id; the page puts its words in the id's place.
"""

import base64
from collections.abc import Mapping

import folium
import geopandas as gpd

from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.map.page import OfflineMap
from geo_scout.outputs.map.shapes import bare_collection, edges_once
from geo_scout.outputs.relief import draw_relief

INK = "#22303a"
ALERT = "#a8480f"
BLUE = "#1c2f7a"

Style = Mapping[str, str | float | bool]

_LINE: Style = {"fill": False, "interactive": False}
ROAD_STYLE: Style = {**_LINE, "color": "#6f675c", "weight": 1.6, "opacity": 0.9}
DISTRICT_STYLE: Style = {**_LINE, "color": INK, "weight": 1.8, "opacity": 0.75, "dashArray": "9 6"}
TREATMENT_STYLE: Style = {**_LINE, "color": ALERT, "weight": 2.0, "dashArray": "2 5"}
LAND_STYLES: Mapping[str, Style] = {
    "forbid": {**_LINE, "color": ALERT, "weight": 2.2},
    "ask": {**_LINE, "color": INK, "weight": 2.0, "dashArray": "1 6"},
    "prefer": {**_LINE, "color": BLUE, "weight": 2.0, "dashArray": "12 4"},
}


def add_base_layers(season_map: OfflineMap, result: SeasonResult, audience: Audience) -> tuple[str, ...]:
    """Add relief and line work to the map, and the layer switch last.

    Returns
    -------
    tuple of str
        Ids of the layers that were added, for the legend.
    """
    added: list[str] = []
    if result.relief is not None:
        _add_relief(season_map, result)
        added.append("relief")
    vectors = result.layers.vectors
    if audience != "public":  # land classes can name places that are nobody else's business
        added += _add_land(season_map, result)
        added += _add_lines(season_map, vectors.get("treatments"), "treatments", TREATMENT_STYLE)
    if (boundaries := vectors.get("boundaries")) is not None:
        added += _add_lines(season_map, edges_once(boundaries), "districts", DISTRICT_STYLE)
    added += _add_lines(season_map, vectors.get("roads"), "roads", ROAD_STYLE)
    season_map.add(folium.LayerControl(collapsed=False, autoZIndex=False), "layers")
    return tuple(added)


def _add_relief(season_map: OfflineMap, result: SeasonResult) -> None:
    assert result.relief is not None
    picture = draw_relief(result.relief)
    overlay = folium.raster_layers.ImageOverlay(
        "data:image/webp;base64," + base64.b64encode(picture.webp).decode("ascii"),
        bounds=[[picture.south_deg, picture.west_deg], [picture.north_deg, picture.east_deg]],
        name="relief",
        pixelated=False,
        interactive=False,
        zindex=1,
    )
    season_map.add(overlay, "relief")


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


def _add_lines(
    season_map: OfflineMap,
    frame: gpd.GeoDataFrame | None,
    element_id: str,
    style: Style,
) -> list[str]:
    collection = None if frame is None else bare_collection(frame)
    if collection is None:
        return []
    layer = folium.GeoJson(
        collection,
        style_function=lambda _feature: dict(style),
        name=element_id,
        show=element_id in ("districts", "roads"),
        smooth_factor=1.0,
    )
    season_map.add(layer, element_id)
    return [element_id]
