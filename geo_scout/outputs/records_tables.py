"""The tables of releases and of visits, in columns that stay the same for every season."""

from collections.abc import Sequence
from typing import Literal

import geopandas as gpd
import numpy as np
import pandas as pd

from geo_scout.model.record_columns import (
    DEGREE_OF_ESTABLISHMENT,
    GEODETIC_DATUM,
    OCCURRENCE_STATUS,
    RELEASE_COLUMNS,
    VISIT_COLUMNS,
    RecordColumn,
)
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.public_places import public_places
from geo_scout.outputs.rounding import round_table
from geo_scout.outputs.tables import public_words

# What a public copy leaves blank: who looked, permits, specimens, where agents come from and are wanted, how
# exactly a place is known, and treatments that ended a population.
WITHHELD_COLUMNS = (
    "observer",
    "permit",
    "voucher",
    "source_site",
    "purpose",
    "coordinate_uncertainty_m",
    "lost_on",
)


def build_releases(result: SeasonResult, audience: Audience) -> pd.DataFrame:
    """Return every release of the season's agents, by agent, day and id, with what became of it.

    Parameters
    ----------
    result
        What the run found.
    audience
        ``public`` copies leave permits, purposes and treatments blank and give the place of the patch instead
        of the release's own, or a coarse one outside every patch.
    """
    parts = []
    for agent, evidence in result.evidence.items():
        releases = evidence.releases
        state = releases.get("state", pd.Series("", index=releases.index))
        # The state is that of the place; of one of several releases there nobody knows that it was the one.
        is_own = (releases["outcome"] == "found") | ~releases["place_id"].duplicated(keep=False)
        degree = [
            DEGREE_OF_ESTABLISHMENT.get(one, "") if own or one != "confirmed" else ""
            for one, own in zip(state, is_own, strict=True)
        ]
        parts.append(_placed(result, agent, "releases", audience).assign(degree_of_establishment=degree))
    table = _table(parts, RELEASE_COLUMNS, "release_id")
    return round_table(_without_private(table) if audience == "public" else table)


def build_visits(result: SeasonResult, audience: Audience) -> pd.DataFrame:
    """Return every visit for the season's agents, by agent, day and id.

    Parameters
    ----------
    result
        What the run found.
    audience
        ``public`` copies leave observers and vouchers blank; positions as in `build_releases`.
    """
    parts = []
    for agent, evidence in result.evidence.items():
        found = evidence.visits["found"].to_numpy(dtype=bool)
        confirms = evidence.visits["confirms"].to_numpy(dtype=bool)
        parts.append(
            _placed(result, agent, "visits", audience).assign(
                result=np.where(found, "found", "not found"),
                occurrence_status=[OCCURRENCE_STATUS[one] for one in found.tolist()],
                confirms=np.where(confirms, "yes", ""),
            )
        )
    table = _table(parts, VISIT_COLUMNS, "visit_id")
    return round_table(_without_private(table) if audience == "public" else table)


def _placed(
    result: SeasonResult, agent: str, name: Literal["releases", "visits"], audience: Audience
) -> pd.DataFrame:
    """Return the records of one agent with longitude and latitude, fit for their audience."""
    records: gpd.GeoDataFrame = getattr(result.evidence[agent], name)
    points = records.geometry.to_crs(GEODETIC_DATUM)
    east_deg, north_deg = points.x.to_numpy(), points.y.to_numpy()
    note = np.full(len(records), "", dtype=object)
    if audience == "public":
        east_deg, north_deg, note = public_places(result, agent, records)
    return pd.DataFrame(records.drop(columns=records.geometry.name)).assign(
        agent=agent,
        longitude_deg=east_deg,
        latitude_deg=north_deg,
        geodetic_datum=GEODETIC_DATUM,
        position_note=note,
    )


def _table(parts: Sequence[pd.DataFrame], columns: Sequence[RecordColumn], own_id: str) -> pd.DataFrame:
    """Return the records of all agents in fixed columns, blank where none was read."""
    names = [column.name for column in columns]
    in_order = [part.sort_values(["date", own_id], kind="stable") for part in parts]
    table = pd.concat([part.reindex(columns=names) for part in in_order], ignore_index=True)
    return table.assign(**{name: _whole(table[name]) for name in ("number", "count") if name in table})


def _whole(numbers: pd.Series) -> pd.Series:
    """Return counts as whole numbers where all of them are."""
    values = numbers.to_numpy(dtype=np.float64)
    known = values[~np.isnan(values)]
    return numbers.astype("Int64") if (known == np.floor(known)).all() else numbers


def _without_private(table: pd.DataFrame) -> pd.DataFrame:
    """Blank what is not for everybody; of what a state rests on only its chance stays."""
    public = table.assign(**{name: None for name in WITHHELD_COLUMNS if name in table})
    if "state_words" in public:
        public["state_words"] = public_words(public["state_words"])
    return public
