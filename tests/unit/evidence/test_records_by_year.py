"""What was known at the end of each year: by hand, and beside the evidence on layers cut off at that day."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
import shapely

from geo_scout.evidence import gather_evidence, look_back
from geo_scout.layers import known_on
from geo_scout.sites import find_patches

ESTABLISHMENT = {"prior_share": 0.5, "years_to_confirm": 2.0}
NET = {
    "name": "adults in the net",
    "methods": ["sweep net"],
    "first_day": "05-01",
    "last_day": "09-30",
    "found_share": 0.5,
    "effort_hours": 1.0,
}

RELEASE_SAYS = ("release_id", "outcome", "state")
POPULATION_SAYS = ("population_id", "first_found", "last_found", "latest_result", "release_ids")


@pytest.fixture
def back(frames):
    """Return what is known year by year of K1 (0 m) and K2 (1,000 m), a hectare each, on 1 November 2026."""

    def run(put=(), seen=(), treated=(), spread=None):
        weeds = [frames.row(frames.square(1000 * n), id=f"K{n + 1}") for n in range(2)]
        agent = frames.agent(establishment=ESTABLISHMENT, signs=[NET], spread=spread or {})
        season = frames.season(agent, records={"loss_kinds": ["herbicide"]})
        releases = [
            frames.row(frames.point(east_m), release_id=name, date=date) for name, east_m, date in put
        ]
        visits = [
            frames.row(
                frames.point(east_m),
                visit_id=f"v{number}",
                release_id=of,
                date=date,
                found=result == "found",
                method="sweep net",
                effort_hours=2.0,
            )
            for number, (of, east_m, date, result) in enumerate(seen)
        ]
        treatments = [
            frames.row(
                shapely.box(east_m, 0, east_m + 100, 100),
                treatment_id="T",
                kind="herbicide",
                start=end,
                end=end,
            )
            for east_m, end in treated
        ]
        layers = frames.layers(infestations=weeds, releases=releases, visits=visits, treatments=treatments)
        sites = find_patches(layers, season, frames.HOST)
        return look_back(sites, layers, season, agent), sites, layers, season, agent

    return run


def news(told, name):
    table = told.releases[told.releases["release_id"] == name]
    return [tuple(row) for row in table[["year", "outcome", "state"]].to_numpy().tolist()]


def test_a_release_waits_is_possible_and_is_confirmed(back):
    # Two years to confirm: until 1 June 2020 nothing can be said.
    told, *_ = back([("R", 50, "2018-06-01")], [("R", 50, "2021-07-01", "found")])
    assert told.years == range(2018, 2026)
    assert news(told, "R") == [
        (2018, "not visited", "too early"),
        (2020, "not visited", "possible"),
        (2021, "found", "confirmed"),
    ]


def test_visits_in_vain_make_it_unlikely_before_a_find_turns_it(back):
    # 0.5 x 0.25 / (0.5 x 0.25 + 0.5) = 0.2 after two hours in vain of which one finds it with 0.5.
    seen = [("R", 50, "2021-07-01", "none"), ("R", 50, "2024-07-01", "found")]
    told, *_ = back([("R", 50, "2018-06-01")], seen)
    assert news(told, "R")[2:] == [(2021, "not found", "unlikely"), (2024, "found", "confirmed")]


def test_what_was_destroyed_is_lost_from_then_on_and_what_came_after_is_told_by_itself(back):
    put = [("R1", 50, "2015-06-01"), ("R2", 60, "2024-06-01")]
    told, *_ = back(put, [("R1", 50, "2018-07-01", "found")], [(0, "2022-05-03")])
    assert news(told, "R1")[-2:] == [(2018, "found", "confirmed"), (2022, "found", "lost")]
    assert news(told, "R2") == [(2024, "not visited", "too early")]


def test_a_population_is_told_anew_when_more_is_known_of_it(back):
    seen = [
        ("R", 50, "2020-07-01", "found"),
        ("R", 50, "2021-07-01", "none"),
        ("R", 50, "2023-07-01", "found"),
    ]
    told, *_ = back([("R", 50, "2016-06-01")], seen)
    day = pd.Timestamp
    rows = told.populations[["year", "first_found", "last_found", "latest_result"]].to_numpy().tolist()
    assert rows == [
        [2020, day("2020-07-01"), day("2020-07-01"), "found"],
        [2021, day("2020-07-01"), day("2020-07-01"), "not found on 2021-07-01"],
        [2023, day("2020-07-01"), day("2023-07-01"), "found"],
    ]


def test_a_population_found_again_after_a_loss_had_an_earlier_life(back):
    put = [("R1", 50, "2012-06-01"), ("R2", 60, "2019-06-01")]
    seen = [("R1", 50, "2015-07-01", "found"), ("R2", 60, "2023-07-01", "found")]
    told, sites, layers, season, agent = back(put, seen, [(0, "2018-05-03")])
    assert told.populations["first_found"].dt.year.unique().tolist() == [2015, 2023]
    today = gather_evidence(sites, layers, season, agent).populations
    assert today["first_found"].dt.year.tolist() == [2023]


def test_a_season_without_records_has_no_years(back):
    told, *_ = back()
    assert len(told.years) == len(told.releases) == len(told.populations) == 0


def test_a_release_of_this_year_is_of_no_year_that_is_past(back):
    told, *_ = back([("R", 50, "2026-06-01")])
    assert len(told.years) == len(told.releases) == 0


@pytest.mark.parametrize("seed", range(3))
def test_each_year_end_is_what_the_evidence_says_of_layers_cut_off_there(back, seed):
    rng = np.random.default_rng(seed)
    where_m, days = (50, 60, 1050, 3000), [f"{y}-0{m}-15" for y in range(2012, 2027) for m in (5, 6, 7)]
    put = [(f"R{n}", int(rng.choice(where_m)), str(rng.choice(days))) for n in range(6)]
    seen = [
        (
            str(rng.choice(["", *(name for name, *_ in put)])),
            int(rng.choice(where_m)),
            str(rng.choice(days)),
            result,
        )
        for result in rng.choice(["found", "none"], 14)
    ]
    treated = [(int(rng.choice([0, 1000])), str(rng.choice(days))) for _ in range(2)]
    spread = {"km_per_yr": 0.5, "max_spread_km": 5.0}
    told, sites, layers, season, agent = back(put, seen, treated, spread)
    for year in told.years:
        cut = known_on(layers, dt.date(year + 1, 1, 1))
        then = gather_evidence(sites, cut, replace(season, as_of=dt.date(year, 12, 31)), agent)
        assert last_by(told.releases, year, RELEASE_SAYS) == last_by(then.releases, None, RELEASE_SAYS)
        assert last_by(told.populations, year, POPULATION_SAYS) == last_by(
            then.populations, None, POPULATION_SAYS
        )


def last_by(table, year, columns):
    """Return what the rows of a year or before say last, by their name."""
    then = pd.DataFrame(table if year is None else table[table["year"] <= year])[list(columns)]
    rows = then.astype(object).drop_duplicates(columns[0], keep="last").to_numpy().tolist()
    return {name: tuple(said) for name, *said in rows}
