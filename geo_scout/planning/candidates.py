"""Which sites a scout may be sent to, with what is known of each."""

from collections.abc import Iterable

import numpy as np
import pandas as pd

from geo_scout.formulas.value_curves import curve_value
from geo_scout.model.criteria import Curve, Role
from geo_scout.model.evidence import Evidence
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.ranking import Ranking
from geo_scout.model.sites import Sites

NO_VISIT = frozenset({"legal-forbidden", "permission-refused", "land-forbidden"})
"""Codes of ground nobody may go to or use for the agent, so nobody is sent to look."""
OPEN_TO_FINDS: dict[Role, frozenset[str]] = {
    "source": frozenset({"agent-not-confirmed"}),
    "release": frozenset({"agent-inferred"}),
}
"""Codes that what a visit finds can lift, by role."""
BY_THE_ORDER = "too-close"
"""Code that rests on the order of the scores, which a visit changes where the chance of waste counts."""
_FROM_PATCHES = (
    "site_id",
    "name",
    "longitude_deg",
    "latitude_deg",
    "survey_date",
    "survey_age_years",
    "manager",
    "permission",
    "crew",
    "crew_distance_km",
)
_FROM_RECORDS = (
    "state",
    "presence_low_share",
    "presence_share",
    "presence_high_share",
    "last_visit",
    "latest_release",
    "unvisited_release_ids",
    "purpose",
)
_FROM_SUPPLY = ("catch_date", "releases_low", "releases", "releases_high")


def find_candidates(
    sites: Sites, evidence: Evidence, ranking: Ranking, exclusions: Iterable[Exclusion]
) -> pd.DataFrame:
    """Return one row per site that may be visited, by ``site_id``.

    Parameters
    ----------
    sites, evidence
        Patches and records, rows in the same order.
    ranking
        Ranking of the agent in the role.
    exclusions
        Reasons of every ranking; others than this one's do not count.

    Returns
    -------
    pandas.DataFrame
        Columns of the patches, records and supply, with ``score_if_free`` (the score the site would have if
        it were sure that the agent does not live there), ``is_ranked``, ``is_closed`` (left out as a release
        site because the agent is too likely there), ``is_crowded`` (left out beside a site that scores
        higher, where a visit may lift the score of this one above it) and ``barred``: codes that leave the
        site out whatever a visit finds, as text, "" where there are none.

    Notes
    -----
    Ground closed by law, by its manager or as forbidden land is on no list of visits. A score that counts the
    chance of waste would count it twice beside what a visit finds, so its full points are given back.
    """
    codes: dict[str, dict[str, None]] = {}
    for one in exclusions:
        if one.agent == ranking.agent and one.role == ranking.role:
            codes.setdefault(one.site_id, {})[one.code] = None
    table = pd.concat(
        [
            pd.DataFrame(sites.patches[list(_FROM_PATCHES)]).reset_index(drop=True),
            evidence.sites[list(_FROM_RECORDS)].reset_index(drop=True),
            evidence.supply[list(_FROM_SUPPLY)].reset_index(drop=True),
        ],
        axis=1,
    )
    ranked = ranking.table.set_index("site_id")
    found = [codes.get(site_id, {}) for site_id in table["site_id"]]
    lifted = OPEN_TO_FINDS[ranking.role]
    may_swap = "wasted_chance" in ranking.criteria
    if may_swap:
        lifted |= {BY_THE_ORDER}
    table = table.assign(
        score_if_free=_score_if_free(ranking, ranked).reindex(table["site_id"]).to_numpy(dtype=float),
        is_ranked=(ranked["status"] == "ranked").reindex(table["site_id"], fill_value=False).to_numpy(),
        is_closed=["agent-inferred" in ones for ones in found],
        is_crowded=[may_swap and BY_THE_ORDER in ones for ones in found],
        barred=["; ".join(code for code in ones if code not in lifted) for ones in found],
    )
    may_go = np.array([not NO_VISIT & ones.keys() for ones in found], dtype=bool)
    return table[may_go].sort_values("site_id", kind="stable").reset_index(drop=True)


def _score_if_free(ranking: Ranking, ranked: pd.DataFrame) -> pd.Series:
    score = ranked["score"]
    if "wasted_chance" not in ranking.criteria:
        return score
    if ranking.score_if_free is not None:
        return ranking.score_if_free
    full = _value_at_zero(ranking.criteria["wasted_chance"].curve) * ranking.weights["wasted_chance"]
    return score - ranked["wasted_chance_points"] + full


def _value_at_zero(curve: Curve) -> float:
    return float(curve_value(curve.shape, curve.places, 0.0, curve.levels))
