"""When an agent can be collected, and when a release site can receive it: the profile's words and sums."""

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from geo_scout.model.heat_model import Cutoff, HeatModel, Method, MonthDay, TemperatureUnit
from geo_scout.model.setting import Sourced, Table, setting, table

HeatSum = Annotated[float, Field(gt=0.0, le=20000.0)]
BaseTemp = Annotated[float, Field(ge=-50.0, le=140.0)]
OUR_LEAD = "our choice: two weeks leave time for a second look"


def _as_list(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


class HeatSums(Table):
    """Heat sums, from the start date, at which things happen."""

    scout: Sourced[HeatSum] | None = setting(
        None, meaning="when to begin looking for signs", unit="degree-days"
    )
    opens: Sourced[HeatSum] | None = setting(
        None, meaning="when the first can be collected", unit="degree-days"
    )
    peaks: Sourced[HeatSum] | None = setting(None, meaning="when half are there", unit="degree-days")
    closes: Sourced[HeatSum] | None = setting(None, meaning="when collecting should end", unit="degree-days")


class HeatWindow(Table):
    """A window by degree-days. A sum means nothing without the base, method and start it was found with."""

    unit: TemperatureUnit = setting(..., meaning="unit of base, upper and the sums", unit="degc or degf")
    base: Sourced[BaseTemp] = setting(..., meaning="temperature above which heat counts", unit="of the table")
    upper: Sourced[BaseTemp] | None = setting(
        None, meaning="temperature above which the cutoff acts", unit="of the table"
    )
    method: Method = setting(..., meaning="how a day's heat is taken from its lowest and highest temperature")
    cutoff: Cutoff = setting(
        "none", meaning="what happens above the upper temperature", source="none without an upper temperature"
    )
    start: str = setting(..., meaning="month and day from which heat is summed", unit="MM-DD")
    sums: HeatSums = table(HeatSums, meaning="heat sums of the window")
    source: str = setting("", meaning="where base, method, start and sums come from")

    def model(self) -> HeatModel:
        """Return base, upper threshold, method, cutoff, unit and start in one."""
        upper = None if self.upper is None else self.upper.value
        start = MonthDay.of_text(self.start)
        return HeatModel(self.base.value, self.unit, self.method, start, self.cutoff, upper)

    def sums_degc_days(self) -> tuple[float | None, ...]:
        """Return the sums of ``window.MOMENTS`` as Celsius degree-days; None for one nobody stated."""
        model = self.model()
        stated = (self.sums.scout, self.sums.opens, self.sums.peaks, self.sums.closes)
        return tuple(None if one is None else float(model.degc_days(one.value)) for one in stated)


class HostStageWindow(Table):
    """A window by what the host, or the agent, looks like. It gives words, no dates."""

    scout: str = setting("", meaning="what is to be seen when scouting begins")
    opens: str = setting("", meaning="what is to be seen when the window opens")
    peaks: str = setting("", meaning="what is to be seen at its peak")
    closes: str = setting("", meaning="what is to be seen when it closes")
    source: str = setting("", meaning="where this comes from")


class CalendarWindow(Table):
    """A window by the calendar at one elevation, later the higher a site lies."""

    scout: str | None = setting(None, meaning="day to begin looking for signs", unit="MM-DD")
    opens: str | None = setting(None, meaning="day the window opens", unit="MM-DD")
    peaks: str | None = setting(None, meaning="day of its peak", unit="MM-DD")
    closes: str | None = setting(None, meaning="day it closes", unit="MM-DD")
    at_elevation_m: float | None = setting(
        None, meaning="elevation the days are meant for", unit="m", least=-500.0, most=9000.0
    )
    days_per_100m: float | None = setting(
        None, meaning="days later for every 100 m higher", unit="days", least=-10.0, most=10.0
    )
    source: str = setting("", meaning="where this comes from")

    def days(self) -> tuple[MonthDay | None, ...]:
        """Return the days of ``window.MOMENTS``; None for one nobody stated."""
        return tuple(
            None if one is None else MonthDay.of_text(one)
            for one in (self.scout, self.opens, self.peaks, self.closes)
        )


class WindowTable(Table):
    """One window: by degree-days, else by the calendar, else by what is to be seen."""

    heat: HeatWindow | None = setting(None, meaning="by degree-days; used where temperatures are known")
    calendar: CalendarWindow | None = setting(None, meaning="by the calendar, shifted by elevation")
    host_stage: HostStageWindow | None = setting(None, meaning="by what the host or the agent looks like")

    @property
    def has_window(self) -> bool:
        """Whether anything is known of it."""
        return not (self.heat is None and self.calendar is None and self.host_stage is None)


class PublishedValue(Table):
    """A published value that makes no window, for whoever builds one or compares."""

    what: str = setting(..., meaning="what was measured")
    value: str = setting(..., meaning="the value with its unit, as published")
    source: str = setting(..., meaning="who published it")


class Timing(Table):
    """When things happen in the year."""

    scout_days_before: int = setting(
        14,
        meaning="days before the opening at which scouting starts, where the window does not say",
        unit="days",
        source=OUR_LEAD,
        least=0,
        most=120,
    )
    collecting: WindowTable = table(WindowTable, meaning="when the agent can be collected at a source")
    receptive: WindowTable = table(WindowTable, meaning="when a release site can receive it")
    published: Annotated[list[PublishedValue], BeforeValidator(_as_list)] = table(
        list, meaning="published values that make no window; they are listed and change nothing"
    )
    critical_daylength_hours: Sourced[Annotated[float, Field(gt=0.0, lt=24.0)]] | None = setting(
        None, meaning="daylength below which the agent goes into rest; makes a caution only", unit="hours"
    )

    @property
    def has_heat(self) -> bool:
        """Whether any window follows the heat."""
        return self.collecting.heat is not None or self.receptive.heat is not None
