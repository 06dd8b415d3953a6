"""Values and eligibility of every site as they may also be, draw by draw."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.named_draws import (
    mixed_positions,
    name_keys,
    triangular_at,
    uniform_draws,
)
from geo_scout.model.criteria import Criterion
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.doubts import COVER_SHARED_SHARE, ClimateBound, SiteDoubts
from geo_scout.ranking.score import ScoredSites, curve_value

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
KEPT_BYTES = 250_000_000
"""Values of all draws are kept when they take no more than this; else they are drawn anew each time."""


@dataclass
class DrawnSites:
    """The sites of one ranking that some draw may use.

    Parameters
    ----------
    doubts
        What a draw may change.
    criteria, measures, scored
        How the sites are scored as the data stand.
    rows
        (r,) rows of the sites that nothing certain leaves out.
    seed, draws
        The same seed gives the same draws.

    Notes
    -----
    Causes that sites share are drawn once per draw: the bias of a cover scheme (half of a patch's error, and
    all of that of the host around it, since the errors of many patches leave only what they share), the
    prior, persistence and detection behind an agent's chances, and the error of the lapse rates. A
    patch's own errors are drawn for it alone, from a stream named by its ``site_id``.
    """

    doubts: SiteDoubts
    criteria: Mapping[str, Criterion]
    measures: Mapping[str, CriterionValue]
    scored: ScoredSites
    rows: NDArray[np.intp]
    seed: int
    draws: int
    _kept: "tuple[int, int, FloatArray, BoolArray] | None" = field(default=None, init=False)

    @cached_property
    def names(self) -> list[str]:
        """Ids of the sites in `rows`."""
        return [self.doubts.site_ids[row] for row in self.rows]

    @cached_property
    def schemes(self) -> tuple[list[str], NDArray[np.intp]]:
        """The cover schemes, and that of each site."""
        names, of_site = np.unique(self.doubts.area.scheme[self.rows].astype(str), return_inverse=True)
        return names.tolist(), of_site

    @cached_property
    def keys(self) -> dict[str, NDArray[np.uint64]]:
        """Keys of the sites' own streams by purpose, as far as they were asked for."""
        return {}

    def own(self, purpose: str, first: int, last: int, which: BoolArray | None = None) -> FloatArray:
        """Return a number between 0 and 1 for each site, or some of them, in each draw, (draws, sites)."""
        if purpose not in self.keys:
            self.keys[purpose] = name_keys(self.names, purpose, self.seed)
        keys = self.keys[purpose]
        return uniform_draws(keys if which is None else keys[which], first, last)

    def values(self, first: int, last: int) -> FloatArray:
        """Return the values of some draws, (last - first, r, k) [0-1]."""
        start, _, values, _ = self._take(first, last)
        return values[first - start : last - start]

    def eligible(self, first: int, last: int) -> BoolArray:
        """Return who may be used in some draws, (last - first, r)."""
        start, _, _, eligible = self._take(first, last)
        return eligible[first - start : last - start]

    def _take(self, first: int, last: int) -> tuple[int, int, FloatArray, BoolArray]:
        if self._kept is None or not self._kept[0] <= first <= last <= self._kept[1]:
            whole = 8 * self.draws * len(self.rows) * len(self.criteria) <= KEPT_BYTES
            first, last = (0, self.draws) if whole else (first, last)
            self._kept = (first, last, *self._draw(first, last))
        return self._kept

    def _draw(self, first: int, last: int) -> tuple[FloatArray, BoolArray]:
        drawn = _Draw(self, first, last)
        # Criterion by criterion in memory, since that is how they are added up.
        values = np.empty((len(self.criteria), last - first, len(self.rows)))
        for place, name in enumerate(self.criteria):
            values[place] = drawn.value_of(name)
        return values.transpose(1, 2, 0), drawn.eligible()


