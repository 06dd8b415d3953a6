"""Patches, releases, visits, populations, findings, crew bases and names on the ground for the page."""

import geopandas as gpd
import pandas as pd

from geo_scout.formulas.longitudes import whole_near_to
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.model.sites import Sites
from geo_scout.outputs.map.audience import private_texts, withhold_texts
from geo_scout.outputs.map.cells import Columns, column, columns_of
from geo_scout.outputs.map.packing import packed_outlines
from geo_scout.outputs.map.presence import SHARES, percents
from geo_scout.outputs.map.shapes import points, polygons
from geo_scout.outputs.map.years import years
from geo_scout.outputs.public_places import at_public_places

PACKED_TOLERANCE_DEG = 2e-5
RELEASE_COLUMNS = (
    "release_id",
    "date",
    "number",
    "life_stage",
    "outcome",
    "visits",
    "last_visit",
    "site_id",
    "state",
    "state_year",
)
NOT_FOR_THE_PUBLIC = ("purpose", "lost_on")
VISIT_COLUMNS = ("release_id", "date", "found", "method", "effort_hours", "count", "says_nothing")
FINDING_COLUMNS = ("grade", "layer", "feature", "what", "fix", "longitude_deg", "latitude_deg")
POPULATION_COLUMNS = (
    "population_id",
    "name",
    "site_id",
    "first_found",
    "last_found",
    "latest_result",
    "release_ids",
)


def patches(sites: Sites) -> dict[str, object]:
    """Return the outlines of one host's patches by site_id, every vertex kept."""
    placed = sites.patches.geometry.to_crs("EPSG:4326")
    return {
        "host": column([sites.host])[0],
        "site_id": column(sites.patches["site_id"]),
        "polygons": polygons(placed.to_numpy()),
    }


def packed_patches(sites: Sites) -> dict[str, object]:
    """Return the same of a large season, packed: within 2e-5 degrees of what was mapped."""
    placed = sites.patches.geometry.to_crs("EPSG:4326")
    return {
        "host": column([sites.host])[0],
        "site_id": column(sites.patches["site_id"]),
        "polygons": packed_outlines(whole_near_to(placed.to_numpy(), 0.0), PACKED_TOLERANCE_DEG),
    }


def records(result: SeasonResult, agent: str, audience: Audience) -> dict[str, object]:
    """Return releases, visits and confirmed populations of one agent, and how they stood in earlier years.

    Who looked and under which permit stays out: nobody needs it on a map. Purposes and days on which ground
    was treated are left out for the public, and records stand at their patches.
    """
    evidence = result.evidence[agent]
    put, found = evidence.releases, evidence.populations
    if audience == "public":
        put, found = (at_public_places(result, agent, frame) for frame in (put, found))
    releases = _placed(
        put, RELEASE_COLUMNS if audience == "public" else (*RELEASE_COLUMNS, *NOT_FOR_THE_PUBLIC)
    )
    for name in SHARES:
        if name in evidence.releases:
            releases[name.replace("_share", "_percent")] = [*percents(evidence.releases[name])]
    return {
        "releases": releases,
        "visits": columns_of(evidence.visits, VISIT_COLUMNS),
        "populations": _placed(found, POPULATION_COLUMNS),
        "years": years(result, agent, audience),
    }


def crews(result: SeasonResult) -> Columns:
    """Return the crew bases."""
    bases = result.season.settings.crews
    return {
        "name": column(crew.name for crew in bases),
        "longitude_deg": column(crew.base_longitude_deg for crew in bases),
        "latitude_deg": column(crew.base_latitude_deg for crew in bases),
    }


def findings(result: SeasonResult) -> Columns:
    """Return the findings that have a place."""
    placed = [finding for finding in result.findings if finding.longitude_deg is not None]
    return {name: column(getattr(finding, name) for finding in placed) for name in FINDING_COLUMNS}


def districts(result: SeasonResult) -> Columns:
    """Return each district's name once, placed inside its largest part."""
    frame = result.layers.vectors.get("boundaries")
    if frame is None or frame.empty:
        return {}
    largest = frame.assign(area_m2=frame.geometry.area).sort_values("area_m2", ascending=False, kind="stable")
    return _placed(largest.drop_duplicates("district").sort_index(), ("district", "jurisdiction"))


def named_places(result: SeasonResult, audience: Audience) -> Columns:
    """Return towns, passes and peaks, those that matter most first.

    For the public, a place that is called like a private text, such as a farm like its owner, is left out.
    """
    frame = result.layers.vectors.get("places")
    if frame is None or frame.empty:
        return {}
    if audience == "public":
        names = withhold_texts([*frame["name"]], private_texts(result))
        frame = frame[[name != "" for name in names]]
    return _placed(frame, ("name",))


def requests(result: SeasonResult, agent: str, audience: Audience) -> dict[str, list[str]]:
    """Return who asked for the agent, by site_id; ways to reach them in the crew's copy only."""
    frame = result.layers.vectors.get("requests")
    sites = result.evidence[agent].sites
    if audience == "public" or frame is None or "request_ids" not in sites:
        return {}
    lines = {
        str(row["request_id"]): _request_line(row, audience)
        for row in columns_of_rows(frame, ("request_id", "owner", "contact", "date"))
    }
    asked: dict[str, list[str]] = {}
    for site_id, request_ids in zip(column(sites["site_id"]), column(sites["request_ids"]), strict=True):
        named = [part.strip() for part in str(request_ids or "").replace(";", ",").split(",")]
        if found := [lines[request_id] for request_id in named if request_id in lines]:
            asked[str(site_id)] = found
    return asked


def columns_of_rows(frame: pd.DataFrame, names: tuple[str, ...]) -> list[dict[str, object]]:
    """Return rows of the named columns as dictionaries of cells."""
    columns = columns_of(frame, names)
    return [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]


def _request_line(row: dict[str, object], audience: Audience) -> str:
    parts = [row.get("owner"), row.get("contact") if audience == "crew" else None, row.get("date")]
    return ", ".join(str(part) for part in parts if part)


def _placed(frame: gpd.GeoDataFrame, names: tuple[str, ...]) -> Columns:
    columns = columns_of(frame, names)
    if not frame.empty:
        longitude_deg, latitude_deg = points(frame.geometry)
        columns["longitude_deg"], columns["latitude_deg"] = [*longitude_deg], [*latitude_deg]
    return columns
