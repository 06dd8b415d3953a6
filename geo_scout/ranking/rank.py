"""One ranking: order, ranks, and the table every output prints from."""

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd

from geo_scout.formulas.combining import rank_by_score
from geo_scout.model.agent import AgentProfile
from geo_scout.model.criteria import Criterion, Role
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.evidence import Evidence
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.ranking import Ranking
from geo_scout.model.robustness import Robustness
from geo_scout.model.rows import each_row, plain_values
from geo_scout.model.season import Season
from geo_scout.model.site_windows import SiteWindows
from geo_scout.model.sites import Sites
from geo_scout.ranking.cautions import site_cautions
from geo_scout.ranking.robust_columns import robust_columns
from geo_scout.ranking.score import ScoredSites
from geo_scout.ranking.window_columns import window_columns

FROM_PATCHES = (
    "longitude_deg",
    "latitude_deg",
    "utm_zone",
    "easting_m",
    "northing_m",
    "gross_ha",
    "infested_ha",
    "cover_pct",
    "survey_date",
    "manager",
    "permission",
)
APPENDED_PATCHES = (
    "district",
    "jurisdiction",
    "parcel",
    "survey_date_oldest",
    "survey_age_years",
    "infested_low_ha",
    "infested_high_ha",
    "cover_low_pct",
    "cover_high_pct",
    "crew",
    "member_ids",
    "predecessors",
)
APPENDED_EVIDENCE = (
    "confirmed_year",
    "latest_result",
    "release_ids",
    "unvisited_release_ids",
    "population_name",
    "request_ids",
    "state",
    "state_year",
    "presence_low_share",
    "presence_share",
    "presence_high_share",
    "gap_crossed",
    "last_visit",
    "state_words",
)


def best_first(score: "np.ndarray[tuple[int], np.dtype[np.float64]]", site_ids: Sequence[str]) -> list[str]:
    """Return the site ids, best score first, ties by site_id."""
    ranks = rank_by_score(score, list(site_ids))
    return [site_ids[i] for i in np.argsort(ranks)]


def rank_sites(
    agent: AgentProfile,
    role: Role,
    season: Season,
    sites: Sites,
    evidence: Evidence,
    measures: Mapping[str, CriterionValue],
    scored: ScoredSites,
    exclusions: Sequence[Exclusion],
    climate: pd.DataFrame,
    windows: SiteWindows,
    ground: pd.DataFrame,
    robustness: Robustness | None = None,
) -> Ranking:
    """Return one ranking: ranked sites first, then the sites left out by site_id.

    Parameters
    ----------
    agent, role, season
        Whose ranking.
    sites, evidence
        Patches and records, rows in the same order.
    measures, scored
        What was measured, and the scores it makes.
    exclusions
        Reasons of this ranking; a site with any reason has no rank but keeps its row.
    climate
        Site (row) x climate variable, for the limits that could not be checked [by variable].
    windows
        When the agent can be collected or received at each site.
    ground
        What the rasters say of each site, in columns to print.
    robustness
        How sure the order is; None adds no column.
    """
    criteria = season.settings.criteria.of(role)
    reasons = _reasons(exclusions, sites.site_ids)
    is_ranked = (reasons["exclusion_codes"] == "").to_numpy()
    cautions = site_cautions(agent, role, season, sites, evidence, measures, scored, climate)
    table = pd.concat(
        [
            _identity(agent, role, sites, evidence, is_ranked, scored),
            sites.patches[list(FROM_PATCHES)].reset_index(drop=True),
            _criteria_columns(criteria, measures, scored),
            reasons,
            cautions[["cautions"]],
            _appended(agent, sites, evidence, measures),
            _supply(role, evidence, len(sites)),
            cautions[["stop_and_ask", "public_cautions"]],
            ground,
            window_columns(windows),
        ],
        axis=1,
    )
    table = table.loc[:, ~table.columns.duplicated()]
    if robustness is not None:
        sure = robust_columns(table, role, criteria, measures, scored, robustness)
        change = sure.pop("what_would_change_it")
        table = pd.concat([table.assign(what_would_change_it=change), sure], axis=1)
    order = table.sort_values(["rank", "site_id"], na_position="last", kind="stable").index
    free = None if scored.score_if_free is None else pd.Series(scored.score_if_free, index=sites.site_ids)
    return Ranking(
        agent=agent.name,
        role=role,
        criteria=criteria,
        weights=scored.weights,
        measures=measures,
        table=table.loc[order].reset_index(drop=True),
        robustness=robustness,
        weighing=scored.weighing,
        method=scored.method,
        attitude=scored.attitude,
        score_if_free=free,
        ideal=scored.ideal,
        low_values=scored.values,
        high_values=scored.high_values,
    )


