"""What became of the releases, by agent and district: a table for spreadsheets, and a picture."""

from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path

import pandas as pd

from geo_scout.model.outcome_rates import OutcomeRates
from geo_scout.model.presence import STATES
from geo_scout.model.result import SeasonResult
from geo_scout.outputs.csv_tables import write_csv
from geo_scout.outputs.district_outcomes_picture import DistrictBlock, districts_svg
from geo_scout.outputs.rounding import round_table

ALL_DISTRICTS, NOT_MAPPED = "all districts", "not mapped"
RATE_COLUMNS = (
    "revisited",
    "found",
    "found_share",
    "found_low_share",
    "found_high_share",
    "adjusted_share",
    "adjusted_low_share",
    "adjusted_high_share",
    "least_share",
    "most_share",
)
STATE_COLUMNS = tuple(state.replace(" ", "_") for state in STATES)
COLUMNS = ("agent", "district", "year", "release_count", *STATE_COLUMNS, *RATE_COLUMNS)


def write_districts(folder: Path, result: SeasonResult) -> None:
    """Write districts.csv and districts.svg into the outputs folder.

    Parameters
    ----------
    folder
        Outputs folder.
    result
        What the run found. Both name districts alone, so that they are the same for every audience.
    """
    write_csv(folder / "districts.csv", build_districts(result))
    blocks = [
        DistrictBlock(f"{agent}, {rates.district or ALL_DISTRICTS}", _by_year(releases), rates)
        for agent, rates, releases in _parts(result)
    ]
    svg = districts_svg(result.season.settings.season.title, blocks)
    (folder / "districts.svg").write_text(svg, encoding="utf-8", newline="\n")


def build_districts(result: SeasonResult) -> pd.DataFrame:
    """Return releases by state and the three rates: per agent and district all years, then year by year.

    Parameters
    ----------
    result
        What the run found.

    Returns
    -------
    pandas.DataFrame
        Columns ``COLUMNS``, rounded. ``year`` is that of the release, missing for all of them; only there the
        rates stand. Releases after the season's own day are not counted.
    """
    rows: list[dict[str, object]] = []
    for agent, rates, releases in _parts(result):
        named = {"agent": agent, "district": rates.district or ALL_DISTRICTS}
        told = {name: value for name, value in asdict(rates).items() if name in RATE_COLUMNS}
        rows.append({**named, "year": None, **_counts(releases), **told})
        rows += [
            {**named, "year": year, **_counts(group)} for year, group in releases.groupby("year", sort=True)
        ]
    table = pd.DataFrame(rows, columns=list(COLUMNS))
    whole = ("year", "release_count", *STATE_COLUMNS, "revisited", "found")
    return round_table(table.assign(**{name: table[name].astype("Int64") for name in whole}))


def _parts(result: SeasonResult) -> Iterator[tuple[str, OutcomeRates, pd.DataFrame]]:
    """Yield each agent's rates with the releases they are of."""
    for agent in result.season.agents:
        evidence = result.evidence[agent.name]
        releases = pd.DataFrame(evidence.releases[["release_id", "date", "district", "state"]])
        releases = releases[releases["date"] <= pd.Timestamp(result.season.as_of)]
        releases = releases.assign(year=releases["date"].dt.year)
        shown = releases["district"].where(releases["district"] != "", NOT_MAPPED)
        for rates in evidence.rates:
            if rates.releases:
                yield agent.name, rates, releases[(shown == rates.district) | (rates.district == "")]


def _counts(releases: pd.DataFrame) -> dict[str, int]:
    counts = releases["state"].value_counts()
    by_state = {name: int(counts.get(state, 0)) for name, state in zip(STATE_COLUMNS, STATES, strict=True)}
    return {"release_count": len(releases), **by_state}


def _by_year(releases: pd.DataFrame) -> dict[int, dict[str, int]]:
    return {
        int(str(year)): {str(state): int(number) for state, number in group["state"].value_counts().items()}
        for year, group in releases.groupby("year", sort=True)
    }
