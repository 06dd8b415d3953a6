"""The named climate quantities a published limit can be about, and what each can be computed from."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

Origin = Literal["monthly normals", "monthly normals and a stated base", "daily data or a layer of its own"]


class ClimateQuantity(StrEnum):
    """What a limit is about; a value of one of these says nothing about another."""

    ANNUAL_EXTREME_MIN = "annual_extreme_min_degc"
    ANNUAL_EXTREME_MAX = "annual_extreme_max_degc"
    MEAN_COLDEST_MONTH_MIN = "mean_coldest_month_min_degc"
    MEAN_WARMEST_MONTH_MAX = "mean_warmest_month_max_degc"
    ANNUAL_MEAN = "annual_mean_degc"
    ANNUAL_PRECIPITATION = "annual_precipitation_mm"
    HEAT_SUM = "heat_sum_degree_days"

    @property
    def unit(self) -> str:
        """Return its unit as it is printed."""
        if self is ClimateQuantity.HEAT_SUM:
            return "degree-days"
        return "mm" if self is ClimateQuantity.ANNUAL_PRECIPITATION else "degC"

    @property
    def origin(self) -> Origin:
        """Return the least it can be computed from; means of months never give an extreme of days."""
        if self is ClimateQuantity.HEAT_SUM:
            return "monthly normals and a stated base"
        extremes = (ClimateQuantity.ANNUAL_EXTREME_MIN, ClimateQuantity.ANNUAL_EXTREME_MAX)
        return "daily data or a layer of its own" if self in extremes else "monthly normals"

    @property
    def meaning(self) -> str:
        """Return what it is, as the table of limits prints it."""
        return _MEANINGS[self][0]

    @property
    def data(self) -> str:
        """Return what a season must hold for it to be checked, as the table of limits prints it."""
        return _MEANINGS[self][1]


_YEARLY = "`extremes`, or `weather` with ten years within 50 km"
_MEANINGS: dict[ClimateQuantity, tuple[str, str]] = {
    ClimateQuantity.ANNUAL_EXTREME_MIN: ("the coldest night of the year", _YEARLY),
    ClimateQuantity.ANNUAL_EXTREME_MAX: ("the hottest day of the year", _YEARLY),
    ClimateQuantity.MEAN_COLDEST_MONTH_MIN: (
        "mean daily minimum of the coldest month (bio06); not the coldest night",
        "`tmin`, `bioclim` or `station_normals`",
    ),
    ClimateQuantity.MEAN_WARMEST_MONTH_MAX: (
        "mean daily maximum of the warmest month (bio05); not the hottest day",
        "`tmax`, `bioclim` or `station_normals`",
    ),
    ClimateQuantity.ANNUAL_MEAN: (
        "annual mean temperature (bio01)",
        "`tmin` and `tmax`, `bioclim` or `station_normals`",
    ),
    ClimateQuantity.ANNUAL_PRECIPITATION: (
        "annual precipitation (bio12)",
        "`precipitation`, `bioclim` or `station_normals`",
    ),
    ClimateQuantity.HEAT_SUM: (
        "heat of a whole year by the profile's own heat window, `[timing.collecting.heat]`: its base, upper, "
        "method and cutoff; in Celsius degree-days whatever the unit of the window",
        "daily or monthly temperatures: `weather`, `station_normals`, or `tmin` and `tmax`",
    ),
}


@dataclass(frozen=True, slots=True)
class NamedQuantity:
    """A quantity with what makes two values of it comparable.

    Parameters
    ----------
    quantity
        Its name.
    basis
        For a heat sum: base temperature, upper threshold, method and start date in one phrase. Sums of
        another basis are another quantity. Empty for all others.
    """

    quantity: ClimateQuantity
    basis: str = ""

    def __post_init__(self) -> None:
        """Refuse a heat sum without its basis, and a basis where none belongs."""
        if bool(self.basis) != (self.quantity is ClimateQuantity.HEAT_SUM):
            message = f"{self.quantity} with basis {self.basis!r}: a heat sum has a basis, others have none"
            raise ValueError(message)
