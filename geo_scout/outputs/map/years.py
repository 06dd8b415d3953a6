"""What the map holds of earlier years: releases and populations as they stood at the end of each."""

from collections.abc import Sequence

import pandas as pd

from geo_scout.model.records_by_year import RecordsByYear
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.map.cells import Columns, column, columns_of, each_text_once

POPULATION_COLUMNS = ("first_found", "last_found", "latest_result", "release_ids")


def years(result: SeasonResult, agent: str, audience: Audience) -> dict[str, object]:
    """Return what changed from year-end to year-end, by the rows that releases and populations have today.

    Parameters
    ----------
    result
        The season's result.
    agent
        Name of the agent.
    audience
        A state that falls between two visits, or a population that is found anew where one had been, tells of
        a treatment. So public copies hold what visits said, and of populations those of today alone.

    Returns
    -------
    dict
        ``first`` and ``last`` year, and of ``releases`` and ``populations`` the columns of each change with
        ``row`` and ``year``, the oldest first. Empty where no year is past.
    """
    told = result.records_by_year.get(agent)
    if told is None or not told.years:
        return {}
    evidence = result.evidence[agent]
    return {
        "first": told.years[0],
        "last": told.years[-1],
        "releases": _releases(told, evidence.releases["release_id"], audience),
        "populations": _populations(told, evidence.populations, audience),
    }


def _releases(told: RecordsByYear, ids: pd.Series, audience: Audience) -> dict[str, object]:
    says = ("outcome",) if audience == "public" else ("outcome", "state")
    news = _news(told.releases, "release_id", says)
    texts = {name: each_text_once(news[name]) for name in says}
    return {
        **_rows_and_years(news, "release_id", ids),
        **{name: {"texts": once, "row": row} for name, (once, row) in texts.items()},
    }


def _populations(told: RecordsByYear, today: pd.DataFrame, audience: Audience) -> Columns:
    news = told.populations
    if audience == "public":
        first_found = today.set_index("population_id")["first_found"].reindex(news["population_id"])
        news = news[news["first_found"].to_numpy() == first_found.to_numpy()]
    return {
        **_rows_and_years(news, "population_id", today["population_id"]),
        **columns_of(news, POPULATION_COLUMNS),
    }


def _news(table: pd.DataFrame, name: str, says: Sequence[str]) -> pd.DataFrame:
    """Return the rows that say something new once the other columns are gone."""
    same_as_before = (table[list(says)] == table.groupby(name, sort=False)[list(says)].shift()).all(axis=1)
    return table[~same_as_before]


def _rows_and_years(news: pd.DataFrame, name: str, ids: pd.Series) -> Columns:
    number = {text: row for row, text in enumerate(ids)}
    return {"row": [number[text] for text in news[name]], "year": column(news["year"])}
