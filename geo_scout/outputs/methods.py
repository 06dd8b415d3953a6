"""The ranks of the ranked sites by every method: a table and a picture."""

import math
from pathlib import Path

import pandas as pd

from geo_scout.model.combination import METHODS, Method
from geo_scout.model.criteria import ROLE_NOUNS
from geo_scout.model.method_comparison import MethodComparison, MethodOrder
from geo_scout.model.ranking import Ranking
from geo_scout.model.result import SeasonResult
from geo_scout.outputs.csv_tables import write_csv
from geo_scout.outputs.methods_picture import MethodBlock, MethodColumn, SiteRanks, methods_svg
from geo_scout.outputs.rounding import round_table

MOST_DRAWN = 15
"""Places drawn at most for each ranking (our choice: more lines cannot be told apart)."""
_FIRST = ("agent", "role", "rank", "site_id", "name", "method")
_LAST = ("best_rank", "worst_rank", "rank_span", "enters_top_n_by", "leaves_top_n_by", "level_by")


def write_methods(folder: Path, result: SeasonResult) -> None:
    """Write methods.csv and methods.svg into the outputs folder.

    Parameters
    ----------
    folder
        Outputs folder.
    result
        What the run found.
    """
    write_csv(folder / "methods.csv", build_methods(result))
    svg = methods_svg(result.season.settings.season.title, build_blocks(result))
    (folder / "methods.svg").write_text(svg, encoding="utf-8", newline="\n")


def build_methods(result: SeasonResult) -> pd.DataFrame:
    """Return one row per ranked site of every ranking, with its rank by each method.

    Parameters
    ----------
    result
        What the run found.

    Returns
    -------
    pandas.DataFrame
        ``rank`` is the season's own, by the ``method`` named beside it. An attitude that only one ranking
        uses has a column that is empty for the others.
    """
    parts = [(one, one.comparison) for one in result.rankings if one.comparison is not None]
    tables = [_rows(ranking, comparison) for ranking, comparison in parts]
    every = [order for _, comparison in parts for order in comparison.orders]
    place = {name: at for at, name in enumerate(METHODS)}
    ordered = sorted(every, key=lambda order: (place[order.method], order.attitude or 0.0))
    ranks = list(dict.fromkeys(order.column for order in ordered))
    columns = [*_FIRST, *ranks, *_LAST]
    table = pd.concat(tables, ignore_index=True) if tables else pd.DataFrame(columns=columns)
    return round_table(table.reindex(columns=columns).astype(dict.fromkeys(ranks, "Int64")))


def _rows(ranking: Ranking, comparison: MethodComparison) -> pd.DataFrame:
    ranked = ranking.ranked[["agent", "role", "rank", "site_id", "name"]].reset_index(drop=True)
    others = comparison.others
    every = comparison.ranks
    return ranked.assign(
        method=comparison.orders[0].words,
        enters_top_n_by=_moved_by(ranked["site_id"], {one.words: one.enters for one in others}),
        leaves_top_n_by=_moved_by(ranked["site_id"], {one.words: one.leaves for one in others}),
        level_by=_moved_by(
            ranked["site_id"],
            {
                one.words: tuple(every["site_id"][every[one.level_column] > 0].astype(str))
                for one in comparison.orders
            },
        ),
    ).merge(every, on="site_id", validate="one_to_one")


def _moved_by(site_ids: pd.Series, moved: dict[str, tuple[str, ...]]) -> list[str]:
    by_site: dict[str, list[str]] = {}
    for words, sites in moved.items():
        for site_id in sites:
            by_site.setdefault(site_id, []).append(words)
    return ["; ".join(by_site.get(str(site_id), [])) for site_id in site_ids]


def build_blocks(result: SeasonResult, most: int = MOST_DRAWN) -> list[MethodBlock]:
    """Return what the picture shows of each ranking: the sites that any method puts among the first.

    Parameters
    ----------
    result
        What the run found.
    most
        Places drawn at most.
    """
    return [
        _block(ranking, ranking.comparison, min(most, ranking.comparison.top_n))
        for ranking in result.rankings
        if ranking.comparison is not None and len(ranking.comparison.ranks)
    ]


def _block(ranking: Ranking, comparison: MethodComparison, places: int) -> MethodBlock:
    names = [order.column for order in comparison.orders]
    shown = comparison.ranks[comparison.ranks["best_rank"] <= places]
    sites = [
        SiteRanks(str(site_id), tuple(int(rank) for rank in ranks))
        for site_id, ranks in zip(shown["site_id"], shown[names].to_numpy(), strict=True)
    ]
    heading = f"{ROLE_NOUNS[ranking.role].capitalize()} for {ranking.agent}"
    return MethodBlock(heading, tuple(map(_column, comparison.orders)), tuple(sites), places)


def _column(order: MethodOrder) -> MethodColumn:
    first, second = _HEADS[order.method]
    if order.attitude is not None:
        second = f"{second} {order.attitude:g}"
    if order.is_own:
        return MethodColumn(first, second, "the season's")
    return MethodColumn(first, second, "all tied" if math.isnan(order.tau_b) else f"tau {order.tau_b:.2f}")


_HEADS: dict[Method, tuple[str, str]] = {
    "weighted_sum": ("weighted", "sum"),
    "weighted_product": ("weighted", "product"),
    "ideal_distance": ("distance", "to ideal"),
    "ordered_average": ("ordered", "avg"),
}
