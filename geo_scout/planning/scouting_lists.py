"""The two lists of visits of one agent: to sources that may be, and to release sites."""

from collections.abc import Iterable, Mapping

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.model.agent import AgentProfile
from geo_scout.model.criteria import Role
from geo_scout.model.evidence import Evidence
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.ranking import Ranking
from geo_scout.model.rows import plain_values
from geo_scout.model.scouting import SCOUTING_COLUMNS, ScoutingList
from geo_scout.model.season import Season
from geo_scout.model.site_windows import SiteWindows
from geo_scout.model.sites import Sites
from geo_scout.model.window import MOMENTS
from geo_scout.planning.candidates import BY_THE_ORDER, find_candidates
from geo_scout.planning.choosing import RESOLVED, VisitPlan, choose_visits
from geo_scout.planning.field_days import Dates, sign_days
from geo_scout.planning.ground_checks import list_checks
from geo_scout.planning.outlook import Outlook, release_outlook, source_outlook
from geo_scout.planning.reasons import Reasoning, explain_visits, visit_worths
from geo_scout.planning.visits import SiteVisits, choose_signs

SCOUTED: tuple[Role, ...] = ("source", "release")
EACH_BESIDE_THOSE_ABOVE = (
    "Each visit's worth is what it adds to the visits above it; visits that only matter together are not "
    "looked for."
)
SPACING_IS_NOT_WEIGHED = (
    "What a visit does to another site too close to its own (min_spacing_km), by a find or by a better "
    "score, is not counted."
)


def plan_scouting(
    season: Season,
    agent: AgentProfile,
    sites: Sites,
    evidence: Evidence,
    rankings: Iterable[Ranking],
    exclusions: Iterable[Exclusion],
    windows: Mapping[tuple[str, Role], SiteWindows],
) -> tuple[ScoutingList, ScoutingList]:
    """Return where a visit is worth most before the season decides: sources, and release sites.

    Parameters
    ----------
    season, agent
        What the season can use ([scouting]), and which signs of the agent can be seen when.
    sites, evidence
        Patches and records with supply, rows in the same order.
    rankings, exclusions
        Of the agent; those of others do not count.
    windows
        By agent and role: a visit must come before the site's window closes, and before the last of the
        ranked sources closes; one before it opens leaves time to plan with it.

    Notes
    -----
    The value of a visit is that of what it may find: what the season gains by deciding with it, on average.
    A visit that changes no decision is worth nothing, however likely or unlikely the agent is.
    """
    reasons = list(exclusions)
    by_role = {ranking.role: ranking for ranking in rankings if ranking.agent == agent.name}
    made = []
    for role in SCOUTED:
        candidates = find_candidates(sites, evidence, by_role[role], reasons).assign(role=role)
        table = season.settings.scouting
        outlook = (
            source_outlook(candidates, evidence.supply, agent, table)
            if role == "source"
            else release_outlook(candidates, table, season.rules.max_wasted_share)
        )
        opens, closes = (
            np.fmin(
                _days_of(moment, sites, windows[agent.name, role], candidates["site_id"]),
                _last_of(moment, sites, windows[agent.name, "source"], by_role["source"]),
            )
            for moment in ("opens", "closes")
        )
        visits = _visits(candidates, outlook, season, agent, opens, closes)
        made.append(_list(candidates, role, season, agent, sites, outlook, visits))
    return made[0], made[1]


def _days_of(moment: str, sites: Sites, windows: SiteWindows, site_ids: pd.Series) -> Dates:
    """Return the day of a moment of the window of each site; NaT where nobody knows."""
    rows = pd.Index(sites.site_ids).get_indexer(pd.Index(site_ids))
    days: Dates = windows.dates[MOMENTS.index(moment)][rows].astype("datetime64[D]")
    return days


def _last_of(moment: str, sites: Sites, windows: SiteWindows, ranking: Ranking) -> np.datetime64:
    """Return the latest day of a moment at the ranked sources, after which little or nothing is released.

    Where no source is ranked, any site may become one; NaT where nobody knows.
    """
    ranked = ranking.ranked["site_id"]
    ids = ranked if len(ranked) else ranking.table["site_id"]
    days = _days_of(moment, sites, windows, ids)
    return max(days[~np.isnat(days)], default=np.datetime64("NaT", "D"))


