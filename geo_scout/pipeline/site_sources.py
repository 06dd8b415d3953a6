"""Which ranked sources could feed which ranked release sites of one agent."""

from collections.abc import Mapping, Sequence

import pandas as pd

from geo_scout.criteria.climate_gap import possible_sources
from geo_scout.model.quantities import Columns
from geo_scout.model.ranking import Ranking
from geo_scout.model.sites import Sites


def pair_with_sources(
    columns: Columns, sites: Sites, rankings: Sequence[Ranking]
) -> Mapping[str, pd.DataFrame]:
    """Return the agent's pairs under its name; nothing where no climate gap is measured.

    Parameters
    ----------
    columns
        The quantities its criteria are measured from.
    sites
        Patches of its host.
    rankings
        Its two rankings.
    """
    if not any("climate_gap" in ranking.measures for ranking in rankings):
        return {}
    ids = {ranking.role: ranking.ranked["site_id"].tolist() for ranking in rankings}
    return {rankings[0].agent: possible_sources(columns, sites.site_ids, ids["release"], ids["source"])}
