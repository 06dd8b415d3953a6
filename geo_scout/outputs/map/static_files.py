"""The page's own files: HTML, styles, scripts and Leaflet, read from the package."""

import base64
import re
from importlib.resources import files
from importlib.resources.abc import Traversable

LEAFLET = "leaflet-1.9.4"
STYLES = ("page.css", "panel.css", "tabs.css", "weights.css", "map.css", "legend.css", "card.css", "dark.css")
SCRIPTS = (
    "text.js",
    "words.js",
    "numbers.js",
    "data.js",
    "ranking_rows.js",
    "state.js",
    "weights.js",
    "symbols.js",
    "layers.js",
    "labels.js",
    "theme.js",
    "tabs.js",
    "filters.js",
    "sites_layer.js",
    "records_layer.js",
    "places_layer.js",
    "findings_layer.js",
    "score_parts.js",
    "site_facts.js",
    "presence_facts.js",
    "supply_facts.js",
    "site_card.js",
    "record_card.js",
    "popup.js",
    "lead.js",
    "list.js",
    "weights_panel.js",
    "header.js",
    "legend.js",
    "start.js",
)


def read_static(name: str) -> str:
    """Return one text file of the page's static folder, lines ending in a line feed."""
    return _static(name).read_text(encoding="utf-8")


def leaflet_script() -> str:
    """Return Leaflet without the line that points browsers to a source map beside the page."""
    return re.sub(r"//# sourceMappingURL=\S+\s*$", "", read_static(f"{LEAFLET}/leaflet.js"))


def leaflet_style() -> str:
    """Return Leaflet's stylesheet with its pictures inside it."""
    return re.sub(
        r"url\((images/[\w.-]+)\)",
        lambda found: f"url({_read_png(f'{LEAFLET}/{found.group(1)}')})",
        read_static(f"{LEAFLET}/leaflet.css"),
    )


def _read_png(name: str) -> str:
    return "data:image/png;base64," + base64.b64encode(_static(name).read_bytes()).decode("ascii")


def _static(name: str) -> Traversable:
    folder: Traversable = files("geo_scout.outputs.map") / "static"
    for part in name.split("/"):
        folder = folder / part
    return folder
