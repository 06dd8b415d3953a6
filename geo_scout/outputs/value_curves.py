"""Every value curve in use, with the sites as marks on it: what a measure is worth, and to whom."""

from pathlib import Path

import numpy as np

from geo_scout.formulas.value_curves import curve_range
from geo_scout.model.criteria import ROLE_NOUNS
from geo_scout.model.ranking import Ranking
from geo_scout.model.result import SeasonResult
from geo_scout.outputs.map.rankings import criterion_label
from geo_scout.outputs.value_curves_picture import CurveBlock, CurvePanel, value_curves_svg

_UNITS = {"pct": "%"}


def write_value_curves(path: Path, result: SeasonResult) -> None:
    """Write value_curves.svg; it names no site, owner or place.

    Parameters
    ----------
    path
        The file.
    result
        What the run found.
    """
    svg = value_curves_svg(result.season.settings.season.title, build_curves(result))
    path.write_text(svg, encoding="utf-8", newline="\n")


def build_curves(result: SeasonResult) -> list[CurveBlock]:
    """Return the curves of each ranking in the order of its weights, with the measures of its sites.

    Parameters
    ----------
    result
        What the run found.
    """
    return [_block(ranking) for ranking in result.rankings]


def _block(ranking: Ranking) -> CurveBlock:
    counts = f"{len(ranking.ranked)} ranked, {len(ranking.left_out)} left out"
    heading = f"{ROLE_NOUNS[ranking.role].capitalize()} for {ranking.agent}"
    names = sorted(ranking.criteria, key=lambda name: -ranking.weights[name])
    return CurveBlock(heading, counts, tuple(_panel(ranking, name) for name in names))


def _panel(ranking: Ranking, name: str) -> CurvePanel:
    measure, curve = ranking.measures[name], ranking.criteria[name].curve
    known = ranking.table[f"{name}_value"].notna()
    is_ranked = ranking.table["status"] == "ranked"
    column = ranking.table[measure.column(name)].astype(float)
    return CurvePanel(
        label=criterion_label(name, ranking.role),
        unit=_UNITS.get(measure.unit, measure.unit),
        weight=ranking.weights[name],
        curve=curve,
        ranked=tuple(column[known & is_ranked].tolist()),
        left_out=tuple(column[known & ~is_ranked].tolist()),
        missing=_missing(ranking, name, int((~known).sum()), int((~known & is_ranked).sum())),
    )


def _missing(ranking: Ranking, name: str, count: int, ranked: int) -> str:
    """Return how many sites have no measure and what their values may be; "" where all have one."""
    if not count:
        return ""
    measure, curve = ranking.measures[name], ranking.criteria[name].curve
    low, high = curve_range(
        curve.shape, curve.places, measure.low[~measure.known], measure.high[~measure.known], curve.levels
    )
    least = float(np.min(np.nan_to_num(low, nan=0.0)))
    most = float(np.max(np.nan_to_num(high, nan=1.0)))
    possible = f"value {least:.2g} to {most:.2g}, the lower end counts"
    return f"{count} not measured ({ranked} of them ranked): {possible}"
