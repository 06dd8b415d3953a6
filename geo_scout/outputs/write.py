"""Writes everything a run hands out."""

from pathlib import Path

from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.calendar import write_calendar
from geo_scout.outputs.call_list import write_call_list
from geo_scout.outputs.csv_tables import write_csv
from geo_scout.outputs.district_outcomes import write_districts
from geo_scout.outputs.findings import write_findings_csv, write_findings_json
from geo_scout.outputs.geo_layers import LAYER_OF_ROLE, build_layers
from geo_scout.outputs.geopackage import write_geojson, write_geopackage
from geo_scout.outputs.manifest import write_manifest
from geo_scout.outputs.map import write_map
from geo_scout.outputs.methods import write_methods
from geo_scout.outputs.records_tables import build_releases, build_visits
from geo_scout.outputs.run_log import RunLog
from geo_scout.outputs.scouting import build_scouting
from geo_scout.outputs.swap import replace_outputs
from geo_scout.outputs.tables import build_tables
from geo_scout.outputs.timelines import write_timelines
from geo_scout.outputs.value_curves import write_value_curves
from geo_scout.outputs.whose_folder import RUN, read_whose


def write_outputs(result: SeasonResult, folder: Path, audience: Audience, log: RunLog) -> None:
    """Write every output into ``folder``, whole or not at all.

    Parameters
    ----------
    result
        What the run found.
    folder
        Outputs folder.
    audience
        ``crew`` holds everything; ``board`` leaves out the call list with its contacts; ``public`` also
        withholds managers, permissions, requests, land classes, crew bases and findings.
    log
        Times of the run so far; written last.
    """
    read_whose(folder, RUN)
    tables = build_tables(result, audience)
    layers = build_layers(result, tables, audience)
    with replace_outputs(folder) as new:
        for role, name in LAYER_OF_ROLE.items():
            write_csv(new / f"{name}.csv", tables[role])
            write_geojson(new / f"{name}.geojson", layers[name])
        write_csv(new / "releases.csv", build_releases(result, audience))
        write_csv(new / "visits.csv", build_visits(result, audience))
        write_csv(new / "scouting.csv", build_scouting(result, audience))
        write_geopackage(new / "result.gpkg", layers, result.season.as_of)
        with log.step("drawing the map"):
            write_map(new / "map.html", result, tables, audience)
        write_calendar(new, tables["source"], result.season.settings.season.title)
        write_timelines(new / "timelines.svg", result, audience)
        write_districts(new, result)
        write_methods(new, result)
        write_value_curves(new / "value_curves.svg", result)
        if audience == "crew":
            write_call_list(new / "call_list.csv", result, tables)
        if audience != "public":
            write_findings_csv(new / "findings.csv", result.findings)
            write_findings_json(new / "findings.json", result)
        write_manifest(new / "manifest.json", result, audience)
        log.write(new / "run_log.json")
