"""What became of the releases of one agent: three rates that answer three questions."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class OutcomeRates:
    """Releases of one district, or of all, and the share that established.

    Parameters
    ----------
    district
        Name of the district; "" is all of them, "not mapped" ground outside every district.
    releases, too_early, revisited, found
        Number of releases; of those too young to say; of the others those visited when the agent could be
        seen, and those of them where it was found.
    found_share, found_low_share, found_high_share
        Finds among revisited, with the Wilson interval of 95 %; nan where none was revisited [share].
    adjusted_share, adjusted_low_share, adjusted_high_share
        Share established among the revisited once the chance of finding is allowed for, with its interval of
        95 %; nan where no chance of finding is known [share].
    least_share, most_share
        With all unvisited releases taken as failed, and as established; nan without releases [share].
    """

    district: str
    releases: int
    too_early: int
    revisited: int
    found: int
    found_share: float
    found_low_share: float
    found_high_share: float
    adjusted_share: float
    adjusted_low_share: float
    adjusted_high_share: float
    least_share: float
    most_share: float
