"""One reason why one site is left out of one ranking."""

from dataclasses import dataclass

from geo_scout.model.criteria import Role

NO_SOURCE = frozenset({"legal-forbidden", "agent-not-confirmed", "too-soon-after-release"})
"""Codes of a source that holds no agents anybody may collect, whatever else would change."""


@dataclass(frozen=True, slots=True)
class Exclusion:
    """One hard limit that one site does not meet.

    Parameters
    ----------
    agent, role, site_id
        The ranking and the site.
    code
        Stable name of the limit.
    sentence
        The reason in words, with the measured value and the limit.
    measured, limit
        The number that triggered it and the limit; None where it is not a number.
    unit
        Their unit.
    remedy
        What would bring the site back.
    """

    agent: str
    role: Role
    site_id: str
    code: str
    sentence: str
    measured: float | None
    limit: float | None
    unit: str
    remedy: str
