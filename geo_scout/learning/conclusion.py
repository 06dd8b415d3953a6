"""What the releases allow to conclude of a rule, and how many more it would take."""

import math
from collections.abc import Mapping

from geo_scout.formulas.area_intervals import NO_BETTER_THAN_CHANCE, cases_needed
from geo_scout.formulas.ranking_skill import AreaUnderCurve
from geo_scout.model.backtest import FEWEST_OF_EACH, WIDEST_HALF_SHARE, Conclusion


def conclude(
    every: AreaUnderCurve, checks: Mapping[str, AreaUnderCurve], *, is_main: bool
) -> tuple[Conclusion, tuple[str, ...]]:
    """Return what may be said of a rule, and which checks forbid saying more.

    Parameters
    ----------
    every
        Area over all releases; its interval is as wide as the number of rules that are tried asks for.
    checks
        By split, the area without what may mislead, with an interval of `CHECK_SHARE`; nan where no pair of
        it is left.
    is_main
        Whether it is the score: only of that may "no better than chance" be said, as its interval alone is of
        95 %.

    Notes
    -----
    Nothing is concluded from fewer than `FEWEST_OF_EACH` of either outcome. Better (or worse) than chance:
    the interval lies above (below) one half, and so does that of every check. No better than chance: the
    whole interval lies within `WIDEST_HALF_SHARE` of one half, and so holds nothing that matters.
    """
    if min(every.successes, every.failures) < FEWEST_OF_EACH:
        return "none", ()
    if every.low > NO_BETTER_THAN_CHANCE or every.high < NO_BETTER_THAN_CHANCE:
        is_better = every.low > NO_BETTER_THAN_CHANCE
        against = tuple(name for name, one in checks.items() if not _bears_out(one, is_better))
        return ("none" if against else "better" if is_better else "worse"), against
    least, most = NO_BETTER_THAN_CHANCE - WIDEST_HALF_SHARE, NO_BETTER_THAN_CHANCE + WIDEST_HALF_SHARE
    return ("chance" if is_main and least <= every.low and every.high <= most else "none"), ()


def _bears_out(one: AreaUnderCurve, is_better: bool) -> bool:
    return one.low > NO_BETTER_THAN_CHANCE if is_better else one.high < NO_BETTER_THAN_CHANCE


def needed_more(established: int, failed: int) -> int | None:
    """Return about how many more releases would settle the area; None where nobody can tell.

    Parameters
    ----------
    established, failed
        Releases that are used now.

    Notes
    -----
    At the share seen, half a release added to each side; enough that each outcome is there `FEWEST_OF_EACH`
    times, too. Where all came out the same there is no share to go by.

    Examples
    --------
    >>> needed_more(10, 10), needed_more(100, 100), needed_more(7, 1), needed_more(4, 0)
    (103, 0, 211, None)
    """
    if not (established and failed):
        return None
    share = (established + 0.5) / (established + failed + 1)
    rarer = math.ceil(FEWEST_OF_EACH / min(share, 1 - share))
    return max(0, max(cases_needed(share, WIDEST_HALF_SHARE), rarer) - established - failed)
