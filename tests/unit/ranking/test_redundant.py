import numpy as np
import pandas as pd

from geo_scout.model.criteria import ClimateGap, HostArea, HostCover
from geo_scout.model.ranking import Ranking
from geo_scout.ranking import find_idle, find_redundant

CRITERIA = {"host_area": HostArea(), "host_cover": HostCover(), "climate_gap": ClimateGap()}
WEIGHTS = {"host_area": 0.5, "host_cover": 0.25, "climate_gap": 0.25}


def ranking(area, cover, gap, status=None, weights=None):
    table = pd.DataFrame({"host_area_value": area, "host_cover_value": cover, "climate_gap_value": gap})
    table = table.assign(status=status or ["ranked"] * len(table))
    return Ranking("beetle", "release", CRITERIA, weights or WEIGHTS, {}, table)


def rows(count=12):
    steps = np.arange(count) / count
    return steps, steps**2, np.where(np.arange(count) % 2, 0.2, 0.8)


def test_a_pair_that_orders_the_sites_alike_is_named():
    [found] = find_redundant(ranking(*rows()), 0.8)
    assert (found.code, found.grade, found.layer) == ("criteria-redundant", "caution", "criteria")
    assert found.what == (
        "host_area and host_cover order the ranked release sites for beetle alike (rank correlation 1.00 over "
        "12 sites); together they weigh 0.75 and may count one thing twice."
    )


def test_what_falls_against_each_other_is_a_trade_off():
    area, cover, gap = rows()
    assert find_redundant(ranking(area, cover[::-1], gap), 0.8) == ()


def test_few_sites_tell_nothing_and_those_left_out_do_not_count():
    assert find_redundant(ranking(*rows(9)), 0.8) == ()
    assert find_redundant(ranking(*rows(), status=["ranked"] * 9 + ["left out"] * 3), 0.8) == ()


def test_what_was_not_measured_or_weighs_nothing_does_not_count():
    area, cover, gap = rows(12)
    assert find_redundant(ranking(np.where(np.arange(12) < 3, np.nan, area), cover, gap), 0.8) == ()
    none = {"host_area": 0.75, "host_cover": 0.0, "climate_gap": 0.25}
    assert find_redundant(ranking(area, cover, gap, weights=none), 0.8) == ()


def test_a_criterion_that_is_worth_the_same_everywhere_is_named():
    area, cover, _ = rows()
    [found] = find_idle(ranking(area, cover, np.full(12, 1.0)))
    assert (found.code, found.grade) == ("criterion-idle", "note")
    assert found.what == (
        "climate_gap is worth 1.00 at every ranked release site for beetle where it was measured, so its weight of "
        "0.25 orders none of them."
    )
    assert find_idle(ranking(area, cover, rows()[2])) == ()
    assert find_idle(ranking(*(column[:1] for column in rows()))) == ()
    none = {"host_area": 0.75, "host_cover": 0.25, "climate_gap": 0.0}
    assert find_idle(ranking(area, cover, np.full(12, 1.0), weights=none)) == ()
