import numpy as np
import pytest

from geo_scout.model.doubts import ClimateDoubt
from geo_scout.pipeline.site_doubts import LAPSE_ERRORS, site_doubts
from tests import site_books as books


def doubts(book, *exclusions):
    count = len(book.sites)
    climate = ClimateDoubt(np.zeros(count), (), LAPSE_ERRORS, np.zeros((count, 0)))
    return site_doubts(book, climate, list(exclusions))


def test_only_what_is_certain_leaves_a_site_out_of_every_draw():
    book = books.book(*(books.site(f"A-{n}") for n in range(6)))
    codes = ("too-small", "agent-inferred", "climate-limit", "treated", "too-close")
    out = [book.exclude(f"A-{n}", code, "why.", "how.") for n, code in enumerate(codes)]
    unsure = doubts(book, *out, book.exclude("A-0", "no-host", "why.", "how."))
    assert unsure.is_out.tolist() == [True, False, False, True, True, False]
    assert unsure.site_ids[0] == "A-0"


def test_limits_are_those_of_the_season_and_the_profile():
    limits = {"mean_coldest_month_min_degc": {"least": -12.0}, "annual_precipitation_mm": {"most": 900.0}}
    book = books.book(
        books.site("A-1", purpose="supplement"), books.site("A-2", confirmed=True), books.site("A-3"),
        profile=books.agent(climate={"limits": limits}),
        rules={"min_infested_ha": 0.3, "max_wasted_share": 0.4, "min_spacing_km": 1.0},
        climate={"bio06": [-11.0, -12.5, np.nan], "bio12": [400.0, 950.0, 300.0]},
    )  # fmt: skip
    unsure = doubts(book)
    assert unsure.area.least_ha == 0.3
    assert unsure.presence.most_share == 0.4
    assert unsure.presence.exempt.tolist() == [True, True, False]
    assert [(one.least, one.most, one.is_lapsed) for one in unsure.climate.bounds] == [
        (-12.0, None, True),
        (None, 900.0, False),
    ]
    assert len(unsure.held) == 1


def test_sources_keep_to_no_chance_and_no_spacing():
    book = books.book(books.site(), role="source", rules={"max_wasted_share": 0.4, "min_spacing_km": 1.0})
    unsure = doubts(book)
    assert unsure.presence.most_share is None
    assert unsure.held == ()


def test_the_season_states_how_fast_areas_change():
    book = books.book(books.site(survey_date_oldest=np.datetime64("2016-11-01")))
    assert doubts(book).area.change_log[0] == pytest.approx(np.log(1.05) * 10, rel=1e-3)
