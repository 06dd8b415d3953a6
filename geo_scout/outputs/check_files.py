"""The findings of a check as files: a table, JSON and a map layer, whole or not at all."""

from collections.abc import Sequence
from importlib.metadata import version
from pathlib import Path

from geo_scout.model.finding import Finding
from geo_scout.model.season import Season
from geo_scout.outputs.check_words import check_as_json
from geo_scout.outputs.findings import write_findings_csv, write_json
from geo_scout.outputs.geo_layers import findings_layer
from geo_scout.outputs.geopackage import write_geojson
from geo_scout.outputs.swap import MANIFEST, MARKER, replace_outputs
from geo_scout.outputs.whose_folder import read_whose

CHECK = "check"


def write_check(
    folder: Path, season: Season, findings: Sequence[Finding], not_looked_at: Sequence[str]
) -> None:
    """Write ``findings.csv``, ``findings.json`` and ``findings.geojson`` into a folder of their own.

    Parameters
    ----------
    folder
        The folder; an earlier check's files in it are replaced.
    season
        What was checked.
    findings
        Findings in their order; those with a place go into the map layer.
    not_looked_at
        One sentence each.

    Raises
    ------
    OutputsBlocked
        The folder holds a run's results or what geo_scout did not write, or cannot be written.
    """
    read_whose(folder, CHECK)
    title = season.settings.season.title
    with replace_outputs(folder) as new:
        write_findings_csv(new / "findings.csv", findings)
        write_json(new / "findings.json", check_as_json(title, findings, not_looked_at))
        write_geojson(new / "findings.geojson", findings_layer(findings))
        manifest = {
            "written_by": MARKER,
            "version": version("geo-scout"),
            "what": CHECK,
            "title": title,
            "as_of": f"{season.as_of:%Y-%m-%d}",
        }
        write_json(new / MANIFEST, manifest)
