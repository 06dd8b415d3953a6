"""The visit each site would get: the sign that tells most per hour, and what it may find."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.visit_value import VisitOutcomes, chance_after, visit_worth, weigh_outcomes
from geo_scout.model.establishment import Sign
from geo_scout.planning.choosing import start_hurdle
from geo_scout.planning.field_days import Dates, SignDays
from geo_scout.planning.outlook import Outlook

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class SiteVisits:
    """The visit to each of n sites.

    Parameters
    ----------
    outcomes
        What it may find; one outcome where there is no sign to look for, where the site cannot be used, or
        where nothing can be valued.
    sign
        (n,) row in ``signs`` of the sign to look for; -1 none.
    signs
        The profile's signs with their days.
    first, last
        (n,) days between which it can be seen in time; NaT where there is no sign.
    hours
        (n,) person-hours of looking and travel; nan where there is no sign [hours].
    problem
        (n,) why no sign can be seen in time; "" where one can.
    """

    outcomes: VisitOutcomes
    sign: NDArray[np.intp]
    signs: Sequence[SignDays]
    first: Dates
    last: Dates
    hours: FloatArray
    problem: NDArray[np.object_]

    def sign_of(self, row: int) -> Sign | None:
        """Return what to look for at one site."""
        return self.signs[self.sign[row]].sign if self.sign[row] >= 0 else None


def choose_signs(
    outlook: Outlook, signs: Sequence[SignDays], travel_hours: FloatArray, can_use: NDArray[np.bool_]
) -> SiteVisits:
    """Return the visit to each site, with the sign that makes it worth most per hour.

    Parameters
    ----------
    outlook
        What is expected of each of n sites.
    signs
        The profile's signs with the days on which they can be seen.
    travel_hours
        (n,) hours to each site and back [hours].
    can_use
        (n,) whether the season could use the site.

    Notes
    -----
    Of signs that tell anything, one that can be seen before the window opens comes before one that cannot,
    for a visit in the last days leaves no time to act on it. Then the worth per hour decides, as if no other
    visit were made, and of equal ones the earlier sign.
    """
    count = len(travel_hours)
    is_valued = can_use & outlook.is_known & (not outlook.missing)
    share = np.where(is_valued[:, np.newaxis], outlook.state_share, 0.0)
    payoff = np.where(is_valued[:, np.newaxis], outlook.payoff, 0.0)
    # A site that is not valued stands for no gain at all and so displaces nothing.
    share[~is_valued, 0], payoff[~is_valued, 0] = 1.0, 0.0 if outlook.missing else outlook.elsewhere
    elsewhere = 0.0 if outlook.missing else outlook.elsewhere
    blind = _weigh(outlook, share, payoff, _unseeing(outlook, count), elsewhere)
    hurdle = start_hurdle(blind.unseen, outlook.places)
    best = _Best(blind, count)
    for index, days in enumerate(signs):
        seen = np.where(
            days.is_seen[:, np.newaxis, np.newaxis], outlook.seen_share(days.sign), _unseeing(outlook, count)
        )
        found = _weigh(outlook, share, payoff, seen, elsewhere)
        hours = float(days.sign.effort_hours.value) + travel_hours
        best.offer(index, days, found, visit_worth(found, hurdle) / hours, hours)
    return SiteVisits(
        VisitOutcomes(best.chance, best.gain, blind.unseen),
        best.sign,
        signs,
        best.first,
        best.last,
        best.hours,
        _problems(signs, best.sign, count),
    )


def _weigh(
    outlook: Outlook, share: FloatArray, payoff: FloatArray, seen: FloatArray, elsewhere: float
) -> VisitOutcomes:
    """Return the outcomes; what leaves the chance of the agent above the season's limit gains nothing."""
    found = weigh_outcomes(share, payoff, seen, elsewhere)
    if outlook.is_closed is None or not outlook.is_closed.any():
        return found
    closed = outlook.is_closed
    stays_closed = closed[:, np.newaxis] & (chance_after(share, seen) > outlook.most_present)
    return VisitOutcomes(
        found.chance, np.where(stays_closed, 0.0, found.gain), np.where(closed, 0.0, found.unseen)
    )


def _unseeing(outlook: Outlook, count: int) -> FloatArray:
    """Return the chances of a visit that sees nothing, whatever is there."""
    states = outlook.state_share.shape[1]
    blind = np.zeros((count, states, states))
    blind[:, :, 0] = 1.0
    return blind


class _Best:
    """The best sign of each site so far."""

    def __init__(self, blind: VisitOutcomes, count: int) -> None:
        self.chance, self.gain = blind.chance.copy(), blind.gain.copy()
        self.sign = np.full(count, -1)
        self.first = np.full(count, np.datetime64("NaT", "D"))
        self.last = self.first.copy()
        self.hours = np.full(count, np.nan)
        self._rate = np.full(count, -1.0)
        self._is_early = np.zeros(count, dtype=bool)

    def offer(
        self, index: int, days: SignDays, found: VisitOutcomes, rate: FloatArray, hours: FloatArray
    ) -> None:
        """Take a sign where it leaves time, makes the visit worth more per hour, or as much and earlier."""
        tells, told = rate > 0, self._rate > 0
        is_earlier = (rate == self._rate) & (days.first < self.first)
        is_better = (rate > self._rate) | is_earlier
        is_in_time = days.is_early & ~self._is_early
        is_as_late = days.is_early == self._is_early
        takes = days.is_seen & ((tells & ~told) | ((tells == told) & (is_in_time | (is_as_late & is_better))))
        self._is_early[takes] = days.is_early[takes]
        self.chance[takes], self.gain[takes] = found.chance[takes], found.gain[takes]
        self.sign[takes], self._rate[takes], self.hours[takes] = index, rate[takes], hours[takes]
        self.first[takes], self.last[takes] = days.first[takes], days.last[takes]


def _problems(signs: Sequence[SignDays], sign: NDArray[np.intp], count: int) -> NDArray[np.object_]:
    """Return why no sign can be seen in time: of several reasons that which a later day would lift."""
    problem = np.full(count, "", dtype=object)
    for days in signs:
        is_first = (sign < 0) & ((problem == "") | (problem == "not in season"))
        problem[is_first] = days.problem[is_first]
    return problem
