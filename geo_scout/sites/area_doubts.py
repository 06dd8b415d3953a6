"""How unsure the infested area of each patch is: by the classes of its cover, and by its age."""

import datetime as dt

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.model.doubts import AreaDoubt
from geo_scout.model.sites import Sites
from geo_scout.model.years import DAYS_PER_YEAR


def doubt_areas(sites: Sites, as_of: dt.date, change_share: float, least_ha: float) -> AreaDoubt:
    """Return the range of every patch's infested area.

    Parameters
    ----------
    sites
        The patches of one host.
    as_of
        The clock, for the years since the oldest survey of a patch.
    change_share
        By how much the area may have grown or shrunk in each of them [share per year].
    least_ha
        Smaller infested areas are left out [ha].

    Notes
    -----
    A patch without a survey date takes the age of the oldest survey of its host; with no date at all no age
    is known, and nothing is made of it.
    """
    patches = sites.patches
    oldest = patches["survey_date_oldest"].to_numpy(dtype="datetime64[D]")
    years = (np.datetime64(as_of, "D") - oldest).astype("timedelta64[D]").astype(np.float64) / DAYS_PER_YEAR
    is_undated = np.isnat(oldest)
    years[is_undated] = years[~is_undated].max() if not is_undated.all() else 0.0
    return AreaDoubt(
        low_ha=patches["infested_low_ha"].to_numpy(dtype=np.float64),
        best_ha=patches["infested_ha"].to_numpy(dtype=np.float64),
        high_ha=patches["infested_high_ha"].to_numpy(dtype=np.float64),
        gross_ha=patches["gross_ha"].to_numpy(dtype=np.float64),
        scheme=_unsurest_scheme(sites),
        change_log=np.log1p(change_share) * np.maximum(years, 0.0),
        least_ha=least_ha,
        undated=int(is_undated.sum()),
    )


def _unsurest_scheme(sites: Sites) -> NDArray[np.object_]:
    """Return the scheme of the cover that leaves most hectares unsure in each patch, "" where none does."""
    members = sites.members
    scheme = np.full(len(sites), "", dtype=object)
    if "cover_low_share" not in members or not len(members):
        return scheme
    width = members["cover_high_share"].fillna(1.0) - members["cover_low_share"].fillna(0.0)
    unsure = pd.DataFrame(
        {
            "site_id": members["site_id"].to_numpy(),
            "scheme": members["cover_scheme"].fillna("").to_numpy(dtype=object),
            "ha": (members["gross_ha"] * width).to_numpy(dtype=np.float64),
        }
    )
    total = unsure[unsure["ha"] > 0].groupby(["site_id", "scheme"], sort=True)["ha"].sum().reset_index()
    most = total.sort_values(["site_id", "ha", "scheme"], ascending=[True, False, True], kind="stable")
    first = most.drop_duplicates("site_id").set_index("site_id")["scheme"]
    return first.reindex(sites.site_ids, fill_value="").to_numpy(dtype=object)
