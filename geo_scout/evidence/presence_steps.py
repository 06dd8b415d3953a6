"""The derivation of the chance in one place, step by step, by the very arithmetic that made it."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from geo_scout.evidence.arrivals import (
    Pairs,
    distance_km,
    near_pairs,
    reach_limit_km,
    reach_of,
    years_of_spread,
)
from geo_scout.evidence.happenings import Kind
from geo_scout.evidence.presence import Grounds, follow_place, lay_grounds
from geo_scout.evidence.signs import SPEAKS
from geo_scout.formulas.presence import after_release
from geo_scout.model.agent import AgentProfile
from geo_scout.model.evidence import Evidence
from geo_scout.model.layers import LayerSet
from geo_scout.model.presence import PresenceStep
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites

BEST = 1
PRINTED = 4
"""Decimals that are printed; a year that changes none of them is no step."""


def presence_steps(
    sites: Sites,
    layers: LayerSet,
    season: Season,
    agent: AgentProfile,
    evidence: Evidence,
    site_id: str,
) -> list[PresenceStep]:
    """Return how the chance that the agent lives in one place came about.

    Parameters
    ----------
    sites, layers, season, agent
        As `gather_evidence` had them.
    evidence
        What it gave.
    site_id
        A patch, or a place outside every patch ("at release ID", "at visit ID").

    Returns
    -------
    list of PresenceStep
        In order: a release with its prior, a year with what stays and what arrives, a visit with its chance
        of finding the agent, a loss; years in which nothing changes are left out. Empty where no record and
        no arrival speaks for the place. The last is the chance at ``as_of``.
    """
    grounds = lay_grounds(sites, layers, season, agent, evidence.releases, evidence.visits)
    places = np.flatnonzero(grounds.places.place_id == site_id)
    return _Steps(grounds, evidence, agent, int(places[0])).taken if len(places) else []


@dataclass(frozen=True)
class _Heard:
    """One step as heard: the year, the happening, the chance after it and what of it came from others."""

    year: int
    at: int | None
    chance: NDArray[np.float64]
    arrived: NDArray[np.float64]


class _Steps:
    """Listens to the course of one place and puts each step into words."""

    def __init__(self, grounds: Grounds, evidence: Evidence, agent: AgentProfile, place: int) -> None:
        self.grounds, self.evidence, self.agent = grounds, evidence, agent
        self.own = np.flatnonzero(grounds.happenings.place == place)
        self.nearest = _nearest_origins(grounds, place)
        self.heard = [_Heard(0, None, np.zeros(3), np.zeros(3))]
        hazard = follow_place(grounds, place, self._hear)
        self.taken = [
            self._step(now, before, hazard)
            for before, now in pairwise(self.heard)
            if now.at is not None
            or not np.array_equal(now.chance.round(PRINTED), before.chance.round(PRINTED))
        ]

    def _hear(
        self, year: int, at: int | None, chance: NDArray[np.float64], arrived: NDArray[np.float64]
    ) -> None:
        self.heard.append(_Heard(year, at, chance[0].copy(), arrived[0].copy()))

    def _step(self, now: "_Heard", before: "_Heard", hazard: NDArray[np.float64]) -> PresenceStep:
        if now.at is None:
            position = list(self.grounds.years).index(now.year)
            when, what = str(now.year), self._of_year(position, before, now, hazard[position])
        else:
            happening = int(self.own[now.at])
            when = str(self.grounds.happenings.day[happening])
            what = self._of_record(happening, before)
        low, best, high = (float(one) for one in now.chance)
        return PresenceStep(when, what, low, best, high)

    def _of_year(self, position: int, before: "_Heard", now: "_Heard", hazard: NDArray[np.float64]) -> str:
        stays, alone, parts = self.grounds.course.persistence, before.chance > before.arrived, []
        if alone.any() and (stays < 1).any():
            parts.append(f"what did not come from others stays with {_three(stays)}")
        if hazard.any():
            parts.append(f"it arrives with {_three(hazard)}{self._mostly_from(position)}")
        if now.arrived.any() and (alone.any() or before.arrived.any()):
            parts.append(f"in all it came from others with {_three(now.arrived)}")
        return "; ".join(parts)

    def _mostly_from(self, position: int) -> str:
        """Return the origin that adds most to the chance of having arrived by the end of a year."""
        grounds, pairs = self.grounds, self.nearest
        origins, end = grounds.origins, grounds.ends[position]
        years = years_of_spread(origins, end)[pairs.origin]
        reach = reach_of(grounds.spread, distance_km(pairs, origins, BEST), years)
        took = origins.took_share[pairs.origin, BEST]
        arrived = took * reach
        if not arrived.any():
            return ""
        most = int(arrived.argmax())
        name = grounds.places.place_id[origins.place[pairs.origin[most]]]
        others = int((arrived > 0).sum()) - 1
        more = f" and {others} more" if others else ""
        return (
            f" from {name}{more} ({pairs.gap_km[most]:.3f} km, established there with {took[most]:.4f}, "
            f"reach {reach[most]:.4f} after {years[most]:.2f} years{self._clamped(float(years[most]))})"
        )

    def _clamped(self, years: float) -> str:
        """Return which end of its years a published curve is read at, where the time lies outside them."""
        curve = self.grounds.spread.curve
        if curve is None or curve.fitted_from_years <= years <= curve.fitted_to_years:
            return ""
        end = curve.fitted_from_years if years < curve.fitted_from_years else curve.fitted_to_years
        return f", its curve read at {end:g}, where its years end"

    def _of_record(self, happening: int, before: "_Heard") -> str:
        happenings = self.grounds.happenings
        kind, row = Kind(happenings.kind[happening]), int(happenings.row[happening])
        share, wrong = happenings.share[happening], happenings.wrong[happening]
        if kind is Kind.LOSS:
            return f"lost: {self.grounds.losses.what[row]}"
        if kind is Kind.RELEASE:
            release = self.evidence.releases.iloc[row]
            how = (
                ""
                if not before.chance.any()
                else (
                    ", an independent try"
                    if self.grounds.course.is_independent
                    else ", the larger chance counts, beside what came from others"
                )
            )
            return f"release {release['release_id']}, prior {_three(share)}{how}"
        visit = self.evidence.visits.iloc[row]
        looked = self._looked(row)
        if kind is Kind.NOT_FOUND:
            silent = self.grounds.sightings.silent[row]
            if silent != SPEAKS:
                return f"visit {visit['visit_id']} did not find it and changes nothing: {silent}"
            return (
                f"visit {visit['visit_id']} did not find it; it finds it with {_three(share[::-1])}{looked}"
            )
        if self.grounds.sightings.is_too_young[row]:
            return (
                f"visit {visit['visit_id']} found it, so soon after the release that it may be of the agents "
                "released: it changes nothing"
            )
        start = ""
        if not self._is_released(happening):
            prior = self.grounds.course.prior
            unseen = after_release(before.chance, before.arrived, prior, is_independent=False)
            start = f"; without a release it starts from {_three(unseen)}"
        return (
            f"visit {visit['visit_id']} found it; it finds it with {_three(share)}{looked}, "
            f"and by mistake with {_three(wrong[::-1])}{start}"
        )

    def _is_released(self, happening: int) -> bool:
        kinds = self.grounds.happenings.kind[self.own[self.own < happening]].tolist()
        since_loss = kinds[len(kinds) - kinds[::-1].index(Kind.LOSS) :] if Kind.LOSS in kinds else kinds
        return Kind.RELEASE in since_loss

    def _looked(self, row: int) -> str:
        sightings = self.grounds.sightings
        sign, hours = int(sightings.sign[row]), sightings.effort_hours[row]
        if sign < 0 or sightings.silent[row] != SPEAKS:
            why = sightings.silent[row]
            return f" ({why}; it was seen all the same)" if why != SPEAKS else ""
        stated = self.agent.signs[sign]
        return (
            f" ({stated.name}, {hours:g} h, where {stated.effort_hours.value:g} h find it with "
            f"{_three(np.array(stated.found_share.low_best_high))})"
        )


def _three(shares: NDArray[np.float64]) -> str:
    low, best, high = (float(one) for one in shares)
    return f"{best:.4f}" if low == best == high else f"{best:.4f} ({low:.4f} to {high:.4f})"


def _nearest_origins(grounds: Grounds, place: int) -> Pairs:
    nothing = Pairs(np.zeros(0, np.intp), np.zeros(0, np.intp), np.zeros(0))
    if len(grounds.origins.place) == 0 or reach_limit_km(grounds.spread) == 0:
        return nothing
    found = near_pairs(grounds.places, np.array([place]), grounds.origins, reach_limit_km(grounds.spread))
    return next((pairs for _, _, pairs in found), nothing)
