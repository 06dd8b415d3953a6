"""The chain from layer values to rank for one site, in plain lines."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import pandas as pd

from geo_scout.model.evidence import Evidence
from geo_scout.model.ranking import Ranking
from geo_scout.model.rows import each_row
from geo_scout.model.sites import Sites
from geo_scout.ranking.curve_words import curve_words
from geo_scout.ranking.explain_method import comparison_line, score_lines
from geo_scout.ranking.weight_words import weighing_lines

ROLE_WORDS = {"release": "release site", "source": "collection source"}


def explain_patch(sites: Sites, index: int) -> str:
    """Return what one patch is made of.

    Parameters
    ----------
    sites
        The patches of its host.
    index
        Row of the patch.
    """
    patch = sites.patches.iloc[index]
    name = f" {patch['name']}" if patch["name"] else ""
    where = f"{patch['latitude_deg']:.6f}, {patch['longitude_deg']:.6f}"
    members = sites.members[sites.members["site_id"] == patch["site_id"]]
    return "\n".join([f"{patch['site_id']}{name}, {sites.host} ({where})", *_members(members)])


def explain_records(evidence: Evidence, rankings: Sequence[Ranking], index: int) -> str:
    """Return what the records say of one agent at one patch, and which population's climate is nearest.

    Parameters
    ----------
    evidence
        The agent's records.
    rankings
        The agent's rankings; the one with a climate gap names the population.
    index
        Row of the patch.
    """
    row = next(each_row(evidence.sites.iloc[[index]]))
    inside = evidence.releases[evidence.releases["site_id"] == row.site_id]
    releases = "; ".join(_release(release) for release in each_row(inside)) or "none on record"
    lines = [
        f"What the records say of {evidence.agent}:",
        f"  nearest confirmed population: {_population(evidence, row)}",
        f"  releases in the patch: {releases}",
        f"  latest visit: {row.latest_result or _no_visit(row)}",
    ]
    if row.request_ids:
        lines.append(f"  requests: {row.request_ids}; purpose {row.purpose}")
    return "\n".join([*lines, *_climate_match(rankings, index)])


def explain_ranking(ranking: Ranking, site_id: str, phrases: Mapping[str, str]) -> str:
    """Return why one site stands where it stands in one ranking.

    Parameters
    ----------
    ranking
        The ranking.
    site_id
        The site.
    phrases
        Per criterion, its measure at this site in words.
    """
    row = ranking.table[ranking.table["site_id"] == site_id].iloc[0]
    heading = f"{site_id} as a {ROLE_WORDS[ranking.role]} for {ranking.agent}"
    how = [] if ranking.weighing is None else weighing_lines(ranking.weighing)
    lines = [heading, *how, *_points(ranking, row, phrases), *score_lines(ranking, row)]
    return "\n".join([*lines, *_outcome(ranking, row)])


def _no_visit(row: Any) -> str:
    if pd.isna(row.last_visit):
        return "none on record"
    return f"none since what lived there was destroyed; the last before was on {row.last_visit:%Y-%m-%d}"


def _population(evidence: Evidence, row: Any) -> str:
    if not row.population_id:
        return "none is confirmed"
    populations = evidence.populations
    is_own = populations["site_id"] == row.site_id
    is_meant = is_own if row.confirmed else populations["population_id"] == row.population_id
    found = next(each_row(populations[is_meant]))
    where = "in this patch" if row.confirmed else f"{found.name}, {row.population_distance_km:.3f} km away"
    since = "" if found.latest_result == "found" else f", {found.latest_result}"
    return f"{where}, last found on {found.last_found:%Y-%m-%d}{since} (visit {found.found_by})"


def _release(release: Any) -> str:
    return f"{release.release_id} on {release.date:%Y-%m-%d}, {release.outcome}"


def _climate_match(rankings: Sequence[Ranking], index: int) -> Iterator[str]:
    gap = next((one.measures["climate_gap"] for one in rankings if "climate_gap" in one.measures), None)
    if gap is None:
        return
    if not gap.known[index]:
        yield f"  best-matching climate: unknown, {gap.note[index]}"
        return
    detail = {name: column[index] for name, column in gap.details.items()}
    yield (
        f"  best-matching climate: {detail['climate_gap_population']}, of "
        f"{detail['climate_gap_populations']} with a climate; Mahalanobis distance "
        f"{detail['climate_gap_distance']:.4f} over {detail['climate_gap_variables']} variables, "
        f"covariance from {detail['climate_gap_cells']} {_sample(str(detail['climate_gap_kind']))}"
    )
    yield f"  {_HOW_MEASURED[str(detail['climate_gap_kind'])]}"
    yield from _novelty(detail)


_SHARES = "D^2 = d S^-1 d, the share of a variable is d_j (S^-1 d)_j / D^2"
_HOW_MEASURED = {
    "regional": f"with d the site less the population and S the covariance below: {_SHARES}, and the climate "
    "gap is D / sqrt 2",
    "interannual": f"with d the site less the population and S its covariance below: {_SHARES}, and the "
    "climate gap is the half-normal deviate that is as rare as a D of so many components",
}


def _sample(kind: str) -> str:
    return "detrended years" if kind == "interannual" else "climate cells"


_TOLD = "compared to 0.01 degC and 0.1 mm"


def _novelty(detail: Mapping[str, Any]) -> Iterator[str]:
    note = str(detail.get("novelty_note", ""))
    if note:
        score = detail["novelty"]
        said = (
            ""
            if pd.isna(score)
            else f"similarity {score:.1f} (MESS) by {detail['novelty_variable']}, {_TOLD}, "
        )
        yield f"  among known climates: {said}{note}"


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
        lines += [f"      {fact}" for fact in ranking.measures[name].facts]
        weight, measured = ranking.weights[name], row[ranking.measures[name].column(name)]
        if pd.isna(value):
            lines.append(
                f"    not measured, so the lowest possible counts: {points:.6f} of {weight:.4f} points"
            )
        else:
            lines.append(
                f"    {curve_words(criterion.curve)}, at {measured:.7g}: "
                f"{value:.6f} x {weight:.6f} = {points:.6f}"
            )
    return lines


def _outcome(ranking: Ranking, row: pd.Series) -> list[str]:
    lines = [f"Score {row['score']:.6f}" + _interval(row)]
    if row["status"] == "ranked":
        among = f"{len(ranking.ranked)} ranked, {len(ranking.left_out)} left out"
        lines.append(f"Rank {row['rank']} of {among}{_neighbours(ranking, int(row['rank']))}")
        lines += comparison_line(ranking, row["site_id"])
    else:
        lines += [f"Not ranked. {row['reasons']}", f"What would change it: {row['what_would_change_it']}"]
    if row["cautions"]:
        lines.append(f"Cautions: {row['cautions']}")
    return lines


def _neighbours(ranking: Ranking, rank: int) -> str:
    """Return who stands before and after, so that a reader sees why the rank is what it is."""
    ranked = ranking.ranked
    named = [
        f"{word} it {ranked.iloc[place]['site_id']} with {ranked.iloc[place]['score']:.6f}"
        for word, place in (("before", rank - 2), ("after", rank))
        if 0 <= place < len(ranked)
    ]
    return f"; {', '.join(named)}" if named else ""


def _interval(row: pd.Series) -> str:
    if row["score_low"] == row["score_high"]:
        return ""
    return f" (between {row['score_low']:.6f} and {row['score_high']:.6f}; ranked by the lower end)"
