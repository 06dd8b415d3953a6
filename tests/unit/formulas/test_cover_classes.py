"""Reading cover classes as people write them."""

import numpy as np
import pytest

from geo_scout.formulas.cover_classes import SCHEMES, CoverScheme, cover_from_class


def test_labels_are_read_as_people_and_spreadsheets_write_them():
    low, mid, high = cover_from_class(["3", " 3 ", "3.0", 3, 3.0, np.int64(3), "3.00"], "daubenmire")
    assert set(low) == {0.25}
    assert set(mid) == {0.375}
    assert set(high) == {0.5}


def test_unknown_and_missing_labels_are_nan():
    labels = ["7", "0", "", None, np.nan, "3.5", "03", "high", "-1", True]
    for part in cover_from_class(labels, "daubenmire"):
        assert part.shape == (10,)
        assert np.isnan(part).all()


def test_capitals_do_not_matter():
    scheme = CoverScheme(
        name="own", source="a test", classes={"Low": (0.0, 0.1, 0.2), "HIGH": (0.2, 0.6, 1.0)}
    )
    _, mid, _ = cover_from_class(["low", "LOW ", "High"], scheme)
    assert mid.tolist() == [0.1, 0.1, 0.6]


def test_no_labels_and_no_such_scheme():
    assert [part.shape for part in cover_from_class([], "daubenmire")] == [(0,)] * 3
    with pytest.raises(
        ValueError, match="no cover scheme 'domino'; the schemes are daubenmire, braun-blanquet"
    ):
        cover_from_class(["1"], "domino")


def test_schemes_cannot_be_changed_by_accident():
    with pytest.raises(TypeError):
        SCHEMES["own"] = SCHEMES["daubenmire"]
    with pytest.raises(TypeError):
        SCHEMES["daubenmire"].classes["1"] = (0.0, 0.5, 1.0)


@pytest.mark.parametrize("name", list(SCHEMES))
def test_each_scheme_is_in_order_within_0_and_1_and_says_what_is_from_memory(name):
    scheme = SCHEMES[name]
    assert scheme.name == name
    assert "from memory" in scheme.source
    limits = np.array(list(scheme.classes.values()))
    assert ((limits[:, 0] < limits[:, 1]) & (limits[:, 1] < limits[:, 2])).all()
    assert (np.diff(limits, axis=0) >= 0).all()
    assert limits.min() >= 0.0
    assert limits.max() == 1.0
