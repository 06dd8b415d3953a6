"""The ways of looking: what each shows of which agent, in which weeks, and how often an hour finds it."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class Look:
    """One way of looking for one agent. The same numbers stand in the agent's profile.

    Attributes
    ----------
    first, last
        Month and day between which there is something to see.
    found_share
        Chance that one hour finds an agent that is there. Our own number.
    wrong_share
        Chance that a look reports an agent that is not there.
    starts, span_days
        When in the year the crews go: the first day, and over how many days.
    catch_per_hour
        Catches grow with the years since the release up to about this, times a few.
    """

    method: str
    sign: str
    stage: str
    first: tuple[int, int]
    last: tuple[int, int]
    found_share: float
    wrong_share: float
    starts: tuple[int, int]
    span_days: int
    catch_per_hour: float

    def shows_on(self, day: date) -> bool:
        """Return whether there is anything to see on this day of the year."""
        return self.first <= (day.month, day.day) <= self.last

    def chance_in(self, hours: float) -> float:
        """Return the chance that so many hours find an agent that is there."""
        return float(1 - (1 - self.found_share) ** hours)


LOOKS = {
    "ashthorn": (
        Look("sweep net", "adults in the net", "adult", (5, 25), (7, 31), 0.55, 0.0, (6, 1), 70, 2.0),
        Look("visual search", "adults on shoots", "adult", (6, 1), (8, 31), 0.40, 0.02, (6, 1), 80, 0.5),
        Look("stem dissection", "larvae in stems", "larva", (7, 15), (10, 15), 0.75, 0.0, (7, 10), 75, 0.5),
    ),
    "brindlebell": (
        Look("sweep net", "beetles in the net", "adult", (5, 28), (7, 25), 0.60, 0.0, (6, 1), 60, 20.0),
        Look("visual search", "beetles on leaves", "adult", (6, 5), (9, 10), 0.50, 0.03, (6, 1), 80, 1.0),
    ),
}
