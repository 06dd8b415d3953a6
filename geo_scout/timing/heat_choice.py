"""Which temperatures decide at a place: the first route that gives a date, or says that none comes."""

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.degree_days.heat_years import heat_years
from geo_scout.formulas.degree_days.year_quantiles import FEWEST_YEARS
from geo_scout.model.site_windows import FloatArray, Temperatures, Texts
from geo_scout.model.window import MOMENTS
from geo_scout.timing.heat_routes import (
    HeatDays,
    HeatQuestion,
    RecordHeat,
    days_from,
    days_of_normals,
    days_over_years,
    heat_of_record,
    nothing_known,
)
from geo_scout.timing.stations import StationRecord

LATE_BIASED = "late-biased: normals only"
T = TypeVar("T")
_OPENS = MOMENTS.index("opens")
_COOL_DEGC, _WARM_DEGC = -1.0, 1.0


@dataclass(frozen=True)
class Answer:
    """The days at some places, and what they rest on.

    Parameters
    ----------
    days
        As things are.
    cool_opens, warm_opens
        (n,) opening if it runs 1 degC cool or warm; nan where it does not come or nobody knows [days].
    basis, note
        (n,) what the days rest on, and what a reader must know besides.
    """

    days: HeatDays
    cool_opens: FloatArray
    warm_opens: FloatArray
    basis: Texts
    note: Texts

    def of(self, places: NDArray[np.intp]) -> "Answer":
        """Return the answer for places that are each like one of these, (k,) which one."""
        days = self.days
        return Answer(
            HeatDays(
                days.day[:, places],
                days.known[:, places],
                days.early[places],
                days.late[places],
                days.years[places],
            ),
            self.cool_opens[places],
            self.warm_opens[places],
            self.basis[places],
            self.note[places],
        )


@dataclass(frozen=True)
class Route:
    """One way to the days.

    Parameters
    ----------
    at
        Days if all temperatures that nobody has seen yet are so much higher [degC].
    basis
        What it rests on, given how many years do.
    note
        What a reader must know besides.
    is_for_gaps
        Whether the note matters only where some date is not known.
    """

    at: Callable[[float], HeatDays]
    basis: Callable[[int], str]
    note: str = ""
    is_for_gaps: bool = False


def best_answer(
    question: HeatQuestion,
    temperatures: Temperatures,
    places: NDArray[np.intp],
    record: StationRecord | None,
) -> Answer:
    """Return the days at some places by the first route that knows any of them.

    Parameters
    ----------
    question
        Model, sums and heat year.
    temperatures
        What is known.
    places
        (n,) the places, all with the same station.
    record
        Its daily weather, None where there is none.

    Notes
    -----
    Where the record of the station reaches into the heat year, its days are used up to the last one, and
    after it those of ten or more other years, one after the other; the middle answer is given. Without a day
    of the season ten or more years decide by themselves. Else monthly normals are used; without the spread
    of days within a month those come late, and the basis says so. Where there are no normals either, fewer
    than ten years must do. A season with a gap before its dates counts as not seen.
    """
    days, count = nothing_known(len(places)), len(places)
    cool, warm = np.full(count, np.nan), np.full(count, np.nan)
    basis, note = np.full(count, "", dtype=object), np.full(count, "", dtype=object)
    is_open = np.ones(count, dtype=np.bool_)
    stated = np.isfinite(question.sums_degc_days)
    for route in _routes(question, temperatures, places, record):
        found = route.at(0.0)
        here = is_open & found.known.any(axis=0)
        if here.any():
            _take(days, found, here)
            cool[here] = route.at(_COOL_DEGC).day[_OPENS, here]
            warm[here] = route.at(_WARM_DEGC).day[_OPENS, here]
            basis[here] = [route.basis(int(years)) for years in found.years[here]]
            note[here & ~(found.known[stated].all(axis=0) & route.is_for_gaps)] = route.note
            is_open &= ~here
        if not is_open.any():
            break
    note[is_open] = _why_nothing(question, record)
    return Answer(days, cool, warm, basis, note)


def _take(days: HeatDays, found: HeatDays, here: NDArray[np.bool_]) -> None:
    days.day[:, here], days.known[:, here] = found.day[:, here], found.known[:, here]
    days.early[here], days.late[here] = found.early[here], found.late[here]
    days.years[here] = found.years[here]


