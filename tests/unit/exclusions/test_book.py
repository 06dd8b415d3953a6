import datetime as dt

import numpy as np
import pandas as pd
from scipy.sparse import csr_array

from geo_scout.exclusions import book_of
from geo_scout.exclusions.climate_limit import exclude_climate_limit
from geo_scout.model.site_windows import YearlyExtremes
from geo_scout.model.zones import ZoneTable


def test_a_book_cuts_the_zones_to_its_patches_in_their_order(books):
    rows = [books.site("A-1"), books.site("A-2")]
    index = pd.MultiIndex.from_tuples(
        [("patch", "other weed", "A-1"), ("patch", books.HOST, "A-2"), ("patch", books.HOST, "A-1")]
    )
    zones = ZoneTable(
        mean=pd.DataFrame({"bio06": [1.0, 2.0, 3.0]}, index=index),
        valid_share=pd.DataFrame({"elevation": [0.1, 0.2, 0.3]}, index=index),
        climate_cells=pd.DataFrame(),
        touches=csr_array((3, 0)),
    )
    book = book_of(books.agent(), "release", books.season(), books.sites(rows), books.evidence(rows), zones)
    np.testing.assert_array_equal(book.climate["bio06"], [3.0, 2.0])
    np.testing.assert_array_equal(book.raster_share["elevation"], [0.3, 0.2])


def test_field_work_starts_on_the_day_of_the_clock_unless_the_season_says_otherwise(books):
    assert books.book(books.site()).field_start == books.AS_OF
    assert books.book(books.site(), start=dt.date(2027, 5, 1)).field_start == dt.date(2027, 5, 1)


def test_extremes_of_stations_fill_in_where_no_raster_has_them(books):
    rows = [books.site("A-1"), books.site("A-2")]
    index = pd.MultiIndex.from_tuples([("patch", books.HOST, "A-1"), ("patch", books.HOST, "A-2")])
    zones = ZoneTable(
        mean=pd.DataFrame({"annual_extreme_min_degc": [-20.0, np.nan]}, index=index),
        valid_share=pd.DataFrame(index=index),
        climate_cells=pd.DataFrame(),
        touches=csr_array((2, 0)),
    )
    words = np.array(["mean of 30 years at Ford", "mean of 30 years at Ford"], dtype=object)
    extremes = YearlyExtremes(np.array([-30.0, -31.0]), np.array([38.0, np.nan]), words)
    profile = books.agent(
        climate={"limits": {"annual_extreme_min_degc": {"least": -28.0, "source": "Mallow 2019"}}}
    )
    book = book_of(
        profile,
        "release",
        books.season(profile),
        books.sites(rows),
        books.evidence(rows),
        zones,
        extremes=extremes,
    )
    assert book.climate["annual_extreme_min_degc"].tolist() == [-20.0, -31.0]
    np.testing.assert_array_equal(book.climate["annual_extreme_max_degc"], [38.0, np.nan])
    [found] = exclude_climate_limit(book)
    assert (found.site_id, found.measured) == ("A-2", -31.0)
    assert found.sentence == (
        "annual_extreme_min_degc is -31.00 degC here (mean of 30 years at Ford); the lowest the profile allows is "
        "-28 degC (Mallow 2019)."
    )
