"""What the releases allow to conclude of a rule, and how many more it would take."""

import math

from geo_scout.formulas.area_intervals import NO_BETTER_THAN_CHANCE, cases_needed
from geo_scout.formulas.ranking_skill import AreaUnderCurve
from geo_scout.model.backtest import FEWEST_OF_EACH, WIDEST_HALF_SHARE, Conclusion


def conclude(every: AreaUnderCurve, within: AreaUnderCurve, *, is_main: bool) -> Conclusion:
    """Return what may be said of a rule.

    Parameters
    ----------
    every
        Area over all releases; its interval is as wide as the number of rules that are tried asks for.
    within
        Area within districts; nan where no district has both outcomes.
    is_main
        Whether it is the score: only of that may "no better than chance" be said, as its interval alone is of
        95 %.

    Notes
    -----
    Nothing is concluded from fewer than `FEWEST_OF_EACH` of either outcome. Better (or worse) than chance:
    the interval lies above (below) 0.5, and the area within districts, where there is one, lies on the same
    side. No better than chance: the interval holds 0.5 and half of it is at most `WIDEST_HALF_SHARE`.
    """
    if min(every.successes, every.failures) < FEWEST_OF_EACH:
        return "none"
    is_apart = math.isnan(within.area)
    if every.low > NO_BETTER_THAN_CHANCE:
        return "better" if is_apart or within.area > NO_BETTER_THAN_CHANCE else "none"
    if every.high < NO_BETTER_THAN_CHANCE:
        return "worse" if is_apart or within.area < NO_BETTER_THAN_CHANCE else "none"
    return "chance" if is_main and (every.high - every.low) / 2 <= WIDEST_HALF_SHARE else "none"


def needed_more(established: int, failed: int) -> int:
    """Return about how many more releases would settle the area to `WIDEST_HALF_SHARE`.

    Parameters
    ----------
    established, failed
        Releases that are used now.

    Notes
    -----
    At the share seen, half a release added to each side, so that a share can be told where all came out the
    same; enough that each outcome is there `FEWEST_OF_EACH` times, too.

    Examples
    --------
    >>> needed_more(10, 10), needed_more(100, 100), needed_more(7, 1)
    (103, 0, 211)
    """
    share = (established + 0.5) / (established + failed + 1)
    rarer = math.ceil(FEWEST_OF_EACH / min(share, 1 - share))
    return max(0, max(cases_needed(share, WIDEST_HALF_SHARE), rarer) - established - failed)