def _routes(
    question: HeatQuestion,
    temperatures: Temperatures,
    places: NDArray[np.intp],
    record: StationRecord | None,
) -> Iterator[Route]:
    """Yield the ways there are, best first."""
    tmin, tmax = temperatures.tmin_degc[:, places], temperatures.tmax_degc[:, places]
    has_normals = bool((np.isfinite(tmin) & np.isfinite(tmax)).all(axis=0).any())
    normals = _normals_words(temperatures)

    def by_normals(seen: FloatArray) -> Callable[[float], HeatDays]:
        def at(shift_degc: float) -> HeatDays:
            heat = days_of_normals(question, tmin, tmax, temperatures.spread_degc, shift_degc)
            return days_from(question, heat, seen)

        return at

    if record is None:
        if has_normals:
            yield Route(by_normals(np.empty((0, len(places)))), _always(normals))
        return
    low, high = record.at_places(temperatures, places)
    heat = heat_of_record(question, record.first_day, low, high)

    def by_years(seen: FloatArray) -> Callable[[float], HeatDays]:
        def at(shift_degc: float) -> HeatDays:
            shifted = low + shift_degc, high + shift_degc
            other = heat_of_record(question, record.first_day, *shifted) if shift_degc else heat
            return days_over_years(question, RecordHeat(record.first_day, other.before, seen))

        return at

    years, place = _years_known(question, heat), record.place(temperatures, places)
    too_few = _too_few(years, record.name)
    for is_seen, note in _seasons(question, record, heat):
        seen = heat.seen if is_seen else heat.seen[:0]
        until = f"daily weather at {place} to {record.last_day}, " if is_seen else ""
        over_years = Route(by_years(seen), _years_words(place, record.years, until), note, is_seen)
        if years >= FEWEST_YEARS:
            yield over_years
        if has_normals:
            then = f"{until}then {normals}{too_few}" if until else f"{normals}{too_few}"
            yield Route(by_normals(seen), _always(then), note, is_seen)
        if 0 < years < FEWEST_YEARS:
            yield over_years
        if is_seen:
            nothing = np.full((question.days_in_year, len(places)), np.nan)
            only_seen = days_from(question, nothing, seen)
            yield Route(_always(only_seen), _always(f"{until}nothing after it"), note, is_seen)


def _always(answer: T) -> Callable[[float], T]:
    return lambda _: answer


def has_many_years(
    question: HeatQuestion, temperatures: Temperatures, place: NDArray[np.intp], record: StationRecord
) -> bool:
    """Return whether ten or more years of a record know the dates at a place, (1,), so that they decide."""
    heat = heat_of_record(question, record.first_day, *record.at_places(temperatures, place))
    return _years_known(question, heat) >= FEWEST_YEARS


def _years_known(question: HeatQuestion, heat: RecordHeat) -> int:
    """Return how many years of a record know the dates, by the first of its places."""
    first = RecordHeat(heat.first_day, heat.before[:, :1], heat.seen[:0, :1])
    return int(days_over_years(question, first).years.max(initial=0))


def _seasons(question: HeatQuestion, record: StationRecord, heat: RecordHeat) -> Iterator[tuple[bool, str]]:
    """Yield whether to use the days of this season, with what must be said of it; last without them."""
    if len(heat.seen):
        missing = np.isnan(heat.seen[:, 0])
        if not missing.any():
            yield True, ""
            return
        first = question.start + dt.timedelta(days=int(missing.argmax()))
        what = f"{record.name} has no temperatures on {first}"
        yield True, f"{what}, so later dates are not known"
        yield False, f"{what}, so this season's weather is not used"
    elif question.start < record.first_day < question.after:
        what = f"the weather of {record.name} begins on {record.first_day}, after heat begins to count on"
        yield False, f"{what} {question.start}, and is not used"
    else:
        yield False, ""


def _normals_words(temperatures: Temperatures) -> str:
    if temperatures.spread_degc is None:
        return f"{temperatures.normals_basis} ({LATE_BIASED})"
    return f"{temperatures.normals_basis}, corrected for the spread of days ({temperatures.spread_basis})"


def _years_words(place: str, span: str, until: str) -> Callable[[int], str]:
    def words(years: int) -> str:
        few = "" if years >= FEWEST_YEARS else "only "
        if until and years == 1:
            return f"{until}then as in the only earlier year"
        if until:
            return f"{until}then the middle of {few}{years} earlier years"
        plural = "" if years == 1 else "s"
        whole = "whole " if few else ""
        return f"{few}{years} {whole}year{plural} of daily weather at {place}, {span}"

    return words


def _too_few(years: int, station: str) -> str:
    """Return why normals stand before a station's own years, where it has some."""
    if not 0 < years < FEWEST_YEARS:
        return ""
    number = f"{years} whole year{'' if years == 1 else 's'}"
    return f"; the {number} of daily weather at {station} are fewer than {FEWEST_YEARS} and do not decide"


def _why_nothing(question: HeatQuestion, record: StationRecord | None) -> str:
    if record is None:
        return "no temperatures for the heat sums here"
    start = question.model.start
    whose = f"the weather of {record.name}, {record.first_day} to {record.last_day},"
    if heat_years(record.first_day, len(record.tmin_degc), start):
        return f"{whose} has a gap or ends before a heat sum is reached"
    return f"{whose} does not hold the day from which heat counts, {start.month:02}-{start.day:02}"
