"""What went in and what came out: inputs with digests, settings with defaults marked, versions, counts."""

import dataclasses
import json
import math
from importlib.metadata import version
from pathlib import Path
from typing import Any

from geo_scout.model.method_comparison import MethodComparison
from geo_scout.model.ranking import Ranking
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.model.week_page import WeatherFile
from geo_scout.outputs.findings import write_json
from geo_scout.outputs.swap import MARKER
from geo_scout.outputs.tables import shown_code

LIBRARIES = (
    "exactextract",
    "folium",
    "geopandas",
    "numpy",
    "pandas",
    "pyogrio",
    "pyproj",
    "rasterio",
    "scipy",
    "shapely",
)


def write_manifest(path: Path, result: SeasonResult, audience: Audience) -> None:
    """Write the manifest of one run."""
    write_json(path, build_manifest(result, audience))


def build_manifest(result: SeasonResult, audience: Audience) -> dict[str, Any]:
    """Return the manifest of one run; public copies leave out settings, which name bases and land."""
    season = result.season
    manifest: dict[str, Any] = {
        "written_by": MARKER,
        "version": version("geo-scout"),
        "title": season.settings.season.title,
        "as_of": f"{season.as_of:%Y-%m-%d}",
        "audience": audience,
        "stop_and_ask": [question.text() for question in result.questions],
        "libraries": {name: version(name) for name in LIBRARIES},
        "working_crs": result.layers.crs.to_wkt(),
        "inputs": [
            {"name": one.name, "sha256": one.sha256, "size_bytes": one.size_bytes}
            for one in result.layers.inputs
        ],
        "counts": _counts(result, audience),
        "weights": _weights(result),
        "methods": [_method(one, one.comparison) for one in result.rankings if one.comparison],
        "scouting": [
            {"agent": one.agent, "role": one.role, "visits_valued_by": list(one.basis)}
            for one in result.scouting
        ],
    }
    weather = weather_file(result)
    if weather is not None:
        manifest["weather"] = {
            "name": weather.name,
            "sha256": weather.sha256,
            "last_day": f"{weather.last_day:%Y-%m-%d}",
        }
    if audience != "public":
        manifest["settings"] = _settings(result)
        manifest["agents"] = [json.loads(agent.model_dump_json(by_alias=True)) for agent in season.agents]
    return manifest


def weather_file(result: SeasonResult) -> WeatherFile | None:
    """Return the file of a season's own daily weather, with its last day; None without one."""
    layer, weather = result.season.settings.layers.weather, result.layers.weather
    if layer is None or weather is None:
        return None
    digest = next((one.sha256 for one in result.layers.inputs if one.name == layer.path), "")
    return WeatherFile(layer.path, digest, weather.last_day)


def _settings(result: SeasonResult) -> dict[str, Any]:
    """Return every setting by dotted key with its value and whether it is a default."""
    season = result.season
    flat: dict[str, Any] = {}
    _flatten("", json.loads(season.settings.model_dump_json(by_alias=True)), flat)
    flat["season.as_of"] = f"{season.as_of:%Y-%m-%d}"
    return {
        key: {"value": value, "default": key not in season.given}
        for key, value in flat.items()
        if value is not None
    }


def _flatten(prefix: str, value: Any, flat: dict[str, Any]) -> None:
    if isinstance(value, dict) and value:
        for key, inner in value.items():
            _flatten(f"{prefix}.{key}" if prefix else key, inner, flat)
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for index, inner in enumerate(value):
            _flatten(f"{prefix}.{index}", inner, flat)
    else:
        flat[prefix] = value


def _counts(result: SeasonResult, audience: Audience) -> dict[str, Any]:
    return {
        "patches": {host: len(sites) for host, sites in result.sites.items()},
        "rankings": [
            {
                "agent": ranking.agent,
                "role": ranking.role,
                "ranked": len(ranking.ranked),
                "left_out": len(ranking.left_out),
                "left_out_by": _by_code(result, ranking, audience),
            }
            for ranking in result.rankings
        ],
        "populations": {agent: len(evidence.populations) for agent, evidence in result.evidence.items()},
        "findings": {
            grade: sum(finding.grade == grade for finding in result.findings)
            for grade in ("stop", "caution", "note")
        },
    }


def _weights(result: SeasonResult) -> list[dict[str, Any]]:
    """Return the weights of each role and how they came about; all agents share them."""
    weighings = {one.role: one.weighing for one in result.rankings if one.weighing is not None}
    return [{"role": role, **_rounded(dataclasses.asdict(weighing))} for role, weighing in weighings.items()]


def _rounded(value: Any) -> Any:
    """Return the same with every number to six decimals, as tables print shares."""
    if isinstance(value, dict):
        return {key: _rounded(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_rounded(inner) for inner in value]
    return round(value, 6) if isinstance(value, float) else value


def _method(ranking: Ranking, comparison: MethodComparison) -> dict[str, Any]:
    """Return how a ranking was combined and what the other methods would change."""
    return {
        "agent": ranking.agent,
        "role": ranking.role,
        "method": ranking.method,
        "attitude": ranking.attitude,
        "top_n": comparison.top_n,
        "by_other_methods": [
            {
                "method": order.method,
                "attitude": order.attitude,
                "kendall_tau_b": None if math.isnan(order.tau_b) else round(order.tau_b, 6),
                "enters_top_n": list(order.enters),
                "leaves_top_n": list(order.leaves),
            }
            for order in comparison.others
        ],
    }


def _by_code(result: SeasonResult, ranking: Ranking, audience: Audience) -> dict[str, int]:
    """Return how many sites each limit leaves out; public copies do not name the private ones."""
    sites: dict[str, set[str]] = {}
    for exclusion in result.exclusions:
        if exclusion.agent == ranking.agent and exclusion.role == ranking.role:
            sites.setdefault(shown_code(exclusion, audience), set()).add(exclusion.site_id)
    return {code: len(ids) for code, ids in sorted(sites.items())}
