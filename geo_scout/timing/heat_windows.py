"""Windows by heat at every place: the best temperatures there are decide, and the answer says which."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.degree_days.heat_years import dates_of
from geo_scout.formulas.degree_days.year_quantiles import FEWEST_YEARS
from geo_scout.model.site_windows import Dates, FloatArray, Temperatures, Texts
from geo_scout.model.timing import HeatWindow
from geo_scout.timing.heat_routes import (
    HeatDays,
    HeatQuestion,
    days_from,
    days_of_normals,
    days_over_years,
    heat_of_record,
    usual_heat,
)
from geo_scout.timing.stations import StationRecord, nearest_station, record_of

# A station's record of thirty years is 90 kB for each place; so many at once stay below 100 MB.
_PLACES_AT_ONCE = 256
_SHIFTS_DEGC = (0.0, -1.0, 1.0)
LATE_BIASED = "late-biased: normals only"
_FAR_STATION_KM = 50.0


@dataclass(frozen=True)
class HeatWindows:
    """Windows by heat at n places.

    Parameters
    ----------
    dates
        (4, n).
    known
        (4, n) False where nobody knows.
    early, late
        (n,).
    cool_shift_days, warm_shift_days
        (n,) [days].
    basis, note
        (n,).
    """

    dates: Dates
    known: NDArray[np.bool_]
    early: Dates
    late: Dates
    cool_shift_days: FloatArray
    warm_shift_days: FloatArray
    basis: Texts
    note: Texts


def heat_windows(
    window: HeatWindow, temperatures: Temperatures, reference: dt.date, scout_days_before: int
) -> HeatWindows:
    """Return the windows of one heat model at every place.

    Parameters
    ----------
    window
        The profile's model and sums.
    temperatures
        What is known at the places.
    reference
        A day within the season: its heat year is the one that is asked about.
    scout_days_before
        Days before the opening at which scouting starts, where no sum says so [days].

    Notes
    -----
    Where the record of the nearest station reaches into the heat year, its days are used up to the last one
    and normal heat after it. Else ten or more years of daily weather give the middle year, with early and
    late openings. Else monthly normals are used; without the spread of days within a month those come late,
    and the basis says so.
    """
    model = window.model()
    start = model.start.on(reference.year)
    start = start if start <= reference else model.start.on(reference.year - 1)
    sums = np.array([np.nan if one is None else one for one in window.sums_degc_days()])
    question = HeatQuestion(model, sums, start)
    parts: list[tuple[NDArray[np.intp], list[HeatDays], str]] = []
    for places, record, far_km in _groups(temperatures):
        for first in range(0, len(places), _PLACES_AT_ONCE):
            block = places[first : first + _PLACES_AT_ONCE]
            shifted, basis = _best_route(question, temperatures, block, record)
            parts.append((block, shifted, basis + far_km))
    return _gather(question, len(temperatures), parts, scout_days_before)


def yearly_heat(window: HeatWindow, temperatures: Temperatures, reference: dt.date) -> FloatArray:
    """Return the heat of a whole year at every place, in Celsius degree-days.

    The mean of ten or more whole years at the nearest station, else that of the normals; nan where neither
    is known.
    """
    model = window.model()
    question = HeatQuestion(model, np.full(4, np.nan), model.start.on(reference.year))
    total = np.full(len(temperatures), np.nan)
    for places, record, _ in _groups(temperatures):
        for first in range(0, len(places), _PLACES_AT_ONCE):
            block = places[first : first + _PLACES_AT_ONCE]
            tmin, tmax = temperatures.tmin_degc[:, block], temperatures.tmax_degc[:, block]
            heat = days_of_normals(question, tmin, tmax, temperatures.spread_degc, 0.0)
            if record is not None:
                low, high = record.at(
                    temperatures.elevation_m[block],
                    temperatures.tmin_degc_per_km,
                    temperatures.tmax_degc_per_km,
                )
                usual = usual_heat(
                    question, record.first_day, heat_of_record(question, record.first_day, low, high)[0]
                )
                heat = np.where(np.isnan(usual).any(axis=0), heat, usual)
            total[block] = heat.sum(axis=0)
    return total


def _groups(
    temperatures: Temperatures,
) -> Sequence[tuple[NDArray[np.intp], StationRecord | None, str]]:
    """Return the places of each station with its record; all places where there is no weather."""
    everywhere = np.arange(len(temperatures), dtype=np.intp)
    if temperatures.weather is None:
        return [(everywhere, None, "")]
    row, far_km = nearest_station(temperatures)
    groups = []
    for number, name in enumerate(temperatures.weather.stations.index):
        places = everywhere[row == number]
        if not len(places):
            continue
        farthest = np.nanmax(far_km[places], initial=0.0)
        said = f"; up to {farthest:.0f} km away" if farthest > _FAR_STATION_KM else ""
        groups.append((places, record_of(temperatures.weather, str(name)), said))
    return groups


def _best_route(
    question: HeatQuestion,
    temperatures: Temperatures,
    places: NDArray[np.intp],
    record: StationRecord | None,
) -> tuple[list[HeatDays], str]:
    """Return the days as they are, 1 degC cool and 1 degC warm, and what they rest on."""
    tmin, tmax = temperatures.tmin_degc[:, places], temperatures.tmax_degc[:, places]
    has_normals = bool(np.isfinite(tmin).all(axis=0).any() and np.isfinite(tmax).all(axis=0).any())
    spread, corrected = temperatures.spread_degc, ""
    if temperatures.spread_degc is not None:
        corrected = f", corrected for the spread of days ({temperatures.spread_basis})"
    normals = f"{temperatures.normals_basis}{corrected or f' ({LATE_BIASED})'}"
    if record is None:
        return [
            days_from(question, days_of_normals(question, tmin, tmax, spread, shift), None)
            for shift in _SHIFTS_DEGC
        ], normals if has_normals else ""
    low, high = record.at(
        temperatures.elevation_m[places], temperatures.tmin_degc_per_km, temperatures.tmax_degc_per_km
    )
    answers, basis = [], ""
    for shift in _SHIFTS_DEGC:
        before, seen = heat_of_record(question, record.first_day, low + shift, high + shift)
        over_years = days_over_years(question, record.first_day, before)
        if seen is None and over_years.years >= FEWEST_YEARS:
            answers.append(over_years)
            basis = f"{over_years.years} years of daily weather at {record.name}, {record.years}"
            continue
        usual = usual_heat(question, record.first_day, before)
        by_record = bool(np.isfinite(usual).any())
        if not by_record:
            usual = days_of_normals(question, tmin, tmax, spread, shift)
        days = days_from(question, usual, seen)
        answers.append(HeatDays(days.day, days.known, over_years.early, over_years.late, over_years.years))
        after = f"the usual heat of {record.years}" if by_record else normals if has_normals else ""
        basis = _mixed(record, seen is not None, after)
    return answers, basis


def _mixed(record: StationRecord, is_seen: bool, after: str) -> str:
    if not is_seen:
        return after
    until = f"daily weather at {record.name} to {record.last_day}"
    return f"{until}, then {after}" if after else f"{until}, nothing after it"


def _gather(
    question: HeatQuestion,
    count: int,
    parts: Sequence[tuple[NDArray[np.intp], list[HeatDays], str]],
    scout_days_before: int,
) -> HeatWindows:
    day, known = np.full((4, count), np.nan), np.zeros((4, count), dtype=np.bool_)
    early, late = np.full(count, np.nan), np.full(count, np.nan)
    shifts = np.full((2, count), np.nan)
    basis = np.full(count, "", dtype=object)
    for places, (as_is, cool, warm), said in parts:
        day[:, places], known[:, places] = as_is.day, as_is.known
        early[places], late[places] = as_is.early, as_is.late
        # An opening that comes only in the warmer or the cooler case has no shift in days.
        shifts[0, places] = cool.day[1] - as_is.day[1]
        shifts[1, places] = warm.day[1] - as_is.day[1]
        basis[places] = said
    if np.isnan(question.sums_degc_days[0]):
        day[0], known[0] = day[1] - scout_days_before, known[1]
    return HeatWindows(
        dates=dates_of(day, question.start),
        known=known,
        early=dates_of(early, question.start),
        late=dates_of(late, question.start),
        cool_shift_days=shifts[0],
        warm_shift_days=shifts[1],
        basis=basis,
        note=_notes(question, day, known),
    )


def _notes(question: HeatQuestion, day: FloatArray, known: NDArray[np.bool_]) -> Texts:
    """Return what does not come at each place, with the sum it would take."""
    own = question.model.own_degree_days(question.sums_degc_days)
    unit = "degC" if question.model.unit == "degc" else "degF"
    notes = np.full(day.shape[1], "", dtype=object)
    for row, word in ((1, "open"), (2, "peak"), (3, "close")):
        never = known[row] & np.isnan(day[row])
        if row > 1:
            # What does not open has no peak and no closing either; once is enough.
            never &= ~np.isnan(day[1]) | np.isnan(own[1])
        what = f"does not {word}: {own[row]:g} degree-days ({unit}) are not reached"
        notes[never] = [f"{one}; {what}" if one else what for one in notes[never]]
    return notes
