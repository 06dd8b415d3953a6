"""Each ranking's rounded table as columns for the page."""

import pandas as pd

from geo_scout.model.combination import HOW_SCORED, method_words
from geo_scout.model.criteria import ReleaseCriteria, Role, SourceCriteria
from geo_scout.model.ranking import Ranking
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.model.visible_text import printable
from geo_scout.model.window import MOMENTS
from geo_scout.outputs.map.audience import private_texts
from geo_scout.outputs.map.cells import Cell, cell, column
from geo_scout.outputs.map.site_columns import DETAILED_SITES, site_columns_of, written_once
from geo_scout.outputs.map.values import packed_values, values_in_rows

SCOUTING_TEXTS = ("why", "sign", "methods", "sign_first_day", "sign_last_day", "what_to_check")


def ranking_data(
    result: SeasonResult,
    ranking: Ranking,
    table: pd.DataFrame,
    audience: Audience,
    *,
    is_large: bool = False,
) -> dict[str, object]:
    """Return one ranking: its criteria, and the rows of its table as columns.

    Parameters
    ----------
    result
        The season's result.
    ranking
        Whose criteria and weights are in use.
    table
        Rounded output table of the ranking's role, all agents.
    audience
        Who will read the map.
    is_large
        Whether the season has so many sites that values travel packed, and details only of the first.
    """
    rows = table[table["agent"] == printable(ranking.agent)]
    columns, shared = site_columns_of(result, rows, audience, is_large=is_large)
    told = rows.head(DETAILED_SITES) if is_large else rows
    ranked = rows[rows["status"] == "ranked"]
    valued = _valued_visits(result, ranking)
    columns["worth_scouting"] = _worth_scouting(result, ranking, rows, valued)
    columns["visit_order"] = _visit_order(valued, rows)
    columns["unvisited_release"] = _unvisited(result, ranking, rows)
    return {
        "agent": cell(ranking.agent),
        "role": ranking.role,
        "criteria": _criteria(ranking),
        "notes": {} if audience == "public" else _notes(result, ranking, set(told["site_id"])),
        "columns": columns,
        "ranked_count": len(ranked),
        **({"patch": _patch_numbers(result, ranking, rows)} if is_large else {}),
        "measures": _measures(ranking, told),
        "values": packed_values(result, ranking, ranked)
        if is_large
        else values_in_rows(result, ranking, rows),
        "is_product": ranking.method == "weighted_product",
        "can_reweigh": ranking.method in ("weighted_sum", "weighted_product"),
        "shared": shared,
        "to_be_seen": _to_be_seen(result, ranking),
        "is_valued": valued is not None,
        "scouting": _why_scout(result, valued, audience),
        **_combination(ranking),
    }


def criterion_label(name: str, role: Role) -> str:
    """Return a criterion in words, from the settings that declare it.

    Examples
    --------
    >>> criterion_label("crew_distance", "release")
    'Distance to the nearest crew base'
    """
    fields = (ReleaseCriteria if role == "release" else SourceCriteria).model_fields
    meaning = fields[name].description if name in fields else None
    label = meaning or name.replace("_", " ")
    return label[:1].upper() + label[1:]


def _combination(ranking: Ranking) -> dict[str, object]:
    """Return how the score is made, where it is not the sum of the points."""
    if ranking.method == "weighted_sum":
        return {}
    words = method_words(ranking.method, ranking.attitude)
    return {"combination": f"By {words}: {HOW_SCORED[ranking.method]}. The points alone do not add up to it."}


def _criteria(ranking: Ranking) -> list[dict[str, object]]:
    """Return each criterion with its whole weight, for the page to score with, and its group."""
    groups = {} if ranking.weighing is None else ranking.weighing.groups
    group_of = {member: group for group, members in groups.items() for member in members}
    return [
        {
            "name": name,
            "label": criterion_label(name, ranking.role),
            "unit": ranking.measures[name].unit,
            "weight": float(ranking.weights[name]),
            "group": cell(group_of.get(name, "")),
        }
        for name in ranking.criteria
    ]


def _patch_numbers(result: SeasonResult, ranking: Ranking, rows: pd.DataFrame) -> list[int]:
    """Return the place of each row's patch among its host's patches."""
    host = next(profile.host for profile in result.season.agents if profile.name == ranking.agent)
    patches = pd.Index(result.sites[host].patches["site_id"])
    return [int(number) for number in patches.get_indexer(pd.Index(rows["site_id"]))]


