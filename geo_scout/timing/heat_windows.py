"""Windows by heat at every place: the best temperatures there are decide, and the answer says which."""

import datetime as dt
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from geo_scout.formulas.degree_days.heat_years import dates_of
from geo_scout.model.site_windows import Dates, FloatArray, Temperatures, Texts
from geo_scout.model.timing import HeatWindow
from geo_scout.model.window import MOMENTS
from geo_scout.timing.heat_choice import Answer, best_answer, has_many_years
from geo_scout.timing.heat_routes import HeatQuestion
from geo_scout.timing.season_days import is_over
from geo_scout.timing.stations import PLACES_AT_ONCE, StationRecord, station_groups
from geo_scout.timing.texts import joined

_FAR_STATION_KM = 50.0
_SCOUT, _OPENS = MOMENTS.index("scout"), MOMENTS.index("opens")


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
    years
        (n,) years of daily weather the dates rest on; 0 for normals.
    heat_from
        Day from which heat counts.
    """

    dates: Dates
    known: NDArray[np.bool_]
    early: Dates
    late: Dates
    cool_shift_days: FloatArray
    warm_shift_days: FloatArray
    basis: Texts
    note: Texts
    years: NDArray[np.int64]
    heat_from: dt.date


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
        The day it is, or the first of the season: the heat year it lies in is asked about, or the next one
        where every date is long past by then.
    scout_days_before
        Days before the opening at which scouting starts, where no sum says so [days].
    """
    model = window.model()
    start = model.start.on(reference.year)
    start = start if start <= reference else model.start.on(reference.year - 1)
    sums = np.array([np.nan if one is None else one for one in window.sums_degc_days()])
    question = HeatQuestion(model, sums, start)
    found = _windows_of_year(question, temperatures, scout_days_before)
    if is_over(found.dates, reference):
        found = _windows_of_year(replace(question, start=question.after), temperatures, scout_days_before)
    return found


def _windows_of_year(
    question: HeatQuestion, temperatures: Temperatures, scout_days_before: int
) -> HeatWindows:
    parts: list[tuple[NDArray[np.intp], Answer]] = []
    far_km = np.full(len(temperatures), np.nan)
    for places, record, of_places_km in station_groups(temperatures):
        far_km[places] = of_places_km
        alike, which = _alike(question, temperatures, places, record)
        for first in range(0, len(alike), PLACES_AT_ONCE):
            block = alike[first : first + PLACES_AT_ONCE]
            answer = best_answer(question, temperatures, block, record)
            here = (which >= first) & (which < first + len(block))
            parts.append((places[here], answer.of(which[here] - first)))
    return _gather(question, far_km, parts, scout_days_before)


def _alike(
    question: HeatQuestion,
    temperatures: Temperatures,
    places: NDArray[np.intp],
    record: StationRecord | None,
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return one place of each kind that has the same answer, and of which kind each place is.

    Places as much higher than their station share its weather, so that a whole county needs no more answers
    than it has metres of relief. Normals of their own keep places apart, unless ten years decide.
    """
    key = [np.zeros(len(places)) if record is None else record.higher_m(temperatures.elevation_m[places])]
    if record is None or not has_many_years(question, temperatures, places[:1], record):
        key += [temperatures.tmin_degc[:, places], temperatures.tmax_degc[:, places]]
    _, first, which = np.unique(
        np.nan_to_num(np.vstack(key), nan=-1e9).T, axis=0, return_index=True, return_inverse=True
    )
    return places[first], which.reshape(-1).astype(np.intp)


def _gather(
    question: HeatQuestion,
    far_km: FloatArray,
    parts: list[tuple[NDArray[np.intp], Answer]],
    scout_days_before: int,
) -> HeatWindows:
    count = len(far_km)
    day, known = np.full((4, count), np.nan), np.zeros((4, count), dtype=np.bool_)
    early, late, cool, warm = (np.full(count, np.nan) for _ in range(4))
    basis, note = np.full(count, "", dtype=object), np.full(count, "", dtype=object)
    years = np.zeros(count, dtype=np.int64)
    for places, answer in parts:
        years[places] = answer.days.years
        day[:, places], known[:, places] = answer.days.day, answer.days.known
        early[places], late[places] = answer.days.early, answer.days.late
        # An opening that comes only in the warmer or the cooler case has no shift in days.
        cool[places] = answer.cool_opens - answer.days.day[_OPENS]
        warm[places] = answer.warm_opens - answer.days.day[_OPENS]
        basis[places], note[places] = answer.basis, answer.note
    if np.isnan(question.sums_degc_days[_SCOUT]):
        day[_SCOUT], known[_SCOUT] = day[_OPENS] - scout_days_before, known[_OPENS]
    far = np.full(count, "", dtype=object)
    is_far = (far_km > _FAR_STATION_KM) & (basis != "")
    far[is_far] = [f"the station is {km:.0f} km away" for km in far_km[is_far]]
    return HeatWindows(
        dates=dates_of(day, question.start),
        known=known,
        early=dates_of(early, question.start),
        late=dates_of(late, question.start),
        cool_shift_days=cool,
        warm_shift_days=warm,
        basis=basis,
        note=joined(_never(question, day, known), note, far),
        years=years,
        heat_from=question.start,
    )


def _never(question: HeatQuestion, day: FloatArray, known: NDArray[np.bool_]) -> Texts:
    """Return what does not come at each place, with the sum it would take."""
    own = question.model.own_degree_days(question.sums_degc_days)
    unit = "degC" if question.model.unit == "degc" else "degF"
    notes = np.full(day.shape[1], "", dtype=object)
    for row, word in ((1, "open"), (2, "peak"), (3, "close")):
        never = known[row] & np.isnan(day[row])
        if row > _OPENS:
            # What does not open has no peak and no closing either; once is enough.
            never &= ~np.isnan(day[_OPENS]) | np.isnan(own[_OPENS])
        what = f"does not {word}: {own[row]:g} degree-days ({unit}) are not reached"
        notes[never] = [f"{one}; {what}" if one else what for one in notes[never]]
    return notes