class _Draw:
    """Some draws of the quantities behind the measures."""

    def __init__(self, sites: DrawnSites, first: int, last: int) -> None:
        self.sites, self.doubts, self.rows = sites, sites.doubts, sites.rows
        self.first, self.last = first, last
        self.area_ha, self.is_area_drawn = self._areas()
        self.lapse_error = triangular_at(
            self._shared("lapse rate", ["region"]), *_ends(sites.doubts.climate.error_degc_per_km)
        )
        self.presence_at = self._shared("presence", [sites.doubts.agent])

    def value_of(self, name: str) -> FloatArray:
        """Return the values of one criterion in each draw, (draws, r) [0-1]."""
        measure, rows = self.sites.measures[name], self.rows
        fixed, curve = self.sites.scored.values[name][rows], self.sites.criteria[name].curve
        known = measure.known[rows]
        low, best, high = (one[rows] for one in (measure.low, measure.value, measure.high))
        if name in ("host_area", "host_cover"):
            gross = 1.0 if name == "host_area" else self.doubts.area.gross_ha[rows] / 100
            return np.where(self.is_area_drawn, curve_value(curve, self.area_ha / gross), fixed)
        if name == "population_distance" and self.doubts.population_m is not None:
            unsure_km = self.doubts.population_m[rows] / 1000
            low, high = np.maximum(best - unsure_km, 0.0), best + unsure_km
        if name == "climate_gap" and self.doubts.climate.gap.shape[1]:
            drawn, unsure = self._gap(), known.copy()
        elif name == "host_around":
            around_at = self._shared("host around", ["region"])
            drawn, unsure = triangular_at(around_at, low, best, high), known & (low < high)
        elif name == "wasted_chance":
            drawn, unsure = triangular_at(self.presence_at, low, best, high), known & (low < high)
        else:
            unsure = known & (low < high)
            drawn = triangular_at(self._own(f"{name} itself"), low, best, high) if unsure.any() else best
        values = np.where(unsure, curve_value(curve, drawn), fixed)
        if known.all():
            return values
        return np.where(known, values, self._missing(name, low, high))

    def eligible(self) -> BoolArray:
        """Return who no drawn quantity leaves out, (draws, r)."""
        area, presence, rows = self.doubts.area, self.doubts.presence, self.rows
        usable = self.area_ha >= area.least_ha
        if presence.most_share is not None:
            ends = (presence.low_share[rows], presence.best_share[rows], presence.high_share[rows])
            chance = triangular_at(self.presence_at, *ends)
            usable &= (chance <= presence.most_share) | presence.exempt[rows]
        for bound in self.doubts.climate.bounds:
            usable &= self._is_inside(bound)
        return np.asarray(np.broadcast_to(usable, (self.last - self.first, len(rows))))

    def _is_inside(self, bound: ClimateBound) -> BoolArray:
        value = bound.value[self.rows]
        if bound.is_lapsed:
            value = value - self.lapse_error * self.doubts.climate.rise_km[self.rows]
        lowest = -np.inf if bound.least is None else bound.least
        highest = np.inf if bound.most is None else bound.most
        return np.asarray(~((value < lowest) | (value > highest)))

    def _areas(self) -> tuple[FloatArray, BoolArray]:
        """Return infested areas [ha] and which of them are drawn at all."""
        area, rows = self.doubts.area, self.rows
        low, best, high, change = (
            one[rows] for one in (area.low_ha, area.best_ha, area.high_ha, area.change_log)
        )
        drawn = np.repeat(best[np.newaxis], self.last - self.first, axis=0)
        wide, changed = np.isnan(best) | (low < high), change > 0
        if wide.any():
            drawn[:, wide] = triangular_at(self._cover_positions(wide), low[wide], best[wide], high[wide])
        if changed.any():
            grown = triangular_at(self._own("survey age", changed), -1.0, 0.0, 1.0)
            drawn[:, changed] *= np.exp(change[changed] * grown)
        gross = area.gross_ha[rows]
        np.minimum(drawn, np.where(best > gross, best, gross), out=drawn)
        return drawn, wide | changed

    def _cover_positions(self, which: BoolArray) -> FloatArray:
        """Return where in their ranges some covers stand: part of it as their scheme's, (draws, w)."""
        names, of_site = self.sites.schemes
        own, shared = self._own("cover class", which), self._shared("cover scheme", names)
        mixed = mixed_positions(shared, own, COVER_SHARED_SHARE, of_site[which])
        # A cover nobody read was misread by nobody.
        return np.where(np.isnan(self.doubts.area.best_ha[self.rows][which]), own, mixed)

    def _gap(self) -> FloatArray:
        """Return the climate gap at the drawn error of the lapse rates, (draws, r)."""
        errors, gap = self.doubts.climate.error_degc_per_km, self.doubts.climate.gap[self.rows]
        at = np.interp(self.lapse_error[:, 0], errors, np.arange(len(errors)))
        left = np.minimum(at.astype(np.intp), len(errors) - 2)
        share = (at - left)[:, np.newaxis]
        return np.asarray((1 - share) * gap.T[left] + share * gap.T[left + 1], dtype=np.float64)

    def _missing(self, name: str, low: FloatArray, high: FloatArray) -> FloatArray:
        """Return values where nothing was measured: every measure of its range as likely as any other.

        Where no range is known, every value from 0 to 1 is.
        """
        own = self._own(f"{name} missing")
        measured = curve_value(self.sites.criteria[name].curve, triangular_at(own, low, np.nan, high))
        return np.where(np.isnan(measured), own, measured)

    def _own(self, purpose: str, which: BoolArray | None = None) -> FloatArray:
        return self.sites.own(purpose, self.first, self.last, which)

    def _shared(self, purpose: str, names: list[str]) -> FloatArray:
        return uniform_draws(name_keys(names, purpose, self.sites.seed), self.first, self.last)


def _ends(errors: FloatArray) -> tuple[float, float, float]:
    return float(errors[0]), 0.0, float(errors[-1])
