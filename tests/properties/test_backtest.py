"""Nothing dated later than a release changes its score, and nothing is found where there is nothing to find."""

import datetime as dt

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geo_scout.learning import assess, assess_agent
from geo_scout.model.backtest import ALL, CASE_COLUMNS, LARGEST, NEAREST, RANDOM, SCORE, WEIGHT_COLUMNS
from geo_scout.pipeline.backtest import backtest_layers
from tests import programmes as made
from tests import sites_frames as frames

DAY = dt.date(2015, 6, 10)
CRITERIA = made.CRITERIA | {
    "host_around": {"weight": 0.5},
    "population_distance": {"weight": 0.5},
    "wasted_chance": {"weight": 0.5},
}
AGENT = frames.agent(
    establishment={"prior_share": 0.5, "years_to_confirm": 2.0, "persistence_share": 0.95},
    signs=[made.SIGN],
    spread={"km_per_yr": 0.5, "max_spread_km": 10.0},
)
WEEDS = [made.weed(2000.0 * n, f"K{n}") for n in range(3)]
PUT = [made.release(0, "R0", f"{DAY}"), made.release(2000, "R1", "2011-06-10")]
SEEN = [made.visit(2000, "v1", "2014-07-01", found=True), made.visit(4000, "v2", "2014-07-01")]

places = st.sampled_from([0.0, 2000.0, 4000.0, 5000.0])
later = st.sampled_from([0, 1, 30, 300, 2500]).map(lambda days: str(DAY + dt.timedelta(days=days)))
after = st.sampled_from([1, 2, 30, 300, 2500]).map(lambda days: str(DAY + dt.timedelta(days=days)))


def season():
    plain = made.season(agent=AGENT)
    criteria = type(plain.settings.criteria).model_validate({"release": CRITERIA})
    records = plain.settings.records.model_copy(update={"loss_kinds": ("herbicide",)})
    changed = plain.settings.model_copy(update={"criteria": criteria, "records": records})
    return type(plain)(plain.path, changed, plain.agents, plain.as_of, plain.given)


def scored(weeds=(), put=(), seen=(), sprayed=()):
    """Return how the site of R0 stood on its day, everything that is not about what became of it."""
    layers = frames.layers(
        infestations=[*WEEDS, *weeds],
        releases=[*PUT, *put],
        visits=[*SEEN, *seen],
        treatments=sprayed,
    )
    cases = backtest_layers(season(), layers).cases
    told = CASE_COLUMNS[CASE_COLUMNS.index("district") : CASE_COLUMNS.index("site_id")]
    return cases[cases["release_id"] == "R0"].drop(columns=list(told)).reset_index(drop=True)


BASE = scored()


@settings(deadline=None, max_examples=6)
@given(
    weeds=st.lists(st.tuples(places, after), min_size=1, max_size=2),
    put=st.lists(st.tuples(places, later), max_size=2),
    seen=st.lists(
        st.tuples(places, later, st.booleans(), st.sampled_from(["", "R0", "R1"])), min_size=1, max_size=4
    ),
    sprayed=st.lists(st.tuples(places, after), max_size=2),
)
def test_nothing_dated_later_changes_the_score(weeds, put, seen, sprayed):
    changed = scored(
        [made.weed(at, f"L{n}", day, size_m=300.0) for n, (at, day) in enumerate(weeds)],
        [made.release(at, f"S{n}", day) for n, (at, day) in enumerate(put)],
        [
            made.visit(at, f"w{n}", day, found=found, release_id=name)
            for n, (at, day, found, name) in enumerate(seen)
        ],
        [
            frames.row(
                frames.square(at - 50, -50, 300), treatment_id=f"T{n}", kind="herbicide", start=day, end=day
            )
            for n, (at, day) in enumerate(sprayed)
        ],
    )
    pd.testing.assert_frame_equal(changed, BASE, check_exact=True)


@pytest.mark.parametrize(
    "earlier",
    [
        {"weeds": [made.weed(0, "L", "2015-06-10", size_m=300.0)]},
        {"put": [made.release(0, "S", "2015-06-09")]},
        {"seen": [made.visit(0, "w", "2015-06-09", found=True)]},
        {"sprayed": [{"start": "2015-06-01", "end": "2015-06-01"}]},
    ],
    ids=lambda one: next(iter(one)),
)
def test_what_is_dated_earlier_does(earlier):
    """The test above would see a change: each kind of record moves the score when it comes before the day."""
    if "sprayed" in earlier:
        ground = {"treatment_id": "T", "kind": "herbicide"}
        earlier = {"sprayed": [frames.row(frames.square(1950, -50, 300), **ground, **earlier["sprayed"][0])]}
    assert not scored(**earlier).equals(BASE)


def cases(seed, count, strength):
    """Return drawn releases: three values, of which the first drives establishment as strongly as asked."""
    lot = np.random.default_rng(seed)
    values = {name: lot.uniform(size=count) for name in made.CRITERIA}
    took = lot.uniform(size=count) < 1 / (1 + np.exp(-strength * (values["host_area"] - 0.5)))
    days = np.sort(np.datetime64("2012-05-01") + lot.integers(0, 4000, count).astype("timedelta64[D]"))
    return pd.DataFrame(
        {
            "release_id": [f"R{n}" for n in range(count)],
            "release_date": days.astype("datetime64[s]"),
            "district": lot.choice(["A", "B", "C", "D"], count).astype(object),
            "label": np.where(took, "established", "failed"),
            "missed_share": 0.0,
            "score": 0.5 * values["host_area"] + 0.3 * values["host_cover"] + 0.2 * values["crew_distance"],
            "crew_distance_km": 60 * (1 - values["crew_distance"]),
            "infested_ha": 5 * values["host_area"],
            **{f"{name}_value": value for name, value in values.items()},
        }
    ).assign(score_low=lambda table: table["score"], score_high=lambda table: table["score"])


