"""How sure it is that an agent lives somewhere, in words and as a chance with its range."""

from dataclasses import dataclass
from typing import Literal

State = Literal["confirmed", "likely", "possible", "unlikely", "lost", "too early"]
STATES: tuple[State, ...] = ("confirmed", "likely", "possible", "unlikely", "lost", "too early")
CAME_BACK = " that it has come back"
"""After the chance of a place whose ground was destroyed; public copies do not tell which places are."""

STATE_LABELS: dict[str, str] = {
    "confirmed": "confirmed",
    "likely": "likely",
    "possible": "possible",
    "unlikely": "unlikely",
    "lost": "lost",
    "too early": "too early to say",
}
"""What each state is called in print."""


@dataclass(frozen=True, slots=True)
class PresenceStep:
    """One step on the way to the chance that an agent lives in one place.

    Parameters
    ----------
    when
        Year, or day of a record, as printed.
    what
        What happened: the prior of a release, a year's persistence, arrivals from elsewhere, a visit with
        its chance of finding the agent, a loss; with the numbers it uses.
    low, best, high
        Chance after the step [share].
    """

    when: str
    what: str
    low: float
    best: float
    high: float


def percent_range(low: float, best: float, high: float) -> str:
    """Return a chance with its range in whole percents.

    >>> percent_range(0.48, 0.62, 0.75), percent_range(0.6, 0.6, 0.6), percent_range(0.0, 0.002, 1.0)
    ('62 % (48 to 75 %)', '60 %', '<1 % (0 to 100 %)')
    >>> percent_range(float("nan"), float("nan"), float("nan"))
    'not known'
    """
    if best != best:
        return "not known"
    ends = _percent(low), _percent(high)
    return f"{_percent(best)} %" if ends[0] == ends[1] else f"{_percent(best)} % ({ends[0]} to {ends[1]} %)"


def _percent(share: float) -> str:
    """Return whole percents; only what is certain is 0 or 100."""
    if 0.0 < share <= 0.005:
        return "<1"
    return ">99" if 0.995 <= share < 1.0 else f"{100 * share:.0f}"
