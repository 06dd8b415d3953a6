"""What was known on an earlier day, and what is said of what has no date."""

import datetime as dt
from dataclasses import replace

import pandas as pd

from geo_scout.layers import known_on, tell_hindsight
from geo_scout.model.weather import YearlyClimate
from tests import programmes as made
from tests import sites_frames as frames

DAY = dt.date(2018, 6, 10)


def ids(layers, name, column):
    return layers.vectors[name][column].tolist()


def test_surveys_of_the_day_count_and_releases_and_visits_of_the_day_do_not():
    layers = frames.layers(
        infestations=[
            made.weed(0, "before", "2018-06-09"),
            made.weed(200, "that day", "2018-06-10"),
            made.weed(400, "after", "2018-06-11"),
            made.weed(600, "undated", None),
        ],
        surveyed_areas=[
            frames.row(frames.square(0), id="S1", survey_date="2018-06-10"),
            frames.row(frames.square(0), id="S2", survey_date="2018-06-11"),
        ],
        releases=[made.release(0, "R1", "2018-06-09"), made.release(0, "R2", "2018-06-10")],
        visits=[
            made.visit(0, "v1", "2018-06-09"),
            made.visit(0, "v2", "2018-06-10"),
            made.visit(0, "v3", "2018-06-09", release_id="R1"),
            made.visit(0, "v4", "2018-06-09", release_id="R2"),
        ],
        treatments=[
            frames.row(frames.square(0), treatment_id="T1", start="2018-06-01", end="2018-06-10"),
            frames.row(frames.square(0), treatment_id="T2", start="2018-06-01", end="2018-06-11"),
        ],
        requests=[frames.row(frames.point(0), request_id="Q1", date="2017-01-01")],
        land_classes=[frames.row(frames.square(0), **{"class": "pasture"})],
        boundaries=[frames.row(frames.square(0), district="D", jurisdiction="J")],
    )
    then = known_on(layers, DAY)
    assert ids(then, "infestations", "id") == ["before", "that day"]
    assert ids(then, "surveyed_areas", "id") == ["S1"]
    assert ids(then, "releases", "release_id") == ["R1"]
    # v4 names a release that had not been made.
    assert ids(then, "visits", "visit_id") == ["v1", "v3"]
    assert ids(then, "treatments", "treatment_id") == ["T1"]
    assert [len(then.vectors[name]) for name in ("requests", "land_classes", "boundaries")] == [0, 0, 1]
    assert tell_hindsight(layers) == (
        "1 infestation without a date left out (undated): nobody can say whether it was known then.",
        "The layer land_classes has no dates and is left out: how land is classed today may not be how it was.",
        "The layer requests has no dates and is left out: whether they are open is today's knowledge.",
        "Kept although without a date: boundaries (lines on paper, which no outcome moves).",
    )


def test_single_years_of_climate_count_up_to_the_year_before():
    years = YearlyClimate(pd.DataFrame({"place": "P", "year": [2016, 2017, 2018], "month": 1}))
    layers = replace(frames.layers(infestations=[made.weed(0, "K")]), yearly_climate=years)
    then = known_on(layers, DAY).yearly_climate
    assert then is not None
    assert then.months["year"].tolist() == [2016, 2017]
    assert known_on(layers, dt.date(2016, 1, 1)).yearly_climate is None


def test_an_earlier_run_is_no_knowledge_of_the_day():
    layers = frames.layers(infestations=[made.weed(0, "K")])
    layers = replace(layers, vectors={**layers.vectors, "previous": layers.vectors["infestations"]})
    assert "previous" not in known_on(layers, DAY).vectors
