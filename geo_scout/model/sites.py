"""Candidate patches of one host, and what lies on and around them."""

from dataclasses import dataclass, field

import geopandas as gpd
import pandas as pd

from geo_scout.model.finding import Finding
from geo_scout.model.rows import plain_values


def no_overlaps() -> pd.DataFrame:
    """Return an empty table of overlaps with required layers."""
    return pd.DataFrame({"site_id": [], "layer": [], "share": []}).astype({"share": float})


@dataclass(frozen=True)
class Sites:
    """The patches of one host.

    Parameters
    ----------
    host
        Name of the host weed.
    patches
        One row per patch, sorted by ``site_id``, index 0..n-1, geometry in the working CRS. Columns:
        ``site_id``, ``host``, ``name``, ``longitude_deg``, ``latitude_deg`` (a point inside the patch),
        ``utm_zone``, ``easting_m``, ``northing_m``, ``gross_ha``, ``infested_ha``,
        ``infested_low_ha``, ``infested_high_ha`` (infested_ha is nan where cover is unknown), ``cover_pct``,
        ``cover_low_pct``, ``cover_high_pct``, ``survey_date`` (newest member), ``survey_date_oldest``,
        ``survey_age_years``, ``manager``, ``parcel``, ``district``, ``jurisdiction`` ("" unmapped),
        ``permission`` (yes, no, unknown), ``member_ids`` (text), ``predecessors`` (text), ``crew``,
        ``crew_distance_km``, ``preferred_land_pct``, ``forbidden_land_share`` (with its buffer).
    members
        One row per piece of infestation: ``site_id``, ``member_id``, ``gross_ha``, ``cover_share``,
        ``survey_date``, ``cover_scheme``, geometry.
    land
        Overlaps with land classes: ``site_id``, ``land_class``, ``rule`` (forbid, ask, prefer, ""), ``share``
        (of the patch, the buffer counted for forbidden land).
    treatments
        Overlaps with treatments: ``site_id``, ``treatment_id``, ``kind``, ``start``, ``end``, ``share``.
    required
        Overlaps with the polygon layers the season marks as required: ``site_id``, ``layer``, ``share``.
    findings
        What was noticed on the way, for example surveys that newer ones replace.
    """

    host: str
    patches: gpd.GeoDataFrame
    members: gpd.GeoDataFrame
    land: pd.DataFrame
    treatments: pd.DataFrame
    findings: tuple[Finding, ...] = ()
    required: pd.DataFrame = field(default_factory=no_overlaps)

    @property
    def site_ids(self) -> list[str]:
        """Ids of the patches in table order."""
        return [str(site_id) for site_id in plain_values(self.patches["site_id"])]

    def __len__(self) -> int:
        """Return the number of patches."""
        return len(self.patches)
