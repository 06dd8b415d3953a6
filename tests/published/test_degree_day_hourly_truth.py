"""Degree-days of daily extremes against the integral of hourly temperatures.

pvlib 0.16.1 carries a typical year of hourly weather at Greensboro, North Carolina (pvlib/data/723170TYA.CSV). The
truth is the integral of the temperature, straight between the hours, above the base and with each cutoff. Daily
methods cannot equal it, so the limits say what each is good for. The table of every method's error is printed
(`pytest -s`) and stands in every message.
"""

import sys

import numpy as np
import pytest

from geo_scout.formulas.degree_days.daily import daily_degree_days
from geo_scout.model.heat_model import CUTOFFS, METHODS, HeatModel, MonthDay
from tests.reading_seasons import packaged

CASES = [(7.5, 28.0), (10.0, 25.0)]
SUMS = (100.0, 326.0)
CURVES = tuple(method for method in METHODS if not method.endswith("average"))
# Share of the year's truth. The curves follow a day's shape; an average knows two numbers of it, and at a vertical
# cutoff it has to take or leave whole or half days.
MOST_OFF = {"curve": 0.04, "average": 0.08, "average at a vertical cutoff": 0.15}


@pytest.fixture(scope="module")
def hours():
    path = packaged("pvlib", "pvlib/data/723170TYA.CSV", "1e96f84638ce98e6")
    dry_bulb = np.genfromtxt(path, delimiter=",", skip_header=2, usecols=31, encoding="utf-8")
    assert dry_bulb.shape == (8760,)
    return dry_bulb


def integral(hours, rate):
    """Return the mean of a rate over each day, on a grid of five minutes."""
    ends = np.arange(len(hours) + 1)
    fine = np.interp((np.arange(len(hours) * 12) + 0.5) / 12, ends, np.concatenate([hours[-1:], hours]))
    return rate(fine).reshape(365, -1).mean(axis=1)


def rate_of(base, upper, cutoff):
    def rate(temperature):
        heat = np.maximum(temperature - base, 0.0)
        over = temperature > upper
        if cutoff == "horizontal":
            heat[over] = upper - base
        if cutoff == "vertical":
            heat[over] = 0.0
        if cutoff == "intermediate":
            heat[over] = 2.0 * upper - base - temperature[over]
        return heat

    return rate


@pytest.fixture(scope="module")
def errors(hours):
    """Every method's error: share of the year, and days by which two sums are late."""
    by_day = hours.reshape(365, 24)
    tmin, tmax = by_day.min(axis=1), by_day.max(axis=1)
    found = {}
    for base, upper in CASES:
        for cutoff in CUTOFFS:
            truth = integral(hours, rate_of(base, upper, cutoff))
            for method in METHODS:
                limit = None if cutoff == "none" else upper
                model = HeatModel(base, "degc", method, MonthDay(1, 1), cutoff, limit)
                daily = daily_degree_days(tmin, tmax, model)
                late = [
                    int(np.argmax(daily.cumsum() >= one) - np.argmax(truth.cumsum() >= one)) for one in SUMS
                ]
                found[base, cutoff, method] = (truth.sum(), daily.sum() / truth.sum() - 1.0, late)
    sys.stdout.write(f"\n{report(found)}\n")
    return found


def report(errors):
    lines = [f"{'base cutoff method':<42}truth [degC days]  error  days late at {SUMS[0]:.0f}, {SUMS[1]:.0f}"]
    for (base, cutoff, method), (truth, share, late) in errors.items():
        lines.append(f"{base:<5}{cutoff:<13}{method:<24}{truth:>17.0f}{100 * share:>+7.1f} %  {late}")
    return "\n".join(lines)


def test_each_method_keeps_within_its_limit(errors):
    def limit(cutoff, method):
        if method in CURVES:
            return MOST_OFF["curve"]
        return MOST_OFF["average at a vertical cutoff" if cutoff == "vertical" else "average"]

    table = report(errors)
    assert {
        key: round(share, 4) for key, (_, share, _) in errors.items() if abs(share) > limit(*key[1:])
    } == {}, table


def test_the_sine_reaches_sums_within_two_days(errors):
    late = {key: days for key, (_, _, days) in errors.items() if key[2].endswith("sine")}
    assert [key for key, days in late.items() if max(map(abs, days)) > 2] == [], report(errors)


def test_the_two_averages_err_to_either_side_in_spring(errors):
    """McMaster & Wilhelm 1997: with a cold minimum method 1 counts less than method 2; the truth lies between."""
    for base, _ in CASES:
        _, first, _ = errors[base, "none", "simple_average"]
        _, second, _ = errors[base, "none", "clipped_average"]
        assert first < 0 < second, report(errors)
