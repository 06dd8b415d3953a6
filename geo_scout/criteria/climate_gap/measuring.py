"""The gap measured in both forms, with its drivers and how novel the climate is."""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from geo_scout.criteria.climate_gap.matching import (
    Match,
    match_interannual,
    match_regional,
    spreads_of_populations,
)
from geo_scout.criteria.climate_gap.rounded import rounded_climate
from geo_scout.criteria.climate_gap.words import (
    absent_in_words,
    describe_novelty,
    difference_in_words,
    matrix_words,
    refusal_in_words,
    truncated_in_words,
)
from geo_scout.formulas.climate_difference import find_drivers, physical_difference, unseen_share
from geo_scout.formulas.climate_spread import regional_spread
from geo_scout.formulas.novelty import measure_novelty
from geo_scout.model.climate_spread import ClimateSpread, SpreadKind, SpreadRefusal
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.quantities import CLIMATE_VARIABLES, Columns

NEEDS = (
    "site_climate",
    "population_climate",
    "population_years",
    "population_names",
    "population_site_ids",
    "climate_cells",
    "climate_variables",
    "climate_gap_kind",
)
UNIT = ""
FloatArray = NDArray[np.float64]


def measure(columns: Columns) -> CriterionValue:
    """Return the gap to the best-matching population, with D, K, n and the number of populations.

    ``regional`` is D / sqrt(2) with the covariance of the climate cells that hold the host; ``interannual``
    is the sigma dissimilarity with the covariance of the detrended years at each population. Missing, with
    the reason, where there is no climate, no population, or no covariance.

    Notes
    -----
    For ranking only. A regional distance is one between two places of the region; a sigma is one between a
    place and the years of another. Neither is a probability that the agent establishes.

    References
    ----------
    Mahony, C.R. et al. 2017. Global Change Biology, doi 10.1111/gcb.13645. Elith, J. et al. 2010. Methods in
    Ecology and Evolution 1:330-342 (novelty).
    """
    site = np.asarray(columns["site_climate"], dtype=np.float64)
    population = np.asarray(columns["population_climate"], dtype=np.float64)
    variables = [str(name) for name in columns["climate_variables"]]
    kind: SpreadKind = "interannual" if "interannual" in columns["climate_gap_kind"] else "regional"
    usable = np.asarray(~np.isnan(population).any(axis=1))
    if site.size == 0 or np.isnan(site).all():
        return _missing(columns, kind, "no climate layer has values here")
    absent = np.isnan(site).all(axis=0) & np.isnan(columns["climate_cells"]).all(axis=0)
    if absent.any():
        return _missing(columns, kind, absent_in_words([variables[i] for i in np.flatnonzero(absent)]))
    if not usable.any():
        return _missing(columns, kind, "no climate evidence: no confirmed or known population has a climate")
    if kind == "regional":
        spread = regional_spread(columns["climate_cells"], variables)
        if isinstance(spread, SpreadRefusal):
            return _missing(columns, kind, refusal_in_words(spread), _novelty(site, population, variables))
        match = match_regional(site, population, spread)
    else:
        spreads = spreads_of_populations(columns, variables, usable)
        kept = [one for one in spreads if isinstance(one, ClimateSpread)]
        if not kept:
            why = _why_no_years(spreads, columns)
            return _missing(columns, kind, why, _novelty(site, population, variables))
        match = match_interannual(site, population, spreads)
    return _known(columns, kind, match, site, population, variables)


def describe(value: CriterionValue, index: int) -> str:
    """Say the gap of one patch and what drives it."""
    if not value.known[index]:
        return f"climate gap not scored: {value.note[index]}"
    kind = value.details["climate_gap_kind"][index]
    unit = "regional distance" if kind == "regional" else "sigmas of year-to-year variability"
    return f"climate gap {value.value[index]:.2f} ({unit}) {value.note[index]}"


def _known(
    columns: Columns,
    kind: SpreadKind,
    match: Match,
    site: FloatArray,
    population: FloatArray,
    variables: list[str],
) -> CriterionValue:
    known = np.asarray(match.population >= 0)
    is_rain = [CLIMATE_VARIABLES[name][0] == "mm" for name in variables]
    names = np.asarray(columns["population_names"], dtype=object)
    note = ["no climate value here"] * len(site)
    details = _details(columns, kind)
    for row in np.unique(match.population[known]):
        here = np.flatnonzero(match.population == row)
        spread = match.spreads[row]
        assert spread is not None
        drivers = find_drivers(site[here] - population[row], spread)
        apart = physical_difference(site[here], population[row], is_rain)
        unseen = unseen_share(site[here] - population[row], spread)
        for place, index in enumerate(here):
            said = difference_in_words(str(names[row]), variables, drivers, place, apart[place])
            note[index] = said + truncated_in_words(spread, float(unseen[place]))
        details["climate_gap_components"][here] = spread.kept
        details["climate_gap_cells"][here] = spread.sample
        details["climate_gap_population"][here] = names[row]
    details["climate_gap_distance"] = match.distance
    details["climate_gap_driver"] = np.array(note, dtype=object)
    details |= _novelty(site, population, variables)
    return CriterionValue(
        unit=UNIT,
        value=match.gap,
        low=match.gap,
        high=match.gap,
        known=known,
        note=tuple(note),
        details=details,
        facts=tuple(_facts(columns, kind, match, population, variables)),
    )


