"""Invented programmes for tests of the backtest: one patch, one release and some visits per place."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from geo_scout.model.layers import LayerSet
from geo_scout.model.season import Season
from tests import sites_frames as frames

APART_M = 4000.0
SIGN = {
    "name": "adults",
    "methods": ["net"],
    "first_day": "06-01",
    "last_day": "08-31",
    "found_share": 0.95,
    "effort_hours": 1.0,
}
AGENT = frames.agent(
    establishment={"prior_share": 0.5, "years_to_confirm": 2.0, "first_detectable_years": 1.0},
    signs=[SIGN],
)
CRITERIA = {
    "host_area": {"weight": 0.5, "curve": {"shape": "rising", "from": 0.0, "to": 5.0}},
    "host_cover": {"weight": 0.3, "curve": {"shape": "rising", "from": 0.0, "to": 100.0}},
    "crew_distance": {"weight": 0.2, "curve": {"shape": "falling", "from": 0.0, "to": 60.0}},
}


def season(as_of: dt.date = frames.AS_OF, agent: Any = AGENT) -> Season:
    """Return a season that ranks by area, cover and distance."""
    made = frames.season(agent, as_of=as_of)
    criteria = type(made.settings.criteria).model_validate({"release": CRITERIA})
    return replace(made, settings=made.settings.model_copy(update={"criteria": criteria}))


def visit(at: float, name: str, date: str, *, found: bool = False, **given: Any) -> dict[str, Any]:
    """Return a visit by net for an hour, to the middle of the patch at ``at`` metres east."""
    one = {"effort_hours": 1.0, "method": "net", **given}
    return frames.row(frames.point(at + 20, 20), visit_id=name, date=date, found=found, **one)


def release(at: float, name: str, date: str, **given: Any) -> dict[str, Any]:
    """Return a release in the patch at ``at`` metres east."""
    return frames.row(frames.point(at + 20, 20), release_id=name, date=date, **given)


def weed(at: float, name: str, date: str | None = "2010-06-01", size_m: float = 100.0, **given: Any) -> Any:
    """Return an infestation at ``at`` metres east."""
    return frames.row(frames.square(at, size_m=size_m), id=name, survey_date=date, **given)


def programme(seed: int, count: int, driver: str) -> LayerSet:
    """Return a drawn programme: ``count`` places on a grid, four days of release, all looked after for years.

    Parameters
    ----------
    seed
        Of the draw.
    count
        How many places.
    driver
        What establishment hangs on: ``host_area``, or nothing.
    """
    lot = np.random.default_rng(seed)
    size_m = lot.uniform(30, 223, count)
    cover = lot.uniform(0.05, 0.95, count)
    value = size_m**2 / 10_000 / 5 * cover if driver == "host_area" else np.full(count, np.nan)
    share = np.where(
        np.isnan(value), 0.5, 1 / (1 + np.exp(-8 * (value - np.nanmedian(np.nan_to_num(value))) * 3))
    )
    took = lot.uniform(size=count) < share
    weeds, put, seen = [], [], []
    for n in range(count):
        east, north = APART_M * (n % 12), APART_M * (n // 12)
        at = frames.point(east + 10, north + 10)
        year = 2014 + 2 * (n % 4)
        covers = dict.fromkeys(("cover_share", "cover_low_share", "cover_high_share"), float(cover[n]))
        weeds.append(
            frames.row(frames.square(east, north, size_m[n]), id=f"K{n}", survey_date="2012-06-01", **covers)
        )
        put.append(frames.row(at, release_id=f"R{n}", date=f"{year}-06-10"))
        seen += [
            frames.row(
                at, visit_id=f"v{n}-{later}", release_id=f"R{n}", date=f"{year + later}-07-01", method="net",
                effort_hours=1.0, found=bool(took[n]) and later == 3,
            )
            for later in (2, 3)
        ]  # fmt: skip
    districts = _districts(count)
    return frames.layers(infestations=weeds, releases=put, visits=seen, boundaries=districts)


def _districts(count: int) -> Sequence[dict[str, Any]]:
    north = APART_M * (count // 12 + 1)
    return [
        frames.row(
            frames.shapely.box(APART_M * west - 500, -500, APART_M * (west + 3) - 500, north),
            district=f"D{west}",
            jurisdiction="J",
        )
        for west in (0, 3, 6, 9)
    ]