def _reasons(exclusions: Sequence[Exclusion], site_ids: Sequence[str]) -> pd.DataFrame:
    by_site: dict[str, list[Exclusion]] = {site_id: [] for site_id in site_ids}
    for exclusion in exclusions:
        by_site[exclusion.site_id].append(exclusion)
    return pd.DataFrame(
        {
            "exclusion_codes": [
                "; ".join(dict.fromkeys(e.code for e in found)) for found in by_site.values()
            ],
            "reasons": [" ".join(f"Left out: {e.sentence}" for e in found) for found in by_site.values()],
            "what_would_change_it": [_remedies(found) for found in by_site.values()],
        }
    )


def _remedies(found: Sequence[Exclusion]) -> str:
    """Return what would bring a site back; of several reasons none does alone."""
    each = list(dict.fromkeys(exclusion.remedy for exclusion in found))
    return " ".join(["Only all of these together:", *each] if len(each) > 1 else each)


def _identity(
    agent: AgentProfile,
    role: Role,
    sites: Sites,
    evidence: Evidence,
    is_ranked: "np.ndarray[tuple[int], np.dtype[np.bool_]]",
    scored: ScoredSites,
) -> pd.DataFrame:
    ids = np.array(sites.site_ids, dtype=object)
    rank = pd.array([pd.NA] * len(ids), dtype="Int64")
    rank[is_ranked] = rank_by_score(scored.score[is_ranked], list(ids[is_ranked]))
    return pd.DataFrame(
        {
            "agent": agent.name,
            "role": role,
            "rank": rank,
            "site_id": ids,
            "name": sites.patches["name"].to_numpy(),
            "purpose": evidence.sites["purpose"].to_numpy() if role == "release" else "",
            "status": np.where(is_ranked, "ranked", "left out"),
            "score": scored.score,
            "score_low": scored.score_low,
            "score_high": scored.score_high,
        },
        index=range(len(ids)),
    )


def _criteria_columns(
    criteria: Mapping[str, Criterion], measures: Mapping[str, CriterionValue], scored: ScoredSites
) -> pd.DataFrame:
    columns = {}
    for name in criteria:
        columns[measures[name].column(name)] = measures[name].value
        # Empty where it was not measured: the points then count the lowest value that is possible.
        columns[f"{name}_value"] = np.where(measures[name].known, scored.values[name], np.nan)
        columns[f"{name}_points"] = scored.points[name]
    return pd.DataFrame(columns)


def _percent(share: float) -> str:
    """Return a share for a list of land classes; a sliver is not nothing."""
    return f"{share:.0%}" if share >= 0.005 else "<1%"


def _supply(role: Role, evidence: Evidence, count: int) -> pd.DataFrame:
    """Return what each source could yield; no columns for release sites."""
    if role != "source" or evidence.supply.empty:
        return pd.DataFrame(index=range(count))
    return evidence.supply.drop(columns="site_id").reset_index(drop=True)


def _appended(
    agent: AgentProfile, sites: Sites, evidence: Evidence, measures: Mapping[str, CriterionValue]
) -> pd.DataFrame:
    patches = sites.patches[list(APPENDED_PATCHES)].reset_index(drop=True)
    records = evidence.sites[list(APPENDED_EVIDENCE)].reset_index(drop=True)
    status_in = {name: agent.legal_in(name).status for name in set(patches["jurisdiction"])}
    legal = [status_in[name] for name in plain_values(patches["jurisdiction"])]
    details = {name: column for measure in measures.values() for name, column in measure.details.items()}
    rules = sites.land.assign(text=[f"{r.land_class} {_percent(r.share)}" for r in each_row(sites.land)])
    land = rules.groupby("site_id")["text"].agg("; ".join) if len(rules) else pd.Series(dtype=object)
    return pd.concat(
        [
            patches,
            records,
            pd.DataFrame(
                {
                    "nearest_population_km": evidence.sites["population_distance_km"].to_numpy(),
                    "legal_status": legal,
                    "land_classes": land.reindex(sites.site_ids, fill_value="").to_numpy(),
                    **details,
                }
            ),
        ],
        axis=1,
    )
