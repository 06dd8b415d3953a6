import sys

import numpy as np
import pytest

from geo_scout.learning.weights import NOT_SURE, suggest_weights

NOW = {"host_area": 0.6, "host_cover": 0.4}


def drawn(seed, count=80, slope=(8.0, 0.0)):
    lot = np.random.default_rng(seed)
    values = {name: lot.uniform(size=count) for name in NOW}
    line = sum(one * (values[name] - 0.5) for one, name in zip(slope, NOW, strict=True))
    return values, lot.uniform(size=count) < 1 / (1 + np.exp(-line))


def test_the_driver_gets_the_weight_and_its_sign_is_sure():
    rows, said = suggest_weights("a", *drawn(1), NOW)
    area, cover = rows.itertuples(index=False)
    assert area.weight_share > 0.8 > 0.5 > cover.weight_high_share
    assert area.positive_share == 1.0
    assert area.weight_low_share <= area.weight_share <= area.weight_high_share
    assert (area.weight_now_share, cover.weight_now_share) == (0.6, 0.4)
    assert said.startswith("A suggestion, never applied: logistic regression on 80 releases")
    again, _ = suggest_weights("a", *drawn(1), NOW)
    assert again.equals(rows)


def test_what_speaks_against_establishment_gets_no_weight_and_is_told_by_its_sign():
    rows, said = suggest_weights("a", *drawn(2, slope=(8.0, -8.0)), NOW)
    assert said.endswith("Sure to have spoken against establishment: host_cover; look at the curve.")
    assert rows["weight_share"].tolist() == [1.0, 0.0]
    assert rows["positive_share"].tolist() == [1.0, 0.0]


def test_where_nothing_drives_nothing_is_suggested():
    rows, said = suggest_weights("a", *drawn(5, slope=(0.0, 0.0)), NOW)
    assert (len(rows), said) == (0, NOT_SURE)


def test_what_only_speaks_against_suggests_nothing_and_is_named():
    rows, said = suggest_weights("a", *drawn(2, slope=(0.0, -8.0)), NOW)
    assert len(rows) == 0
    assert said == f"{NOT_SURE} Sure to have spoken against establishment: host_cover; look at the curve."


def test_few_outcomes_suggest_nothing_and_say_how_many_it_takes():
    values, _ = drawn(1, count=30)
    rows, said = suggest_weights("a", values, np.arange(30) < 9, NOW)
    assert len(rows) == 0
    assert said == (
        "No weights are suggested: where 2 criteria are known and the visits would have told either outcome, the rarer "
        "was seen 9 times; 10 are needed, 5 for each criterion."
    )


def test_a_criterion_that_is_mostly_missing_or_flat_is_named_and_not_fitted():
    values, outcome = drawn(1)
    values["slope"] = np.where(np.arange(80) < 20, np.nan, 0.5)
    values["climate_gap"] = np.full(80, 0.7)
    _, said = suggest_weights("a", values, outcome, NOW | {"slope": 0.0, "climate_gap": 0.0})
    assert said.endswith("Not fitted, missing too often or the same everywhere: slope, climate_gap.")


def test_without_scikit_learn_it_says_how_to_get_it(monkeypatch):
    monkeypatch.setitem(sys.modules, "sklearn.linear_model", None)
    rows, said = suggest_weights("a", *drawn(1), NOW)
    assert len(rows) == 0
    assert (
        said == "No weights are suggested: that needs scikit-learn. Install it with pip install scikit-learn"
    )


@pytest.mark.parametrize("count", [0, 3])
def test_no_releases_no_weights(count):
    rows, said = suggest_weights("a", {name: np.ones(count) for name in NOW}, np.ones(count, dtype=bool), NOW)
    assert len(rows) == 0
    none = "no release is used whose visits would have told either outcome"
    why = "no criterion differs between the releases" if count else none
    assert said == f"No weights are suggested: {why}."
