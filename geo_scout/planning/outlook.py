"""What the season expects of each site before any visit: its possible states and what they yield."""

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.formulas.supply import (
    chance_after_none,
    chance_of_enough,
    mean_after_none,
    mean_if_enough,
)
from geo_scout.formulas.visit_value import misread_shares
from geo_scout.model.agent import AgentProfile
from geo_scout.model.establishment import Sign
from geo_scout.model.folded import folded
from geo_scout.model.listed import counted
from geo_scout.model.scouting import ScoutingTable

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class Outlook:
    """What n sites may be, and yield, in one role.

    Parameters
    ----------
    state_share
        (n, S) chance of each state; for sources absent, few, enough; for release sites free, occupied; nan
        where it is not known [share].
    payoff
        (n, S) what using the site yields in each state: releases it fills, or its score.
    elsewhere
        What the same effort yields elsewhere, in the same unit.
    places
        Number of sites the season uses; None for all that are worth it.
    unit
        What the worth is counted in: "releases" or "score".
    missing
        Why nothing can be valued, as a question to the user; "" where it can.
    basis
        What the values rest on, one sentence each.
    catch_rates
        Agents per person-hour where there are few and where there are enough; None where nobody knows.
    enough_share
        (n,) chance that a source with the agent fills a release; None for release sites [share].
    catch_methods
        Folded methods whose counts are catches; empty for all.
    is_closed
        (n,) release sites that the season leaves out until a visit brings the chance of the agent to
        ``most_present`` or below; None none.
    most_present
        That limit (max_wasted_share) [share].
    """

    state_share: FloatArray
    payoff: FloatArray
    elsewhere: float
    places: int | None
    unit: str
    missing: str = ""
    basis: tuple[str, ...] = ()
    catch_rates: tuple[float, float] | None = None
    enough_share: FloatArray | None = None
    catch_methods: frozenset[str] = frozenset()
    is_closed: NDArray[np.bool_] | None = None
    most_present: float = 1.0

    @property
    def is_known(self) -> NDArray[np.bool_]:
        """Where states and payoffs are known."""
        known: NDArray[np.bool_] = np.isfinite(self.state_share.sum(axis=1) + self.payoff.sum(axis=1))
        return known

    def is_counted(self, sign: Sign) -> bool:
        """Return whether looking for the sign gives a catch, so that few can be told from enough."""
        methods = {folded(method) for method in sign.methods}
        return not self.catch_methods or bool(methods & self.catch_methods)

    def seen_share(self, sign: Sign) -> FloatArray:
        """Return the (S, Y) chance of each outcome of looking for a sign for its hours, in each state.

        For sources: none found, few, enough; a count takes few for enough, and enough for few, as Poisson
        counts do at the two rates, and never where the rates are not known. A sign looked for by another
        method than those of catches cannot be counted in catches: it tells found from none, and reads as
        few. For release sites: not found, found. A wrong find reads as few.
        """
        found = float(sign.found_share.value)
        wrong = 0.0 if sign.wrong_share is None else min(found, float(sign.wrong_share.value))
        if self.unit != "releases":
            return np.array([[1 - wrong, wrong], [1 - found, found]])
        if not self.is_counted(sign):
            return np.array([[1 - wrong, wrong, 0.0], [1 - found, found, 0.0], [1 - found, found, 0.0]])
        few_as_enough, enough_as_few = 0.0, 0.0
        if self.catch_rates is not None:
            few_as_enough, enough_as_few = misread_shares(*self.catch_rates, float(sign.effort_hours.value))
        return np.array(
            [
                [1 - wrong, wrong, 0.0],
                [1 - found, found * (1 - few_as_enough), found * few_as_enough],
                [1 - found, found * enough_as_few, found * (1 - enough_as_few)],
            ]
        )


def source_outlook(
    candidates: pd.DataFrame, supply: pd.DataFrame, agent: AgentProfile, table: ScoutingTable
) -> Outlook:
    """Return what is expected of the sources: absent, there in small number, or there in number.

    Parameters
    ----------
    candidates
        From `find_candidates` for the role source.
    supply
        Of every patch, visited or not: the season's catches, from which the others are judged.
    agent
        What may be taken, and how many make a release.
    table
        The season's own statements; what they leave out is learned from the season's catches.

    Notes
    -----
    A site with a catch of its own has the chance of filling at least one release that its supply gives, read
    as log-normal with low and high as 10 and 90 % points, and then fills the mean beyond one. Few agents fill
    none.
    """
    there = candidates["presence_share"].to_numpy(dtype=np.float64)
    low, best, high = (
        candidates[name].to_numpy(dtype=np.float64) for name in ("releases_low", "releases", "releases_high")
    )
    enough, filled, elsewhere, basis = _season_wide(candidates, supply, table)
    most, size = agent.collecting.max_take, agent.release.number_per_release
    cap = np.inf if most is None or size is None else most.value / size.value
    has_catch = np.isfinite(best)
    is_empty = has_catch & (best == 0)
    own_share = np.where(is_empty, chance_after_none(high), chance_of_enough(low, high))
    own_mean = np.where(is_empty, mean_after_none(high, cap=cap), mean_if_enough(low, high, cap=cap))
    share = np.where(has_catch, own_share, enough)
    payoff = np.zeros((len(candidates), 3))
    payoff[:, 2] = np.where(has_catch, own_mean, filled)
    rates = _catch_rates(supply)
    basis.append(
        "A visit that finds it takes few for enough, and enough for few, as counts at "
        f"{rates[0]:,.1f} and {rates[1]:,.1f} per person-hour do."
        if rates
        else "A visit that finds it is taken to tell few from enough rightly: no catches of both kinds are "
        "on record."
    )
    if table.collecting_sites is not None:
        basis.append(f"The season collects at {counted(table.collecting_sites, 'site')} (collecting_sites).")
    return Outlook(
        state_share=np.column_stack([1 - there, there * (1 - share), there * share]),
        payoff=payoff,
        elsewhere=elsewhere,
        places=table.collecting_sites,
        unit="releases",
        missing=_missing(elsewhere),
        basis=tuple(basis),
        catch_rates=rates,
        enough_share=share,
        catch_methods=frozenset(folded(method) for method in agent.collecting.methods),
    )


