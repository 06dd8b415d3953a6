"""The tables of the sample: which column of which layer holds what, under the names this office uses."""

import shapely
from shapely import Point

from making.country import Country
from making.files import Table
from making.names import HOSTS, PASSES, TOPS, TOWNS
from making.plans import Request, SurveyedArea, Treatment
from making.releases import Release
from making.visits import Visit
from making.weeds import Infestation


def weed_map(rows: list[Infestation]) -> Table:
    """Return the infestations."""
    return {
        "feature_id": [f"Q{row.number:04d}" for row in rows],
        "weed": [row.host for row in rows],
        "cover": [row.cover or None for row in rows],
        "cover_scheme": [row.cover_scheme or None for row in rows],
        "area": [row.area_ha for row in rows],
        "surveyed_on": [row.survey_date or None for row in rows],
        "manager": [row.manager.name for row in rows],
        "parcel": [row.parcel for row in rows],
        "permission": [row.manager.permission or None for row in rows],
        "site_name": [row.name or None for row in rows],
        "geometry": [row.shape for row in rows],
    }


def surveyed_areas(areas: list[SurveyedArea]) -> Table:
    """Return ground that was walked."""
    return {
        "id": [f"S{number:02d}" for number in range(1, len(areas) + 1)],
        "host": [area.host or None for area in areas],
        "survey_date": [area.survey_date for area in areas],
        "result": [area.result for area in areas],
        "geometry": [area.shape for area in areas],
    }


def releases(rows: list[Release]) -> Table:
    """Return the releases."""
    return {
        "release_id": [row.release_id for row in rows],
        "agent": [HOSTS[row.host] for row in rows],
        "date": [row.day.isoformat() for row in rows],
        "number": [row.count for row in rows],
        "life_stage": ["adult" for _ in rows],
        "source_site": [row.source_site for row in rows],
        "purpose": [row.purpose for row in rows],
        "coordinate_uncertainty_m": [row.uncertainty_m for row in rows],
        "permit": [row.permit or None for row in rows],
        "geometry": [row.place for row in rows],
    }


def visits(rows: list[Visit]) -> Table:
    """Return what was seen afterwards."""
    return {
        "visit_id": [f"V{number:03d}" for number in range(1, len(rows) + 1)],
        "release_id": [row.release_id or None for row in rows],
        "agent": [HOSTS[row.host] for row in rows],
        "visited_on": [row.day.isoformat() for row in rows],
        "outcome": [row.outcome for row in rows],
        "method": [row.method for row in rows],
        "hours": [row.hours for row in rows],
        "count": [row.count for row in rows],
        "observer": [row.observer for row in rows],
        "coordinate_uncertainty_m": [row.uncertainty_m for row in rows],
        "seen_as": [row.sign or None for row in rows],
        "stage": [row.stage or None for row in rows],
        "voucher_no": [row.voucher or None for row in rows],
        "weed_cover": [row.weed_cover_pct for row in rows],
        "counted_m2": [row.counted_m2 for row in rows],
        "geometry": [row.place for row in rows],
    }


def treatments(rows: list[Treatment]) -> Table:
    """Return treatments done and planned."""
    return {
        "treatment_id": [f"T{number:02d}" for number in range(1, len(rows) + 1)],
        "action": [row.kind for row in rows],
        "from_date": [row.start for row in rows],
        "to_date": [row.end for row in rows],
        "note": [row.note for row in rows],
        "geometry": [row.shape for row in rows],
    }


def requests(rows: list[Request]) -> Table:
    """Return who asked for agents."""
    return {
        "request_id": [f"A{number:02d}" for number in range(1, len(rows) + 1)],
        "owner": [row.owner for row in rows],
        "date": [row.day.strftime("%d.%m.%Y") for row in rows],
        "contact": [row.contact for row in rows],
        "agent": [row.agent for row in rows],
        "status": [row.status for row in rows],
        "purpose": [row.purpose for row in rows],
        "geometry": [row.place for row in rows],
    }


def land_classes(country: Country) -> Table:
    """Return what the ground is used for."""
    return {
        "class": [land_class for land_class, _ in country.land_classes],
        "geometry": [shape for _, shape in country.land_classes],
    }


def boundaries(country: Country) -> Table:
    """Return districts and their jurisdictions."""
    return {
        "district": [district.name for district in country.districts],
        "jurisdiction": [district.jurisdiction for district in country.districts],
        "geometry": [district.shape for district in country.districts],
    }


def roads(country: Country) -> Table:
    """Return the roads."""
    return {
        "road_class": [road_class for road_class, _ in country.roads],
        "geometry": [line for _, line in country.roads],
    }


def water(country: Country) -> Table:
    """Return the streams; up to ten metres off in the bends."""
    return {"geometry": [shapely.simplify(line, 10.0) for line in country.brooks]}


def places() -> Table:
    """Return what has a name: towns, passes and tops, those that matter most first."""
    named = {**TOWNS, **PASSES, **TOPS}
    return {"name": list(named), "geometry": [Point(place) for place in named.values()]}