def _visits(
    candidates: pd.DataFrame,
    outlook: Outlook,
    season: Season,
    agent: AgentProfile,
    opens: Dates,
    closes: Dates,
) -> SiteVisits:
    latest = candidates["latest_release"].to_numpy().astype("datetime64[D]")
    signs = [sign_days(sign, season, agent.establishment, latest, opens, closes) for sign in agent.signs]
    speed = season.settings.scouting.travel_km_per_hour
    distance_km = np.nan_to_num(candidates["crew_distance_km"].to_numpy(dtype=np.float64))
    travel_hours = np.zeros(len(candidates)) if speed is None else 2 * distance_km / speed
    can_use = ((candidates["barred"] == "") & ~candidates["is_crowded"]).to_numpy()
    return choose_signs(outlook, signs, travel_hours, can_use)


def _list(
    candidates: pd.DataFrame,
    role: Role,
    season: Season,
    agent: AgentProfile,
    sites: Sites,
    outlook: Outlook,
    visits: SiteVisits,
) -> ScoutingList:
    names = [str(one) for one in plain_values(candidates["site_id"])]
    hours = np.where(np.isnan(visits.hours), 1.0, visits.hours)
    plan = choose_visits(visits.outcomes, hours, names, outlook.places, f"{agent.name}|{role}")
    why = Reasoning(role, season, outlook, visits, plan)
    worth = visit_worths(candidates, why)
    table = candidates.assign(
        agent=agent.name,
        visit_order=_visit_order(plan, worth),
        visit_worth=worth,
        worth_unit=outlook.unit,
        visit_hours=visits.hours,
        worth_per_hour=worth / visits.hours,
        # Text in an empty list, too.
        why=np.array(explain_visits(candidates, why), dtype=object),
        what_to_check=np.array(
            list_checks(candidates, role, sites, season, _are_counted(outlook, visits)), dtype=object
        ),
    )
    table = pd.concat([table, _sign_columns(visits), _yield_columns(outlook)], axis=1)
    order = table.sort_values(["visit_order", "site_id"], na_position="last", kind="stable")
    basis = list(outlook.basis) + [_sentence(outlook.missing)] * bool(outlook.missing)
    if plan.order and outlook.places is not None:
        basis.append(EACH_BESIDE_THOSE_ABOVE)
    if (candidates["is_crowded"] | (candidates["barred"] == BY_THE_ORDER)).any():
        basis.append(SPACING_IS_NOT_WEIGHED)
    if plan.is_cut:
        basis.append(f"The first {RESOLVED} visits are weighed one by one, those after them together.")
    shown = order[list(SCOUTING_COLUMNS)].reset_index(drop=True)
    return ScoutingList(agent.name, role, shown, tuple(basis))


def _are_counted(outlook: Outlook, visits: SiteVisits) -> list[bool]:
    """Return whether what a visit looks for can be counted as a catch; yes where nothing is looked for."""
    signs = [visits.sign_of(row) for row in range(len(visits.sign))]
    return [sign is None or outlook.is_counted(sign) for sign in signs]


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


def _visit_order(plan: VisitPlan, worth: NDArray[np.float64]) -> pd.Series:
    """Return the place of each visit that is worth something, from 1."""
    order = pd.Series([pd.NA] * len(worth), dtype="Int64")
    rows = [row for row in plan.order if worth[row] > 0]
    order.iloc[rows] = np.arange(1, len(rows) + 1)
    return order


def _sign_columns(visits: SiteVisits) -> pd.DataFrame:
    """Return what to look for, how and when, one row per site; empty where there is no sign."""
    signs = [*(days.sign for days in visits.signs), None]
    rows = [
        ("", "", np.nan)
        if sign is None
        else (sign.name, "; ".join(sign.methods), float(sign.found_share.value))
        for sign in signs
    ]
    told = pd.DataFrame(rows, columns=["sign", "methods", "found_share"])
    chosen = told.iloc[np.where(visits.sign < 0, len(signs) - 1, visits.sign)].reset_index(drop=True)
    return chosen.assign(
        sign_first_day=visits.first.astype("datetime64[s]"), sign_last_day=visits.last.astype("datetime64[s]")
    )


def _yield_columns(outlook: Outlook) -> pd.DataFrame:
    """Return what a source fills where there are enough, and how sure that is; nan for release sites."""
    fills = outlook.payoff[:, 2] if outlook.unit == "releases" else np.full(len(outlook.payoff), np.nan)
    share = np.full(len(fills), np.nan) if outlook.enough_share is None else outlook.enough_share
    return pd.DataFrame({"releases_if_enough": fills, "enough_share": share})
