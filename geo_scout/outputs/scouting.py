"""Where a visit is worth most: the table, and its lines on the console."""

import pandas as pd

from geo_scout.model.result import Audience, SeasonResult
from geo_scout.model.rows import each_row
from geo_scout.model.scouting import (
    DISTURBANCE,
    LEAST_WORTH,
    NEXT_TO_NOTHING,
    PERMISSION_CHECK,
    SCOUTING_COLUMNS,
    ScoutingList,
)
from geo_scout.outputs.rounding import round_table
from geo_scout.outputs.tables import PRIVATE_CODES, PRIVATE_COLUMNS, with_before_you_go

WHERE = {"source": "possible sources", "release": "release sites"}


def build_scouting(result: SeasonResult, audience: Audience) -> pd.DataFrame:
    """Return the possible visits of every agent, sources first, the most worth per hour first in each list.

    Parameters
    ----------
    result
        What the run found.
    audience
        ``public`` copies withhold managers, permissions and crew bases.

    Returns
    -------
    pandas.DataFrame
        ``SCOUTING_COLUMNS``, then ``stop_and_ask`` and ``before_you_go``.
    """
    parts = [one.table for one in result.scouting]
    table = pd.concat(parts, ignore_index=True) if parts else pd.DataFrame(columns=list(SCOUTING_COLUMNS))
    table = round_table(table.assign(stop_and_ask=_questions(result, table)))
    if audience == "public":
        table = table.assign(**{name: "" for name in PRIVATE_COLUMNS if name in table})
        table["what_to_check"] = [_for_everybody(text) for text in table["what_to_check"]]
        table["why"] = [_without_codes(text) for text in table["why"]]
    return with_before_you_go(table)


def _questions(result: SeasonResult, table: pd.DataFrame) -> list[str]:
    """Return the open question about the law at each site, as its ranking puts it."""
    asked = {
        (ranking.agent, ranking.role, row.site_id): row.stop_and_ask
        for ranking in result.rankings
        for row in each_row(ranking.table[["site_id", "stop_and_ask"]])
    }
    return [asked[key] for key in zip(table["agent"], table["role"], table["site_id"], strict=True)]


def _for_everybody(text: str) -> str:
    """Return what to check without permissions and treatments."""
    parts = text.split("; ")
    return "; ".join(one for one in parts if one != PERMISSION_CHECK and not one.startswith(DISTURBANCE))


def _without_codes(text: str) -> str:
    for code in PRIVATE_CODES:
        text = text.replace(code, "withheld")
    return text


def scouting_lines(one: ScoutingList, top_n: int) -> list[str]:
    """Return the best visits of one list in words, how many can change nothing, and what all rests on.

    Parameters
    ----------
    one
        The list.
    top_n
        Number of visits told.
    """
    table = one.table
    worth_it = table[table["visit_order"].notna() & (table["visit_worth"] >= LEAST_WORTH)]
    lines = [
        f"Worth scouting for {one.agent}, {WHERE[one.role]}: {len(worth_it)} of {len(table)} possible visits"
    ]
    for row in each_row(worth_it.head(top_n)):
        place = f" ({row.name})" if row.name else ""
        lines += [
            f"  {row.visit_order:>4}  {row.site_id}{place}: {row.sign}, {row.sign_first_day:%Y-%m-%d} to "
            f"{row.sign_last_day:%Y-%m-%d}; worth {row.visit_worth:.2f} {row.worth_unit} in "
            f"{row.visit_hours:.1f} h",
            f"        {row.why}",
        ]
    if len(worth_it) > top_n:
        lines.append(f"        ... and {len(worth_it) - top_n} more in scouting.csv")
    is_zero = table["visit_worth"] == 0
    prints_as_zero = is_zero & table["why"].str.startswith(NEXT_TO_NOTHING)
    is_small = table["visit_order"].notna() & (table["visit_worth"] < LEAST_WORTH)
    little = int((is_small | prints_as_zero).sum())
    if little:
        lines.append(f"  {little} more visit{' is' if little == 1 else 's are'} worth next to nothing")
    nothing = int((is_zero & ~prints_as_zero).sum())
    if nothing:
        lines.append(f"  {nothing} visit{'' if nothing == 1 else 's'} can change nothing this season")
    unvalued = table[table["visit_worth"].isna()]
    lines += [f"  {count} {why}" for why, count in unvalued["why"].value_counts().items()]
    return lines + [f"  - {sentence}" for sentence in one.basis]
