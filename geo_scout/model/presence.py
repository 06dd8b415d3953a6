"""How sure it is that an agent lives somewhere, in words and as a chance with its range."""

from dataclasses import dataclass
from typing import Literal

State = Literal["confirmed", "likely", "possible", "unlikely", "lost", "too early"]
STATES: tuple[State, ...] = ("confirmed", "likely", "possible", "unlikely", "lost", "too early")
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