def _measures(ranking: Ranking, rows: pd.DataFrame) -> list[list[Cell]]:
    names = [ranking.measures[name].column(name) for name in ranking.criteria]
    return [column(rows[name]) if name in rows else [None] * len(rows) for name in names]


def _notes(result: SeasonResult, ranking: Ranking, of_sites: set[object]) -> dict[str, dict[str, object]]:
    """Return how each measure came about, by criterion and site; only where a note was left."""
    host = next(profile.host for profile in result.season.agents if profile.name == ranking.agent)
    site_ids = column(result.sites[host].patches["site_id"])
    notes: dict[str, dict[str, object]] = {}
    for name, measure in ranking.measures.items():
        told: dict[str, object] = {
            str(site): cell(note)
            for site, note in zip(site_ids, measure.note, strict=True)
            if note and site in of_sites
        }
        if told:
            notes[name] = told
    return notes


def _to_be_seen(result: SeasonResult, ranking: Ranking) -> dict[str, Cell]:
    """Return what is to be seen at each moment of the window, where the profile says so."""
    windows = result.windows.get((ranking.agent, ranking.role))
    words = () if windows is None else windows.words
    return {moment: cell(said) for moment, said in zip(MOMENTS, words, strict=False) if said}


def _unvisited(result: SeasonResult, ranking: Ranking, rows: pd.DataFrame) -> list[bool]:
    """Return in which patches a release lies that nobody has visited since."""
    sites = result.evidence[ranking.agent].sites
    waiting = set(sites.loc[sites["unvisited_release_ids"].astype(str) != "", "site_id"])
    return [site_id in waiting for site_id in rows["site_id"]]


def _valued_visits(result: SeasonResult, ranking: Ranking) -> pd.DataFrame | None:
    """Return the visits that can change something, most worth per hour first; None: not valued."""
    for visits in result.scouting:
        if (visits.agent, visits.role) == (ranking.agent, ranking.role) and len(visits.table):
            return visits.table[visits.table["visit_worth"] > 0].set_index("site_id")
    return None


def _visit_order(valued: pd.DataFrame | None, rows: pd.DataFrame) -> list[int | None]:
    """Return the place of each site among the visits worth something; None for the others."""
    order = {} if valued is None else {site_id: place for place, site_id in enumerate(valued.index, 1)}
    return [order.get(site_id) for site_id in rows["site_id"]]


def _why_scout(result: SeasonResult, valued: pd.DataFrame | None, audience: Audience) -> dict[str, object]:
    """Return why to go, what to look for and until when, of the visits worth something; each text once.

    What to check speaks of permission and treatments, which a public copy does not hold.
    """
    if valued is None:
        return {}
    private = private_texts(result) if audience == "public" else frozenset()
    names = [name for name in SCOUTING_TEXTS if name in valued]
    if audience == "public":
        names = [name for name in names if name != "what_to_check"]
    told: dict[str, object] = {"site_id": [str(site) for site in valued.index]}
    return told | {name: written_once(valued[name], private) for name in names}


def _worth_scouting(
    result: SeasonResult, ranking: Ranking, rows: pd.DataFrame, valued: pd.DataFrame | None
) -> list[bool]:
    """Return which sites left out are worth a visit.

    Where visits were not valued, these are the sources left out only because nobody has confirmed the agent
    there yet.
    """
    if valued is not None:
        return [
            status == "left out" and site_id in valued.index
            for site_id, status in zip(rows["site_id"], rows["status"], strict=True)
        ]
    if ranking.role != "source":
        return [False] * len(rows)
    sites = result.evidence[ranking.agent].sites
    confirmed = set(sites.loc[sites["confirmed"].astype(bool), "site_id"])
    reasons: dict[str, int] = {}
    for exclusion in result.exclusions:
        if (exclusion.agent, exclusion.role) == (ranking.agent, ranking.role):
            reasons[exclusion.site_id] = reasons.get(exclusion.site_id, 0) + 1
    return [
        status == "left out" and site_id not in confirmed and reasons.get(site_id, 0) == 1
        for site_id, status in zip(rows["site_id"], rows["status"], strict=True)
    ]
