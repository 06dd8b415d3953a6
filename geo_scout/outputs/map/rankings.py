"""Each ranking's rounded table as columns for the page."""

import pandas as pd

from geo_scout.model.criteria import ReleaseCriteria, Role, SourceCriteria
from geo_scout.model.ranking import Ranking
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.model.window import MOMENTS
from geo_scout.outputs.map.audience import (
    SHARED_COLUMNS,
    private_texts,
    site_columns,
    withhold,
    withhold_texts,
)
from geo_scout.outputs.map.cells import Cell, cell, column, columns_of


def ranking_data(
    result: SeasonResult, ranking: Ranking, table: pd.DataFrame, audience: Audience
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
    """
    rows = table[table["agent"] == ranking.agent]
    open_columns = columns_of(rows, site_columns(audience))
    if audience == "public":
        open_columns = withhold(rows, open_columns, private_texts(result))
    columns: dict[str, object] = dict(open_columns)
    columns["worth_scouting"] = _worth_scouting(result, ranking, rows)
    columns["unvisited_release"] = _unvisited(result, ranking, rows)
    columns["measures"] = _criterion_columns(ranking, rows, "measure")
    columns["points"] = _criterion_columns(ranking, rows, "points")
    return {
        "agent": cell(ranking.agent),
        "role": ranking.role,
        "criteria": [_criterion(ranking, name) for name in ranking.criteria],
        "notes": {} if audience == "public" else _notes(result, ranking),
        "columns": columns,
        "shared": _shared(result, rows, audience),
        "to_be_seen": _to_be_seen(result, ranking),
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


def _criterion(ranking: Ranking, name: str) -> dict[str, object]:
    return {
        "name": name,
        "label": criterion_label(name, ranking.role),
        "unit": ranking.measures[name].unit,
        "weight": round(float(ranking.weights[name]), 6),
    }


def _criterion_columns(ranking: Ranking, rows: pd.DataFrame, kind: str) -> list[list[object]]:
    names = [
        ranking.measures[name].column(name) if kind == "measure" else f"{name}_points"
        for name in ranking.criteria
    ]
    return [[*column(rows[name])] if name in rows else [None] * len(rows) for name in names]


def _notes(result: SeasonResult, ranking: Ranking) -> dict[str, dict[str, object]]:
    """Return how each measure came about, by criterion and site; only where a note was left."""
    host = next(profile.host for profile in result.season.agents if profile.name == ranking.agent)
    site_ids = column(result.sites[host].patches["site_id"])
    notes: dict[str, dict[str, object]] = {}
    for name, measure in ranking.measures.items():
        told: dict[str, object] = {
            str(site): cell(note) for site, note in zip(site_ids, measure.note, strict=True) if note
        }
        if told:
            notes[name] = told
    return notes


def _shared(result: SeasonResult, rows: pd.DataFrame, audience: Audience) -> dict[str, dict[str, object]]:
    """Return columns of texts that many sites share: each text once, and its number for every site."""
    private = private_texts(result) if audience == "public" else frozenset()
    shared: dict[str, dict[str, object]] = {}
    for name in SHARED_COLUMNS:
        if name in rows:
            codes, texts = pd.factorize(rows[name].fillna(""))
            told: list[Cell] = withhold_texts(column(texts), private)
            shared[name] = {"texts": told, "row": [int(code) for code in codes]}
    return shared


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


def _worth_scouting(result: SeasonResult, ranking: Ranking, rows: pd.DataFrame) -> list[bool]:
    """Return which sources are left out only because nobody has confirmed the agent there yet."""
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