def _season_wide(
    candidates: pd.DataFrame, supply: pd.DataFrame, table: ScoutingTable
) -> tuple[float, float, float, list[str]]:
    """Return the share with enough, what they fill, what a day yields elsewhere, and what that rests on."""
    known = supply["releases"].dropna().to_numpy(dtype=np.float64)
    filling = known[known >= 1]
    enough, filled = (np.nan if one is None else one for one in (table.enough_share, table.source_releases))
    basis = []
    if table.enough_share is not None:
        basis.append(f"Share of places with the agent that can fill a release: {enough:.2f} (enough_share).")
    elif len(known):
        enough = (len(filling) + 1) / (len(known) + 2)
        basis.append(
            f"Share of places with the agent that can fill a release: {enough:.2f}, from the season's own "
            f"catches, {len(filling)} of {len(known)}, as (k + 1) / (n + 2)."
        )
    if table.source_releases is not None:
        basis.append(f"A source without a count fills {filled:.1f} releases (source_releases).")
    elif len(filling):
        filled = float(filling.mean())
        basis.append(
            f"A source without a count fills {filled:.1f} releases, the mean of the catches that fill one or "
            f"more, {len(filling)} of them."
        )
    if np.isnan(enough) or np.isnan(filled):
        basis.append(
            "What a source without a count fills is not known: record counts with their hours, or set "
            "source_releases and enough_share in [scouting]. Such sources are not valued."
        )
    elsewhere = np.nan if table.crew_day_releases is None else table.crew_day_releases
    ranked = candidates.loc[candidates["is_ranked"], "releases"].dropna().to_numpy(dtype=np.float64)
    if table.crew_day_releases is not None:
        basis.append(f"A crew-day elsewhere fills {elsewhere:.1f} releases (crew_day_releases).")
    elif len(ranked) > 1:  # one alone would be its own yardstick
        elsewhere = float(ranked.mean())
        basis.append(
            f"A crew-day elsewhere fills {elsewhere:.1f} releases, the mean of the ranked sources with a "
            f"catch, {len(ranked)} of them."
        )
    return enough, filled, elsewhere, basis


def _missing(elsewhere: float) -> str:
    if not np.isnan(elsewhere):
        return ""
    return (
        "nothing to value it against: fewer than two ranked sources have a catch on record; set "
        "crew_day_releases in [scouting], the releases one crew-day of collecting fills elsewhere"
    )


def _catch_rates(supply: pd.DataFrame) -> tuple[float, float] | None:
    """Return the mean catch per person-hour of sites that fill no release, and of those that do."""
    rate, releases = supply["catch_per_hour"].to_numpy(), supply["releases"].to_numpy()
    known = np.isfinite(rate) & np.isfinite(releases)
    few, enough = rate[known & (releases < 1)], rate[known & (releases >= 1)]
    if len(few) == 0 or len(enough) == 0 or few.mean() >= enough.mean():
        return None
    return float(few.mean()), float(enough.mean())


def release_outlook(
    candidates: pd.DataFrame, table: ScoutingTable, max_wasted_share: float | None = None
) -> Outlook:
    """Return what is expected of the release sites: free, where agents are worth the score, or occupied.

    Parameters
    ----------
    candidates
        From `find_candidates` for the role release.
    table
        How many release sites the season can fill.
    max_wasted_share
        Chance of the agent above which the season leaves a site out; None never [share].

    Notes
    -----
    A supplement is worth its score occupied or not. Without ``release_sites`` nothing is displaced by a bad
    site, so nothing is valued.
    """
    there = candidates["presence_share"].to_numpy(dtype=np.float64)
    score = candidates["score_if_free"].to_numpy(dtype=np.float64)
    occupied = np.where(candidates["purpose"] == "supplement", score, 0.0)
    missing = ""
    basis: tuple[str, ...] = ()
    if table.release_sites is None:
        missing = (
            "nothing to value it against: set release_sites in [scouting], how many release sites the season "
            "can fill"
        )
    else:
        basis = (
            f"The season fills {counted(table.release_sites, 'site')} (release_sites); a visit is worth the "
            "score it saves where the agent lives already.",
        )
    return Outlook(
        state_share=np.column_stack([1 - there, there]),
        payoff=np.column_stack([score, occupied]),
        elsewhere=0.0,
        places=table.release_sites,
        unit="score",
        missing=missing,
        basis=basis,
        is_closed=candidates["is_closed"].to_numpy(dtype=bool),
        most_present=1.0 if max_wasted_share is None else max_wasted_share,
    )
