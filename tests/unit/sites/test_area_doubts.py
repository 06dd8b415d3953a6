import datetime as dt

import numpy as np
import pandas as pd
import pytest

from geo_scout.model.years import DAYS_PER_YEAR
from geo_scout.sites import doubt_areas
from tests import site_books as books

AS_OF = dt.date(2026, 11, 1)
CLASS = {"cover_low_share": 0.25, "cover_high_share": 0.5}


def doubt(rows, members=(), change=0.05):
    return doubt_areas(books.sites(rows, members=members), AS_OF, change, 0.2)


def site(site_id, day):
    return books.site(site_id, survey_date_oldest=pd.Timestamp(day) if day else pd.NaT)


def test_areas_come_from_the_patches_and_years_from_their_oldest_survey():
    found = doubt([books.site("A-1", infested_low_ha=1.0, infested_high_ha=3.0), site("A-2", "2016-11-01")])
    assert (found.low_ha[0], found.best_ha[0], found.high_ha[0], found.gross_ha[0]) == (1.0, 2.0, 3.0, 4.0)
    assert found.change_log[1] == pytest.approx(np.log(1.05) * 3652 / DAYS_PER_YEAR)
    assert (found.least_ha, found.undated) == (0.2, 0)


def test_an_undated_survey_counts_as_the_oldest():
    found = doubt([site("A-1", None), site("A-2", "2016-11-01"), site("A-3", "2026-11-01")])
    assert found.change_log[0] == found.change_log[1] > found.change_log[2] == 0.0
    assert found.undated == 1


def test_no_date_at_all_and_no_change_leave_the_area_as_it_is():
    assert doubt([site("A-1", None)]).change_log.tolist() == [0.0]
    assert doubt([site("A-1", "2016-11-01")], change=0.0).change_log.tolist() == [0.0]


def test_the_scheme_is_the_one_that_leaves_most_unsure():
    members = [
        {"gross_ha": 3.0, "cover_scheme": "daubenmire", "cover_low_share": 0.5, "cover_high_share": 0.75},
        {"gross_ha": 1.0, "cover_scheme": "braun-blanquet", "cover_low_share": 0.0, "cover_high_share": 1.0},
        {"gross_ha": 9.0, "cover_scheme": "percent", "cover_low_share": 0.5, "cover_high_share": 0.5},
    ]
    found = doubt([books.site("A-1"), books.site("A-2")], members)
    assert found.scheme.tolist() == ["braun-blanquet", ""]


def test_an_unknown_cover_may_be_anything():
    members = [{"gross_ha": 1.0, "cover_scheme": "", "cover_low_share": np.nan, "cover_high_share": np.nan}]
    unknown = books.site("A-1", infested_ha=np.nan, infested_low_ha=0.0, infested_high_ha=4.0)
    found = doubt([unknown], members)
    assert np.isnan(found.best_ha[0])
    assert found.scheme.tolist() == [""]
