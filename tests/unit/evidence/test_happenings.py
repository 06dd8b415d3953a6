"""What happened, in the order it counts, and what comes of it for the chance."""

import numpy as np
import pytest

from geo_scout.evidence import presence
from geo_scout.evidence.course import Course, follow
from geo_scout.evidence.happenings import Happenings, Kind
from geo_scout.evidence.placing import place_records
from geo_scout.sites import find_patches

COURSE = Course(np.array([0.4, 0.5, 0.6]), np.ones(3), False)


def happenings(*rows):
    """Return happenings from (place, day, kind, share), already in order."""
    place, day, kind, share = zip(*rows, strict=True)
    shares = np.array([np.broadcast_to(one, 3) for one in share], dtype=float)
    return Happenings(
        np.array(place, dtype=np.intp),
        np.array(day, dtype="datetime64[D]"),
        np.array([int(one) for one in kind]),
        shares,
        np.zeros_like(shares),
        np.arange(len(place)),
    )


def test_turns_touch_each_place_once_and_go_through_the_years():
    happened = happenings(
        (0, "2019-05-01", Kind.RELEASE, 0.5),
        (0, "2020-05-01", Kind.NOT_FOUND, 0.5),
        (0, "2020-06-01", Kind.NOT_FOUND, 0.5),
        (2, "2018-06-01", Kind.RELEASE, 0.5),
        (2, "2020-06-01", Kind.FOUND, 0.5),
    )
    turns = [(year, group.tolist()) for year, group in happened.turns()]
    assert turns == [(2018, [3]), (2019, [0]), (2020, [1, 4]), (2020, [2])]
    assert list(happened.only(slice(0, 0)).turns()) == []


def test_first_day_and_last_loss_of_each_place():
    happened = happenings(
        (0, "2018-05-01", Kind.NOT_FOUND, 0.5),
        (0, "2019-05-01", Kind.RELEASE, 0.5),
        (0, "2020-05-01", Kind.FOUND, 0.5),
        (0, "2021-05-01", Kind.LOSS, 0.0),
        (0, "2022-05-01", Kind.NOT_FOUND, 0.5),
        (2, "2018-06-01", Kind.LOSS, 0.0),
        (2, "2020-06-01", Kind.FOUND, 0.5),
    )
    assert [str(day) for day in happened.starts(3)] == ["2019-05-01", "NaT", "2020-06-01"]
    assert [str(day) for day in happened.ends(3)] == ["2021-05-01", "NaT", "NaT"]


def test_a_lowest_chance_above_the_best_is_given_as_the_best():
    # In vain while little had arrived by the best, nothing by the lowest; then it arrives by both.
    hazard = np.array([[[0.0, 0.8, 0.8]], [[0.8, 0.0, 0.1]]])
    happened = happenings((0, "2020-06-01", Kind.NOT_FOUND, 0.9))
    chance, _ = follow(happened, 1, [2020, 2021], COURSE, hazard)
    # best: 0.8 x 0.1 / (1 - 0.72) = 0.285714
    assert chance[0].tolist() == pytest.approx([0.08 / 0.28, 0.08 / 0.28, 1 - 0.9 * (1 - 0.08 / 0.28)])


def test_the_order_of_one_day(frames):
    # Ended, released again, and looked for in vain on one day: 0.5 x 0.5 / 0.75.
    agent = frames.agent(
        signs=[
            {
                "name": "adults",
                "methods": ["net"],
                "first_day": "05-01",
                "last_day": "09-30",
                "found_share": 0.5,
                "effort_hours": 1.0,
            }
        ]
    )
    season = frames.season(agent, records={"loss_kinds": ["spray"]})
    day = {"date": "2020-06-01"}
    put = [frames.row(frames.point(50), release_id="R", **day)]
    seen = [frames.row(frames.point(50), visit_id="v", found=False, method="net", effort_hours=1.0, **day)]
    over = [frames.row(frames.square(0), treatment_id="T", kind="spray", start=day["date"])]
    weeds = [frames.row(frames.square(0), id="K")]
    layers = frames.layers(infestations=weeds, releases=put, visits=seen, treatments=over)
    sites = find_patches(layers, season, frames.HOST)
    records = [place_records(layers.vectors[name], sites.patches) for name in ("releases", "visits")]
    grounds = presence.lay_grounds(sites, layers, season, agent, *records)
    assert grounds.happenings.kind.tolist() == [Kind.LOSS, Kind.RELEASE, Kind.NOT_FOUND]
    assert presence.estimate_presence(grounds)[0][0].tolist() == pytest.approx([1 / 3] * 3)


def test_places_taken_a_few_at_a_time_come_to_the_same(frames, monkeypatch):
    agent = frames.agent(spread={"km_per_yr": 1.0, "max_spread_km": 5.0})
    season = frames.season(agent)
    weeds = [frames.row(frames.square(700 * n), id=f"K{n}") for n in range(9)]
    put = [
        frames.row(frames.point(700 * n + 50), release_id=f"R{n}", date=f"{2012 + n}-06-01")
        for n in (1, 2, 5, 8)
    ]
    layers = frames.layers(infestations=weeds, releases=put, visits=[])
    sites = find_patches(layers, season, frames.HOST)
    records = [place_records(layers.vectors[name], sites.patches) for name in ("releases", "visits")]
    grounds = presence.lay_grounds(sites, layers, season, agent, *records)
    whole, _ = presence.estimate_presence(grounds)
    monkeypatch.setattr(presence, "HAZARDS_AT_ONCE", 3 * len(grounds.years) * 2)
    np.testing.assert_array_equal(presence.estimate_presence(grounds)[0], whole)
