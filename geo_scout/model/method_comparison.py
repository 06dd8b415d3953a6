"""What the order of the ranked sites would be by every method."""

from dataclasses import dataclass

import pandas as pd

from geo_scout.model.combination import Method, method_words


@dataclass(frozen=True)
class MethodOrder:
    """The order that one method gives the ranked sites.

    Parameters
    ----------
    method, attitude
        How values are combined; the attitude of an ordered average [0-1].
    is_own
        Whether the season ranks by it.
    tau_b
        Kendall's rank correlation with the season's own scores, equal scores counted as ties; 1 where the
        orders agree wholly, -1 where one is the other upside down, nan where either is all ties [-1 to 1].
    enters, leaves
        Sites that would come into, or drop out of, the first ``top_n``, by rank under this method and by
        the season's own.
    """

    method: Method
    attitude: float | None
    is_own: bool
    tau_b: float
    enters: tuple[str, ...]
    leaves: tuple[str, ...]

    @property
    def column(self) -> str:
        """Name of its column of ranks."""
        at = "" if self.attitude is None else f"_{self.attitude:g}".replace(".", "_")
        return f"{self.method}{at}_rank"

    @property
    def level_column(self) -> str:
        """Name of the column that tells how many other sites have the very score of each by it."""
        return self.column.removesuffix("_rank") + "_level"

    @property
    def words(self) -> str:
        """The method with its attitude in words."""
        return method_words(self.method, self.attitude)


@dataclass(frozen=True)
class MethodComparison:
    """Ranks of the ranked sites by every method.

    Parameters
    ----------
    top_n
        How many sites the season shows first.
    orders
        One for each method, the season's own first.
    ranks
        One row per ranked site, in the season's order: ``site_id``, the rank by each method under the name
        of its column, ``best_rank``, ``worst_rank`` and ``rank_span`` [ranks], and by each how many others
        have the very same score, among which ids alone decide.

    Notes
    -----
    All methods order the same sites, those that the season ranks; who is left out for spacing is as by the
    season's own method.
    """

    top_n: int
    orders: tuple[MethodOrder, ...]
    ranks: pd.DataFrame

    @property
    def others(self) -> tuple[MethodOrder, ...]:
        """The methods that the season does not rank by."""
        return tuple(order for order in self.orders if not order.is_own)