def _facts(
    columns: Columns, kind: SpreadKind, match: Match, population: FloatArray, variables: list[str]
) -> Iterator[str]:
    """Yield the climate of every population and the covariance, for redoing a distance by hand."""
    names = np.asarray(columns["population_names"], dtype=object)
    for name, climate, spread in zip(names, population, match.spreads, strict=True):
        if not np.isnan(climate).any():
            yield f"{name}: {matrix_words(climate[None, :])}"
            if kind == "interannual" and spread is not None:
                yield f"  covariance of {spread.sample} detrended years: {matrix_words(spread.covariance)}"
    if kind == "regional":
        spread = next(one for one in match.spreads if one is not None)
        yield f"covariance over {spread.sample} climate cells: {matrix_words(spread.covariance)}"
    yield f"order of the numbers: {', '.join(variables)}; precipitation as ln(P + 1)"


def _novelty(
    site: FloatArray, population: FloatArray, variables: list[str]
) -> dict[str, NDArray[np.generic]]:
    site, population = rounded_climate(site, variables), rounded_climate(population, variables)
    novelty = measure_novelty(site, population)
    worst = [variables[column] if column >= 0 else "" for column in novelty.most_dissimilar]
    return {
        "novelty": novelty.similarity,
        "novelty_variable": np.array(worst, dtype=object),
        "novelty_note": np.array(describe_novelty(novelty, site, variables), dtype=object),
    }


def _missing(
    columns: Columns, kind: SpreadKind, reason: str, told: Mapping[str, NDArray[np.generic]] | None = None
) -> CriterionValue:
    """Return a measure that is not scored; ``told`` is what can be said of each variable all the same."""
    count = len(columns["site_climate"])
    empty = np.full(count, np.nan)
    return CriterionValue(
        unit=UNIT,
        value=empty,
        low=empty,
        high=empty,
        known=np.zeros(count, dtype=bool),
        note=(reason,) * count,
        details=_details(columns, kind)
        | {"climate_gap_driver": np.full(count, reason, dtype=object)}
        | dict(told or {}),
    )


def _details(columns: Columns, kind: SpreadKind) -> dict[str, NDArray[np.generic]]:
    count = len(columns["site_climate"])
    population = np.asarray(columns["population_climate"], dtype=np.float64)
    usable = int((~np.isnan(population).any(axis=1)).sum())
    cells = np.asarray(columns["climate_cells"], dtype=np.float64)
    whole = int((~np.isnan(cells).any(axis=1)).sum())

    def blank() -> NDArray[np.object_]:
        return np.full(count, "", dtype=object)

    return {
        "climate_gap_kind": np.full(count, kind, dtype=object),
        "climate_gap_distance": np.full(count, np.nan),
        "climate_gap_variables": np.full(count, len(columns["climate_variables"])),
        "climate_gap_cells": np.full(count, whole if kind == "regional" else 0),
        "climate_gap_populations": np.full(count, usable),
        "climate_gap_population": blank(),
        "climate_gap_components": np.zeros(count, dtype=np.int64),
        "climate_gap_driver": blank(),
        "best_source_site_id": blank(),
        "best_source_climate_gap": np.full(count, np.nan),
        "best_source_note": blank(),
        "novelty": np.full(count, np.nan),
        "novelty_variable": blank(),
        "novelty_note": blank(),
    }


def _why_no_years(spreads: Sequence[ClimateSpread | SpreadRefusal | None], columns: Columns) -> str:
    refused = [one for one in spreads if isinstance(one, SpreadRefusal)]
    if not refused:
        return "no population has single years in the layer yearly_climate"
    is_absent = np.all([np.isnan(one[1]).all(axis=0) for one in columns["population_years"] if one], axis=0)
    if is_absent.any():
        absent = [str(name) for name in np.asarray(columns["climate_variables"])[is_absent]]
        return f"the layer yearly_climate holds no {', '.join(absent)}"
    return refusal_in_words(max(refused, key=lambda one: one.have))