def concluded(seed, count, strength, monkeypatch):
    nothing = (pd.DataFrame(columns=list(WEIGHT_COLUMNS)), "")
    monkeypatch.setattr(assess, "suggest_weights", lambda *_: nothing)
    one = assess_agent("a", cases(seed, count, strength), dict.fromkeys(made.CRITERIA, 1 / 3))
    return one.skill[one.skill["split"] == ALL].set_index("rule")["conclusion"].drop(RANDOM)


def test_the_driver_is_found_in_every_draw_and_nothing_else(monkeypatch):
    """Strength 8: from 2 in a hundred to 98; 8 draws of 100 releases."""
    drawn = [concluded(seed, 100, 8.0, monkeypatch) for seed in range(8)]
    assert all(one[SCORE] == one["host_area"] == one[LARGEST] == "better" for one in drawn)
    # The others share one chance in twenty of a false alarm: binomial, three of eight is one in 170.
    assert (
        sum(one[["host_cover", "crew_distance", NEAREST]].isin(["better", "worse"]).any() for one in drawn)
        <= 2
    )


def test_where_nothing_drives_it_is_rarely_said_that_something_does(monkeypatch):
    """One chance in twenty each for the score and for the others together; of 25, over 4 is one in 140."""
    drawn = [concluded(seed, 50, 0.0, monkeypatch) for seed in range(25)]
    assert sum(one[SCORE] in ("better", "worse") for one in drawn) <= 4
    assert sum(one.drop(SCORE).isin(["better", "worse"]).any() for one in drawn) <= 4


@pytest.mark.parametrize("count", [1, 8, 19])
def test_few_releases_conclude_nothing_however_well_they_are_told(count, monkeypatch):
    assert set(concluded(3, count, 1000.0, monkeypatch)) == {"none"}


def said(table, monkeypatch):
    nothing = (pd.DataFrame(columns=list(WEIGHT_COLUMNS)), "")
    monkeypatch.setattr(assess, "suggest_weights", lambda *_: nothing)
    one = assess_agent("a", table, dict.fromkeys(made.CRITERIA, 1 / 3))
    return one.conclusion, one.against


def drawn(seed, count):
    """Return releases that establish by lot alone."""
    return cases(seed, count, 0.0), np.random.default_rng(1000 + seed)


def test_uneven_searching_is_not_taken_for_a_driver(monkeypatch):
    """Near a base crews search long, far from it shortly: there only finds count, and failures are near.

    The score falls with the distance. Without the check it is blamed in most draws.
    """
    verdicts = []
    for seed in range(15):
        table, lot = drawn(seed, 300)
        is_near = table["crew_distance_km"] < 30
        took = (table["label"] == "established").to_numpy()
        missed = np.where(is_near, 0.05, 0.6)
        is_seen = took & (lot.uniform(size=len(table)) > missed)
        table = table.assign(missed_share=missed, label=np.where(is_seen, "established", "failed"))
        table["score"] = table["score_low"] = table["score_high"] = 1 - table["crew_distance_km"] / 60
        verdicts.append(said(table[is_seen | is_near].reset_index(drop=True), monkeypatch))
    blamed = [one for one, _ in verdicts].count("worse")
    checked = sum("searched enough either way" in against for _, against in verdicts)
    assert checked >= 8
    assert blamed <= 3


def test_what_was_not_known_yet_is_not_taken_for_a_driver(monkeypatch):
    """Early scores lack a measure, which counts as the worst, and early releases fail more often, by lot."""
    verdicts = []
    for seed in range(15):
        table, lot = drawn(seed, 120)
        is_early = np.arange(120) < 60
        table["label"] = np.where(
            lot.uniform(size=120) < np.where(is_early, 0.3, 0.7), "established", "failed"
        )
        table["score_low"] = table["score"] = table["score"] * 0.7 + np.where(is_early, 0.0, 0.3)
        table["score_high"] = table["score"] + np.where(is_early, 0.3, 0.0)
        verdicts.append(said(table, monkeypatch))
    assert sum("every measure known" in against for _, against in verdicts) >= 10
    assert [one for one, _ in verdicts].count("better") <= 3


def test_a_difference_between_districts_is_not_taken_for_a_driver(monkeypatch):
    verdicts = []
    for seed in range(15):
        table, lot = drawn(seed, 120)
        is_rich = table["district"].isin(["A", "B"]).to_numpy()
        table["label"] = np.where(
            lot.uniform(size=120) < np.where(is_rich, 0.75, 0.25), "established", "failed"
        )
        table["score"] = table["score"] * 0.6 + np.where(is_rich, 0.4, 0.0)
        table["score_low"] = table["score_high"] = table["score"]
        verdicts.append(said(table, monkeypatch))
    assert sum("district by district" in against for _, against in verdicts) >= 10
    assert [one for one, _ in verdicts].count("better") <= 3
