"""The chain from layer values to rank for one site, in plain lines."""

from collections.abc import Mapping

import pandas as pd

from geo_scout.model.criteria import Criterion
from geo_scout.model.ranking import Ranking
from geo_scout.model.rows import each_row

ROLE_WORDS = {"release": "release site", "source": "collection source"}


def explain_site(ranking: Ranking, site_id: str, phrases: Mapping[str, str], members: pd.DataFrame) -> str:
    """Return why one site stands where it stands in one ranking.

    Parameters
    ----------
    ranking
        The ranking.
    site_id
        The site.
    phrases
        Per criterion, its measure at this site in words.
    members
        The site's pieces of infestation.
    """
    row = ranking.table[ranking.table["site_id"] == site_id].iloc[0]
    lines = [
        _heading(ranking, row),
        *_members(members),
        *_points(ranking, row, phrases),
        *_outcome(ranking, row),
    ]
    return "\n".join(lines)


def _heading(ranking: Ranking, row: pd.Series) -> str:
    name = f" {row['name']}" if row["name"] else ""
    where = f"{row['latitude_deg']:.6f}, {row['longitude_deg']:.6f}"
    return f"{row['site_id']}{name} as a {ROLE_WORDS[ranking.role]} for {ranking.agent} ({where})"


def _members(members: pd.DataFrame) -> list[str]:
    lines = ["From the infestation layer:"]
    for member in each_row(members):
        day = "undated" if pd.isna(member.survey_date) else f"{member.survey_date:%Y-%m-%d}"
        if pd.isna(member.cover_share):
            lines.append(f"  {member.member_id}: {member.gross_ha:.4f} ha gross, cover unknown, {day}")
            continue
        infested = member.gross_ha * member.cover_share
        lines.append(
            f"  {member.member_id}: {member.gross_ha:.4f} ha gross x {100 * member.cover_share:.1f} % cover "
            f"({member.cover_scheme}) = {infested:.4f} ha, {day}"
        )
    return lines


def _points(ranking: Ranking, row: pd.Series, phrases: Mapping[str, str]) -> list[str]:
    lines = ["Criteria (value on its curve x weight = points):"]
    for name, criterion in ranking.criteria.items():
        value, points = row[f"{name}_value"], row[f"{name}_points"]
        lines.append(f"  {name}: {phrases[name]}")
        lines.append(f"    {_curve(criterion)}: {value:.4f} x {ranking.weights[name]:.4f} = {points:.6f}")
    return lines


def _curve(criterion: Criterion) -> str:
    curve = criterion.curve
    if curve.shape == "plateau":
        return (
            f"plateau from {curve.start:g}, full {curve.full_from:g} to {curve.full_to:g}, to {curve.end:g}"
        )
    return f"{curve.shape} from {curve.start:g} to {curve.end:g}"


def _outcome(ranking: Ranking, row: pd.Series) -> list[str]:
    lines = [f"Score {row['score']:.6f}" + _interval(row)]
    if row["status"] == "ranked":
        lines.append(f"Rank {row['rank']} of {len(ranking.ranked)} ranked, {len(ranking.left_out)} left out")
    else:
        lines += [f"Not ranked. {row['reasons']}", f"What would change it: {row['what_would_change_it']}"]
    if row["cautions"]:
        lines.append(f"Cautions: {row['cautions']}")
    return lines


def _interval(row: pd.Series) -> str:
    if row["score_low"] == row["score_high"]:
        return ""
    return f" (between {row['score_low']:.6f} and {row['score_high']:.6f}; ranked by the lower end)"
