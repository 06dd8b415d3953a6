"""What was drawn and what was taken as exact, in sentences a reader can hold the numbers against."""

from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from geo_scout.model.criteria import Criterion
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.doubts import COVER_SHARED_SHARE, SiteDoubts
from geo_scout.model.season import RankingTable
from geo_scout.ranking.drawn_weights import weights_in_words

_AREA, _CLIMATE = frozenset({"host_area", "host_cover"}), "climate_gap"
_DRAWN = _AREA | {"host_around", "wasted_chance", _CLIMATE}


def what_was_drawn(
    doubts: SiteDoubts,
    criteria: Mapping[str, Criterion],
    measures: Mapping[str, CriterionValue],
    weights: Mapping[str, float],
    ranking: RankingTable,
    rows: NDArray[np.intp],
) -> tuple[str, ...]:
    """Return one sentence for each thing that differs from draw to draw.

    Parameters
    ----------
    doubts, criteria, measures, weights, ranking
        As the draws had them.
    rows
        (r,) rows of the sites that a draw may use.
    """
    missing = [name for name in criteria if not measures[name].known[rows].all()]
    return (
        weights_in_words(weights, ranking),
        *_areas(doubts, criteria, ranking, rows),
        *_around(criteria, measures, rows),
        *_presence(doubts, criteria, rows),
        *_climate(doubts, criteria, rows),
        *_positions(doubts, criteria, rows),
        *_missing(missing),
        *doubts.held,
    )


def _areas(
    doubts: SiteDoubts, criteria: Mapping[str, Criterion], ranking: RankingTable, rows: NDArray[np.intp]
) -> Iterator[str]:
    area = doubts.area
    if not (_AREA & set(criteria)) and not area.least_ha:
        return
    wide = int(((area.low_ha[rows] < area.high_ha[rows]) & ~np.isnan(area.best_ha[rows])).sum())
    if wide:
        sites = "1 site" if wide == 1 else f"{wide} sites"
        yield (
            f"Infested area and cover of {sites}: between the ends of their cover classes, the middle "
            f"likeliest; {COVER_SHARED_SHARE:.0%} of the variance is the same at all sites of one scheme."
        )
    if area.change_log[rows].any():
        undated = " A survey without a date counts as the oldest." if area.undated else ""
        yield (
            "Infested area and cover since the oldest survey of a site: grown or shrunk, each by itself, "
            f"by up to {ranking.survey_change_share:.0%} a year (survey_change_share), no change "
            f"likeliest.{undated}"
        )
    if area.least_ha:
        yield f"Each draw decides who reaches min_infested_ha ({area.least_ha:g} ha)."


def _around(
    criteria: Mapping[str, Criterion], measures: Mapping[str, CriterionValue], rows: NDArray[np.intp]
) -> Iterator[str]:
    around = measures["host_around"] if "host_around" in criteria else None
    if around is not None and (around.low[rows] < around.high[rows]).any():
        yield (
            "Host around: between the ends of the cover classes of all other patches, low or high at all "
            "sites together; the age of their surveys is left aside."
        )


def _presence(doubts: SiteDoubts, criteria: Mapping[str, Criterion], rows: NDArray[np.intp]) -> Iterator[str]:
    presence = doubts.presence
    if "wasted_chance" not in criteria and presence.most_share is None:
        return
    if (presence.low_share[rows] < presence.high_share[rows]).any():
        yield (
            "Chance that the agent is there already: between its ends, low or high at all sites together, "
            "because prior, persistence, detection and spread are the same everywhere."
        )
    if presence.most_share is not None:
        yield f"Each draw decides who keeps to max_wasted_share ({presence.most_share:g})."


def _climate(doubts: SiteDoubts, criteria: Mapping[str, Criterion], rows: NDArray[np.intp]) -> Iterator[str]:
    climate = doubts.climate
    if not climate.rise_km[rows].any():
        return
    error = climate.error_degc_per_km[-1]
    lapsed = any(bound.is_lapsed for bound in climate.bounds)
    if (_CLIMATE in criteria and climate.gap.shape[1]) or lapsed:
        limits = "; each draw decides who keeps to the profile's limits of temperature" if lapsed else ""
        yield (
            f"Lapse rates: up to {error:g} degC per km wrong either way, everywhere alike, no error "
            f"likeliest{limits}."
        )


def _positions(
    doubts: SiteDoubts, criteria: Mapping[str, Criterion], rows: NDArray[np.intp]
) -> Iterator[str]:
    if "population_distance" in criteria and _has_loose_populations(doubts, rows):
        yield (
            "Distance to a population outside every patch: longer or shorter by as much as its position is "
            "unsure, each site by itself, the distance as written likeliest."
        )


def _has_loose_populations(doubts: SiteDoubts, rows: NDArray[np.intp]) -> bool:
    return doubts.population_m is not None and bool(doubts.population_m[rows].any())


def _missing(names: list[str]) -> Iterator[str]:
    if names:
        said = ", ".join(name.replace("_", " ") for name in names)
        yield f"Where {said} was not measured: anything that is possible, all alike likely."


def taken_as_exact(
    doubts: SiteDoubts, criteria: Mapping[str, Criterion], rows: NDArray[np.intp]
) -> tuple[str, ...]:
    """Return what the draws leave as it is at some sites, (r,) rows, although it is not known exactly."""
    drawn = _DRAWN | ({"population_distance"} if _has_loose_populations(doubts, rows) else set())
    exact = [name.replace("_", " ") for name in criteria if name not in drawn]
    climate = doubts.climate
    if _CLIMATE in criteria and not climate.gap.shape[1]:
        exact.append("climate gap (no temperature was brought to another elevation)")
    said = []
    if exact:
        said.append(f"Taken as exact where measured: {', '.join(exact)}.")
    if climate.bounds and not all(bound.is_lapsed for bound in climate.bounds):
        said.append("Limits of precipitation, of yearly extremes and of heat sums are held as measured.")
    return tuple(said)
