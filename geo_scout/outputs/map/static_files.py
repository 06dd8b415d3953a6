"""The page's own files: HTML, styles, scripts and Leaflet, read from the package."""

import base64
import re
from importlib.resources import files
from importlib.resources.abc import Traversable

LEAFLET = "leaflet-1.9.4"
STYLES = (
    "page.css",
    "panel.css",
    "tabs.css",
    "weights.css",
    "map.css",
    "ground.css",
    "legend.css",
    "card.css",
    "field.css",
    "time.css",
    "what_if.css",
    "dark.css",
    "print.css",
)
SCRIPTS = (
    "text.js",
    "words.js",
    "numbers.js",
    "longitudes.js",
    "unpack.js",
    "data.js",
    "ranking_rows.js",
    "state.js",
    "geodesy.js",
    "how_far.js",
    "device.js",
    "plain_text.js",
    "csv_text.js",
    "gpx_text.js",
    "save_file.js",
    "copy_button.js",
    "plain_button.js",
    "weights.js",
    "symbols.js",
    "layers.js",
    "relief_tiles.js",
    "standing.js",
    "contours.js",
    "contour_labels.js",
    "graticule.js",
    "labels.js",
    "theme.js",
    "tabs.js",
    "season_day.js",
    "window_bar.js",
    "records_then.js",
    "name_list.js",
    "filters.js",
    "site_mark.js",
    "sites_layer.js",
    "bulk_layer.js",
    "many_sites_layer.js",
    "records_layer.js",
    "label_room.js",
    "name_sides.js",
    "places_layer.js",
    "findings_layer.js",
    "score_parts.js",
    "site_facts.js",
    "presence_facts.js",
    "supply_facts.js",
    "site_card.js",
    "record_card.js",
    "card_place.js",
    "lead.js",
    "list.js",
    "weights_panel.js",
    "day_slider.js",
    "year_slider.js",
    "map_bars.js",
    "map_taps.js",
    "position.js",
    "nearest_sites.js",
    "measure.js",
    "measure_between.js",
    "point_here.js",
    "note_store.js",
    "field_notes.js",
    "field_files.js",
    "note_unread.js",
    "note_fields.js",
    "note_position.js",
    "note_form.js",
    "notes_list.js",
    "card_notes.js",
    "take_along.js",
    "field_tab.js",
    "site_field.js",
    "feeding.js",
    "feeding_lines.js",
    "compare_figures.js",
    "compare_table.js",
    "compare_marks.js",
    "compare.js",
    "geodesic_circle.js",
    "circle_area.js",
    "circle_contents.js",
    "circle_told.js",
    "circle.js",
    "what_if_tab.js",
    "header.js",
    "legend.js",
    "paper_view.js",
    "paper_ink.js",
    "paper_relief.js",
    "paper_map.js",
    "paper_edge.js",
    "paper_places.js",
    "paper_marks.js",
    "paper_names.js",
    "paper_labels.js",
    "paper_legend.js",
    "paper_list.js",
    "print.js",
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
