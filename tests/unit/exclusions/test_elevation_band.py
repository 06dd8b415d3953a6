import re

import numpy as np
import pytest

from geo_scout.exclusions.elevation_band import exclude_outside_elevation

BAND = {"least": 300.0, "most": 1400.0, "source": "Mallow 2019"}


def limited(books, elevation_m, role="release", **band):
    profile = books.agent(terrain={"elevation_m": {**BAND, **band}})
    book = books.book(books.site(), role=role, profile=profile, climate={"elevation_m": [elevation_m]})
    return list(exclude_outside_elevation(book))


@pytest.mark.parametrize(
    ("elevation_m", "word", "bound", "back"),
    [(250.04, "lowest", 300.0, 250.0), (1500.04, "highest", 1400.0, 1500.1)],
)
def test_beyond_the_band_names_elevation_limit_and_source(books, elevation_m, word, bound, back):
    [found] = limited(books, elevation_m)
    assert found.code == "elevation-limit"
    assert found.sentence == (
        f"{elevation_m:.1f} m of mean elevation here; the {word} the profile allows is {bound:g} m "
        "(elevation_m) (Mallow 2019)."
    )
    assert found.remedy == f"A limit of {back:.1f} m in the profile would bring it back."
    assert (found.measured, found.limit, found.unit) == (elevation_m, bound, "m")


@pytest.mark.parametrize(
    ("elevation_m", "count"), [(300.0, 0), (299.99, 1), (1400.0, 0), (1400.01, 1), (np.nan, 0)]
)
def test_the_limits_themselves_are_bearable_and_a_missing_value_does_not_exclude(books, elevation_m, count):
    assert len(limited(books, elevation_m)) == count


@pytest.mark.parametrize(("elevation_m", "side"), [(250.04, "least"), (1500.04, "most")])
def test_the_printed_limit_brings_the_site_back(books, elevation_m, side):
    [found] = limited(books, elevation_m)
    assert (
        limited(books, elevation_m, **{side: float(re.search(r"limit of ([0-9.]+)", found.remedy)[1])}) == []
    )


def test_a_source_proves_that_the_agent_lives_there(books):
    assert limited(books, 2000.0, role="source") == []


def test_without_a_band_or_an_elevation_layer_nothing_is_left_out(books):
    assert list(exclude_outside_elevation(books.book(books.site(), climate={"elevation_m": [1.0]}))) == []
    profile = books.agent(terrain={"elevation_m": BAND})
    assert list(exclude_outside_elevation(books.book(books.site(), profile=profile))) == []
