"""Freeze bioclimatic variables of xclim, an independent program, for test_bioclim_xclim.py.

Run in an environment of its own, since xclim is no dependency of the project, not even of its tests:

    python -m venv elsewhere && elsewhere/bin/pip install xclim==0.62.0 aquacrop==3.1.0
    elsewhere/bin/python tests/published/freeze_xclim_bioclim.py

Input are monthly normals of three daily series that the package aquacrop (MIT) carries: Champion
(Nebraska, 1982-2018), Cordoba (1991-2021, southern hemisphere by its seasons) and Tunis (1979-2002). They
are rounded to two decimals and frozen beside the results, so that the test needs neither package.

xclim takes quarters as three months that end in the year asked for. The same year is handed over twice: in
the first copy no quarter can reach back over New Year, in the second one November-January and
December-February do.
"""

import json
from importlib.metadata import distribution, version
from pathlib import Path

import numpy as np
import pandas as pd
import xarray
import xclim.indices as xci

STATIONS = ("champion", "cordoba", "tunis")
YEARS = ("2001", "2002")  # no leap year: the days of a month are the same in both
TARGET = Path(__file__).with_suffix(".json")


def monthly_normals(station):
    """Return monthly means of the daily minimum and maximum [degC] and mean monthly totals [mm]."""
    path = distribution("aquacrop").locate_file(f"aquacrop/data/{station}_climate.txt")
    daily = pd.read_csv(path, sep=r"\s+")
    tmin, tmax = (daily.groupby("Month")[name].mean() for name in ("Tmin(C)", "Tmax(C)"))
    rain = daily.groupby(["Year", "Month"])["Prcp(mm)"].sum().groupby("Month").mean()
    return {
        "tmin_degc": tmin.round(2).tolist(),
        "tmax_degc": tmax.round(2).tolist(),
        "precipitation_mm": rain.round(2).tolist(),
    }


def series(values, units):
    time = pd.date_range(f"{YEARS[0]}-01-01", periods=24, freq="MS")
    return xarray.DataArray(np.tile(values, 2), {"time": time}, ("time",), attrs={"units": units})


def variables(normals):
    """Return xclim's value of each variable for both years."""
    tmin, tmax, rain = (np.array(normals[name]) for name in ("tmin_degc", "tmax_degc", "precipitation_mm"))
    low, high, mean = (series(values, "degC") for values in (tmin, tmax, (tmin + tmax) / 2))
    days = pd.date_range("2001-01-01", periods=12, freq="MS").days_in_month.to_numpy()
    wet = series(rain / days, "mm/d")
    found = {
        "bio01": xci.tg_mean(mean, freq="YS"),
        "bio02": xci.daily_temperature_range(low, high, freq="YS"),
        "bio03": xci.isothermality(low, high),
        "temperature_seasonality_of_kelvin": xci.temperature_seasonality(
            mean.assign_attrs(units="K") + 273.15
        ),
        "bio05": xci.tx_max(high, freq="YS"),
        "bio06": xci.tn_min(low, freq="YS"),
        "bio07": xci.extreme_temperature_range(low, high, freq="YS"),
        "bio08": xci.tg_mean_wetdry_quarter(mean, wet, op="wettest"),
        "bio09": xci.tg_mean_wetdry_quarter(mean, wet, op="driest"),
        "bio10": xci.tg_mean_warmcold_quarter(mean, op="warmest"),
        "bio11": xci.tg_mean_warmcold_quarter(mean, op="coldest"),
        "bio12": xci.prcptot(wet),
        "bio13": xci.prcptot_wetdry_period(wet, op="wettest"),
        "bio14": xci.prcptot_wetdry_period(wet, op="driest"),
        "bio15": xci.precip_seasonality(series(rain, "mm/d")),
        "bio16": xci.prcptot_wetdry_quarter(wet, op="wettest"),
        "bio17": xci.prcptot_wetdry_quarter(wet, op="driest"),
        "bio18": xci.prcptot_warmcold_quarter(wet, mean, op="warmest"),
        "bio19": xci.prcptot_warmcold_quarter(wet, mean, op="coldest"),
    }
    return {
        name: [{"units": array.attrs.get("units", "")}, *array.sel(time=list(year_starts())).to_numpy()]
        for name, array in found.items()
    }


def year_starts():
    return (pd.Timestamp(f"{year}-01-01") for year in YEARS)


def freeze():
    stations = {}
    for station in STATIONS:
        normals = monthly_normals(station)
        found = variables(normals)
        stations[station] = {
            **normals,
            "within_year": {name: round(float(values[1]), 6) for name, values in found.items()},
            "wrapped": {name: round(float(values[2]), 6) for name, values in found.items()},
            "units": {name: values[0]["units"] for name, values in found.items()},
        }
    frozen = {"program": f"xclim {version('xclim')}", "data": f"aquacrop {version('aquacrop')}"}
    TARGET.write_text(json.dumps(frozen | {"stations": stations}, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    freeze()
