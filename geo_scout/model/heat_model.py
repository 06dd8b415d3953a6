"""A heat model: base, upper threshold, method, cutoff, unit and start date, which mean nothing apart."""

import datetime as dt
import math
from dataclasses import dataclass
from typing import Literal, Self, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

Method = Literal[
    "simple_average", "clipped_average", "single_sine", "double_sine", "single_triangle", "double_triangle"
]
Cutoff = Literal["none", "horizontal", "vertical", "intermediate"]
TemperatureUnit = Literal["degc", "degf"]

METHODS: tuple[Method, ...] = get_args(Method)
CUTOFFS: tuple[Cutoff, ...] = get_args(Cutoff)
TEMPERATURE_UNITS: tuple[TemperatureUnit, ...] = get_args(TemperatureUnit)

_COMMON_YEAR, _LEAP_YEAR = 2001, 2000


@dataclass(frozen=True, order=True)
class MonthDay:
    """A day of any year.

    Parameters
    ----------
    month
        1 to 12.
    day
        1 to 31; 29 February is taken as 1 March in years that do not have it.

    Examples
    --------
    >>> MonthDay(3, 1).on(2027)
    datetime.date(2027, 3, 1)
    >>> MonthDay.of_day_of_year(60), MonthDay(2, 29).on(2027)
    (MonthDay(month=3, day=1), datetime.date(2027, 3, 1))
    >>> MonthDay.of_text("07-15"), MonthDay(2, 29).until(2027)
    (MonthDay(month=7, day=15), datetime.date(2027, 2, 28))
    """

    month: int
    day: int

    def __post_init__(self) -> None:
        """Refuse a day that no year has."""
        dt.date(_LEAP_YEAR, self.month, self.day)

    @classmethod
    def of_day_of_year(cls, day_of_year: int) -> Self:
        """Return the day with this number, 1 to 365, in a year without 29 February."""
        if not 1 <= day_of_year <= 365:
            message = f"day of year {day_of_year} is not within 1 to 365"
            raise ValueError(message)
        date = dt.date(_COMMON_YEAR, 1, 1) + dt.timedelta(days=day_of_year - 1)
        return cls(date.month, date.day)

    @classmethod
    def of_text(cls, text: str) -> Self:
        """Return the day written as month and day, ``MM-DD``."""
        month, day = text.split("-")
        return cls(int(month), int(day))

    @property
    def number(self) -> int:
        """Month x 100 + day."""
        return self.month * 100 + self.day

    def on(self, year: int) -> dt.date:
        """Return the date of this day in a year."""
        is_missing = (self.month, self.day) == (2, 29) and dt.date(year, 3, 1).timetuple().tm_yday == 60
        return dt.date(year, 3, 1) if is_missing else dt.date(year, self.month, self.day)

    def until(self, year: int) -> dt.date:
        """Return the date on which a span that ends on this day ends: 28 February where there is no 29th."""
        date = self.on(year)
        return date if date.day == self.day else date - dt.timedelta(days=1)


@dataclass(frozen=True)
class HeatModel:
    """How degree-days are counted; a published heat sum holds only with all of this together.

    Parameters
    ----------
    base
        Lower threshold of development [`unit`].
    unit
        ``degc`` or ``degf``: unit of `base` and `upper`, and of the degree-days published with them.
    method
        ``simple_average``: the mean of the day's extremes, then compared with the thresholds (McMaster &
        Wilhelm 1997, method 1); ``clipped_average``: each extreme compared with the thresholds, then averaged
        (their method 2); ``single_sine``, ``double_sine``, ``single_triangle``, ``double_triangle``: the day,
        or each half of it, as a curve between the extremes.
    start
        Day from which heat is counted.
    cutoff
        What heat above `upper` does: ``none`` (nothing special), ``horizontal`` (development goes on at the
        rate of `upper`), ``intermediate`` (the rate falls as fast as it rose), ``vertical`` (it stops).
    upper
        Upper threshold; needed by every cutoff but ``none`` [`unit`].

    Raises
    ------
    ValueError
        For an unknown name, a threshold that is not a number, an upper threshold not above the base, or an
        upper threshold without a cutoff and the reverse.

    Examples
    --------
    >>> beetle = HeatModel(51.8, "degf", "single_sine", MonthDay(3, 1))
    >>> round(beetle.base_degc, 6), round(float(beetle.degc_days(360.0)), 6)
    (11.0, 200.0)
    """

    base: float
    unit: TemperatureUnit
    method: Method
    start: MonthDay
    cutoff: Cutoff = "none"
    upper: float | None = None

    def __post_init__(self) -> None:
        """Refuse a model that contradicts itself."""
        for name, allowed in (
            ("method", METHODS), ("cutoff", CUTOFFS), ("unit", TEMPERATURE_UNITS)
        ):  # fmt: skip
            if getattr(self, name) not in allowed:
                message = f"{name} is {getattr(self, name)!r}; it must be one of {', '.join(allowed)}"
                raise ValueError(message)
        if not math.isfinite(self.base):
            message = f"base is {self.base}; it must be a number"
            raise ValueError(message)
        if (self.upper is None) != (self.cutoff == "none"):
            message = f"upper is {self.upper} and cutoff is {self.cutoff!r}; give both or neither"
            raise ValueError(message)
        if self.upper is not None and not (math.isfinite(self.upper) and self.upper > self.base):
            message = f"upper is {self.upper}; it must be above the base, {self.base}"
            raise ValueError(message)

    @property
    def base_degc(self) -> float:
        """Lower threshold [degC]."""
        return _degc(self.base, self.unit)

    @property
    def upper_degc(self) -> float | None:
        """Upper threshold, None where there is none [degC]."""
        return None if self.upper is None else _degc(self.upper, self.unit)

    def degc_days(self, degree_days: ArrayLike) -> NDArray[np.float64]:
        """Return degree-days of this model's own unit as Celsius degree-days [degC days]."""
        own = np.asarray(degree_days, dtype=np.float64)
        return own if self.unit == "degc" else np.asarray(own / 1.8)

    def own_degree_days(self, degc_days: ArrayLike) -> NDArray[np.float64]:
        """Return Celsius degree-days as degree-days of this model's own unit [unit days]."""
        celsius = np.asarray(degc_days, dtype=np.float64)
        return celsius if self.unit == "degc" else np.asarray(celsius * 1.8)


def _degc(temperature: float, unit: TemperatureUnit) -> float:
    return temperature if unit == "degc" else (temperature - 32.0) / 1.8
