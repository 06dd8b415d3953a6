"""Why a visit to a site is worth something, or why it can change nothing, in plain words."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.formulas.visit_value import SAME
from geo_scout.model.criteria import Role
from geo_scout.model.rows import each_row
from geo_scout.model.scouting import NEXT_TO_NOTHING, WORTH_DECIMALS
from geo_scout.model.season import Season
from geo_scout.planning.chance_words import chance_words
from geo_scout.planning.choosing import VisitPlan
from geo_scout.planning.field_days import AFTER_CLOSING, TOO_YOUNG, field_days
from geo_scout.planning.outlook import Outlook
from geo_scout.planning.visits import SiteVisits

NO_SIGN = "not valued: the profile states no sign to look for"
NOTHING = "no visit can change what the season does here: "
CROWDED = (
    "not valued: too close to a site that scores higher today (too-close); that a visit here might swap the "
    "two is not counted"
)
_UNKNOWN_CHANCE = "not valued: the chance that the agent lives here is not known"
_UNKNOWN_YIELD = (
    "not valued: what a source without a count fills is not known (source_releases and enough_share)"
)
PRINTED_ZERO = f"below {0.5 * 10**-WORTH_DECIMALS:.{WORTH_DECIMALS + 1}f}"
_READ = (
    "role", "barred", "is_crowded", "purpose", "presence_share", "catch_date", "releases", "last_visit",
    "latest_release", "state",
)  # fmt: skip


@dataclass(frozen=True)
class Reasoning:
    """What the reasons are read from: the visits of one agent in one role and what they were weighed with.

    Parameters
    ----------
    role, season, outlook, visits, plan
        Of the list.
    """

    role: Role
    season: Season
    outlook: Outlook
    visits: SiteVisits
    plan: VisitPlan

    @property
    def best_sites(self) -> str:
        """The sites the season uses, in words; "" where it uses all that are worth it."""
        places, kind = self.outlook.places, "source" if self.role == "source" else "release site"
        if places is None:
            return ""
        return f"{kind} that promises most" if places == 1 else f"{places} {kind}s that promise most"

    @property
    def is_in(self) -> str:
        """That a site is used."""
        if not self.best_sites:
            return "is worth a crew-day"
        return f"is {'the' if self.outlook.places == 1 else 'among the'} {self.best_sites}"

    @property
    def would_be_in(self) -> str:
        """That a site would come to be used."""
        if not self.best_sites:
            return "bring it a crew-day"
        return f"{'make it the' if self.outlook.places == 1 else 'bring it among the'} {self.best_sites}"


def visit_worths(candidates: pd.DataFrame, why: Reasoning) -> NDArray[np.float64]:
    """Return what each visit is worth; 0 where it can change nothing, nan where it cannot be valued.

    A worth that prints as 0 is 0.
    """
    is_barred = (candidates["barred"] != "").to_numpy()
    is_out = is_barred | (why.visits.problem != "")
    unknown = bool(why.outlook.missing) or not why.visits.signs
    is_crowded = (candidates["is_crowded"] & (candidates["presence_share"] != 0)).to_numpy()
    is_unvalued = ~is_out & (unknown | is_crowded | ~why.outlook.is_known)
    if not why.visits.signs:
        is_unvalued = ~is_barred
    is_seen = np.round(why.plan.worth, WORTH_DECIMALS) > 0
    return np.where(is_unvalued, np.nan, np.where(is_seen, why.plan.worth, 0.0))


def explain_visits(candidates: pd.DataFrame, why: Reasoning) -> list[str]:
    """Return the plain reason for each visit's worth.

    Parameters
    ----------
    candidates
        From `find_candidates`.
    why
        What was weighed.
    """
    worth = visit_worths(candidates, why)
    chance = _chances(why)
    told = chance_words(chance)
    tell: Callable[[int, Any], str] = lambda row, site: _zero(row, site, why, told)  # noqa: E731
    reasons = []
    for row, site in enumerate(each_row(candidates[list(_READ)])):
        if np.isnan(worth[row]):
            reasons.append(_unvalued(site, why))
        elif worth[row] > 0:
            reasons.append(_positive(row, site, why, told[row]))
        elif why.plan.worth[row] > 0:
            reasons.append(f"{NEXT_TO_NOTHING}its worth is {PRINTED_ZERO} {why.outlook.unit}")
        else:
            reasons.append(NOTHING + tell(row, site))
    return reasons


def _chances(why: Reasoning) -> NDArray[np.float64]:
    """Return the chance that a visit is about: that a source fills releases, or that a site is occupied."""
    return why.outlook.state_share[:, -1]


def _unvalued(site: Any, why: Reasoning) -> str:
    if not why.visits.signs:
        return NO_SIGN
    if why.outlook.missing:
        return f"not valued: {why.outlook.missing}"
    if site.is_crowded:
        return CROWDED
    return _UNKNOWN_CHANCE if np.isnan(site.presence_share) else _UNKNOWN_YIELD


def _positive(row: int, site: Any, why: Reasoning, chance: str) -> str:
    is_used = why.visits.outcomes.unseen[row] > why.plan.hurdle[row]
    known = _visited(site, why.season)
    if why.role == "source":
        fills = _releases(why.outlook.payoff[row, 2])
        effect = (
            "finding none or few would spare a wasted crew-day"
            if is_used
            else f"finding it in number would {why.would_be_in}"
        )
        return f"{known}; {chance} that it holds agents for {fills}; {effect}"
    effect = (
        "a find would keep the agents for another site"
        if is_used
        else f"finding nothing would {why.would_be_in}"
    )
    return f"{known}; {chance} that the agent lives here already; {effect}"


def _zero(row: int, site: Any, why: Reasoning, told: NDArray[np.object_]) -> str:
    """Return why a visit changes nothing."""
    if site.barred:
        return f"it is left out whatever a visit here finds ({site.barred})"
    if why.visits.problem[row]:
        return _not_seen(str(why.visits.problem[row]), site, why)
    if why.role == "release" and site.purpose == "supplement":
        return "a supplement may be released whether the agent lives here or not"
    if site.presence_share == 0:
        if site.state == "lost":
            return "what lived here was destroyed, and nothing since could have brought the agent back"
        return "no release, find or spread on record could have brought the agent here"
    gain = why.visits.outcomes.gain[row][why.visits.outcomes.chance[row] > 0]
    hurdle = why.plan.hurdle[row]
    if why.outlook.is_closed is not None and why.outlook.is_closed[row] and gain.max() <= SAME:
        return "no visit of this length would bring the chance of the agent down to max_wasted_share"
    if gain.min() >= hurdle - SAME:
        return f"it {why.is_in} whatever a visit finds ({told[row]} that it {_promise(row, why)})"
    if gain.max() <= hurdle + SAME:
        return _never_used(row, why, hurdle)
    return "the visits above it on this list already settle which sites are used"


def _promise(row: int, why: Reasoning) -> str:
    if why.role == "release":
        return "is occupied"
    return f"holds agents for {_releases(why.outlook.payoff[row, 2])}"


def _never_used(row: int, why: Reasoning, hurdle: float) -> str:
    if why.role == "release":
        return f"others score higher, and nothing a visit finds would {why.would_be_in}"
    bar = why.outlook.elsewhere + hurdle
    rival = "a crew-day elsewhere fills" if hurdle <= SAME else "the season's other sources promise"
    fills = why.outlook.payoff[row, 2]
    if fills <= bar + SAME:
        return f"even in number it would fill {_releases(fills)}, and {rival} {_amount(bar)}"
    whole = _releases(bar, "")
    return f"even a good find would leave it below the {whole} that {rival}"


def _not_seen(problem: str, site: Any, why: Reasoning) -> str:
    start, end = field_days(why.season)
    if start > end:
        return f"the field season ended on {end}"
    if problem == TOO_YOUNG:
        return f"the release of {site.latest_release.year} is too young for a visit to find it this season"
    if problem == AFTER_CLOSING:
        use = "collecting" if why.role == "source" else "release"
        return f"what can be seen of the agent comes only after the {use} window closes"
    return f"no sign can be seen between {start} and {end}"


def _visited(site: Any, season: Season) -> str:
    if not pd.isna(site.catch_date) and site.role == "source":
        return f"{'none caught' if site.releases == 0 else 'last catch'} on {site.catch_date:%Y-%m-%d}"
    if not pd.isna(site.last_visit):
        is_this_year = site.last_visit.year == season.as_of.year
        return (
            f"last visited on {site.last_visit:%Y-%m-%d}"
            if is_this_year
            else f"not visited since {site.last_visit.year}"
        )
    if not pd.isna(site.latest_release):
        return f"never visited since the release of {site.latest_release.year}"
    return "never visited"


def _releases(number: float, about: str = "about ") -> str:
    """Return a number of releases with its noun.

    >>> _releases(1.02), _releases(4.5, "")
    ('about 1 release', '4.5 releases')
    """
    amount = _amount(number)
    return f"{about}{amount} release{'' if amount == '1' else 's'}"


def _amount(number: float) -> str:
    """Return a number of releases as people say it.

    >>> _amount(4.0), _amount(1.52), _amount(12.4)
    ('4', '1.5', '12')
    """
    text = f"{number:.0f}" if number >= 10 else f"{number:.1f}"
    return text.removesuffix(".0")
