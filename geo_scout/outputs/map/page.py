"""folium's map as one self-contained page: no asset of folium's, our own frame around it.

folium and branca compile every string they print as a Jinja template, twice. They are therefore given
geometry and our own constants only. Everything a user typed goes into the page through `text.json_block`
and `html.escape`, by plain replacement, after folium has finished.
"""

import html
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import folium
from branca.element import Element, Figure
from jinja2 import Template

from geo_scout.model.visible_text import printable
from geo_scout.model.zones import DEEPEST_ZOOM
from geo_scout.outputs.map.static_files import (
    SCRIPTS,
    STYLES,
    leaflet_script,
    leaflet_style,
    read_static,
)
from geo_scout.outputs.map.text import json_block

MAP_ID = "season"
MAP_VARIABLE = f"map_{MAP_ID}"

_MARKER = re.compile(r"<!--(policy|title|styles|map|data|scripts)-->")
_ENDS_ITS_ELEMENT = re.compile(r"</(script|style)|<!--", re.IGNORECASE)


class OfflineMap(folium.Map):
    """A folium map that asks for none of folium's remote files.

    Parameters
    ----------
    centre_latitude_deg, centre_longitude_deg
        Where the map opens before the page frames the sites; everything is drawn within half a turn of that
        longitude, which lets what lies on both sides of the 180th meridian be drawn side by side [deg].
    """

    default_js: list[tuple[str, str]] = []  # noqa: RUF012  (folium's own name; only ever read)
    default_css: list[tuple[str, str]] = []  # noqa: RUF012
    _template = Template(
        "{% macro html(this, kwargs) %}"
        '<div id="{{ this.get_name() }}" class="map" role="region"></div>'
        "{% endmacro %}"
        "{% macro script(this, kwargs) %}"
        "var {{ this.get_name() }} = L.map({{ this.get_name()|tojson }}, "
        "{center: {{ this.location|tojson }}, zoom: 9, minZoom: 5, "
        f"maxZoom: {DEEPEST_ZOOM}, "
        "zoomSnap: 0.25, zoomDelta: 1, zoomControl: false, fadeAnimation: false, attributionControl: false});"
        "{% endmacro %}"
    )

    def __init__(self, centre_latitude_deg: float, centre_longitude_deg: float) -> None:
        super().__init__(location=[centre_latitude_deg, centre_longitude_deg], tiles=None)
        self.centre_longitude_deg = centre_longitude_deg
        self._id = MAP_ID
        self.frame = Figure()
        self.frame.add_child(self)

    def add(self, layer: Element, element_id: str) -> None:
        """Add a folium layer under a fixed id, so that the same season gives the same bytes."""
        layer._id = element_id
        self.add_child(layer)


@dataclass(frozen=True)
class Page:
    """Everything the file holds, before it is put together.

    Parameters
    ----------
    title
        Title of the season, as the user wrote it.
    season_map
        The map with its base layers. It can be rendered once: folium adds to it each time.
    data
        What the scripts read.
    """

    title: str
    season_map: OfflineMap
    data: Mapping[str, object]

    def scripts(self) -> list[str]:
        """Return the texts of the scripts in the order they run."""
        self.season_map.render()  # type: ignore[no-untyped-call]
        folium_script = self.season_map.frame.script.render()
        return [leaflet_script(), folium_script.strip() + "\n", *(read_static(name) for name in SCRIPTS)]

    def styles(self) -> list[str]:
        """Return the texts of the stylesheets in their order."""
        return [leaflet_style(), *(read_static(name) for name in STYLES)]

    def render(self, scripts: Sequence[str], policy: str) -> str:
        """Return the page.

        Parameters
        ----------
        scripts
            Texts of the scripts (`scripts`).
        policy
            Content-Security-Policy that names them.
        """
        parts = {
            "policy": f'<meta http-equiv="Content-Security-Policy" content="{html.escape(policy)}">',
            "title": f"<title>{html.escape(printable(self.title))}</title>",
            "styles": "\n".join(f"<style>{_contained(style)}</style>" for style in self.styles()),
            "map": self.season_map.frame.html.render().strip(),
            "data": json_block("season-data", self.data),
            "scripts": "\n".join(f"<script>{_contained(script)}</script>" for script in scripts),
        }
        return _MARKER.sub(lambda found: parts[found.group(1)], read_static("page.html"))


def _contained(text: str) -> str:
    if found := _ENDS_ITS_ELEMENT.search(text):
        message = f"a packaged file holds {found.group()!r}, which would end its own element in the page"
        raise ValueError(message)
    return text
