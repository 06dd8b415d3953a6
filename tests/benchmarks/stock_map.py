"""The baseline of the map's benchmark: what folium itself makes of the same patches, with Leaflet put into the file."""

import re
from pathlib import Path

import folium
import geopandas as gpd

from geo_scout.outputs.map.static_files import leaflet_script, leaflet_style


def write_stock_map(path: Path, patches: gpd.GeoDataFrame, criteria: dict[str, list[float]]) -> None:
    """Write folium's map of the patches, drawn on a canvas, their criteria as properties, with no remote file.

    Parameters
    ----------
    path
        The HTML file.
    patches
        Outlines, longitude and latitude [deg].
    criteria
        By name a value per patch.

    Notes
    -----
    Of folium's remote files only Leaflet is needed for this; the others are left out, which favours folium.
    """
    whole = gpd.GeoDataFrame(
        {"site_id": patches["site_id"], **criteria}, geometry=patches.geometry, crs="EPSG:4326"
    )
    west, south, east, north = whole.total_bounds
    stock = folium.Map(tiles=None, prefer_canvas=True)
    folium.GeoJson(whole).add_to(stock)
    stock.fit_bounds([[south, west], [north, east]])
    text = stock.get_root().render()
    text = re.sub(r'<script src="[^"]*"></script>', "", text)
    text = re.sub(r'<link rel="stylesheet" href="[^"]*"\s*/>', "", text)
    inside = f"<script>{leaflet_script()}</script><style>{leaflet_style()}</style>"
    path.write_text(text.replace("</head>", f"{inside}</head>", 1), encoding="utf-8")
