"""Early, typical and late: years that never reach, years nobody knows, and too few years."""

import numpy as np
import pytest

from geo_scout.formulas.degree_days.year_quantiles import TooFewYears, day_quantiles

NAN = np.nan


def column(*days):
    return np.array(days, dtype=float)[:, None]


def test_eleven_years_by_hand():
    # of eleven in order, one tenth is the second, a half the sixth, nine tenths the tenth
    days = column(150, 140, 160, 145, 155, 141, 149, 158, 152, 147, 171)
    found = day_quantiles(days, np.full(days.shape, True))
    assert found.day.ravel().tolist() == pytest.approx([141.0, 150.0, 160.0])
    assert found.years_known.tolist() == [11]
    assert found.years_reached.tolist() == [11]


def test_years_that_never_reach_are_later_than_any_date():
    # eleven years, of which three never: the tenth in order is never, the sixth is 150
    days = column(150, 140, NAN, 145, 155, 141, 149, NAN, 152, 147, NAN)
    found = day_quantiles(days, np.full(days.shape, True))
    np.testing.assert_array_equal(found.day.ravel(), [141.0, 150.0, NAN])
    assert (found.years_known.item(), found.years_reached.item()) == (11, 8)


def test_between_a_date_and_never_is_not_reached():
    # ten years, one never: nine tenths lies a tenth of the way from the ninth date to never
    days = column(*range(140, 149), NAN)
    found = day_quantiles(days, np.full(days.shape, True), quantiles=(0.1, 8 / 9, 0.9))
    np.testing.assert_allclose(found.day.ravel(), [140.9, 148.0, NAN])


def test_years_nobody_knows_are_left_out():
    days = column(*range(140, 151), NAN, NAN)
    known = ~np.isnan(days)
    found = day_quantiles(days, known)
    assert found.day.ravel().tolist() == pytest.approx([141.0, 145.0, 149.0])
    assert found.years_known.tolist() == [11]


def test_a_site_with_too_few_known_years_has_no_quantiles():
    days = np.tile(np.arange(140.0, 152.0)[:, None], (1, 2))
    known = np.full(days.shape, True)
    known[:3, 1] = False
    found = day_quantiles(days, known)
    assert not np.isnan(found.day[:, 0]).any()
    assert np.isnan(found.day[:, 1]).all()
    assert found.years_known.tolist() == [12, 9]


def test_all_years_never():
    found = day_quantiles(column(*[NAN] * 12), np.full((12, 1), True))
    assert np.isnan(found.day).all()
    assert (found.years_known.item(), found.years_reached.item()) == (12, 0)


def test_several_sums_at_once():
    days = np.arange(2 * 11 * 3, dtype=float).reshape(2, 11, 3)
    found = day_quantiles(days, np.full(days.shape, True))
    assert found.day.shape == (3, 2, 3)
    np.testing.assert_allclose(found.day, np.quantile(days, [0.1, 0.5, 0.9], axis=1))


def test_nine_years_are_refused():
    with pytest.raises(TooFewYears, match="9 years are too few for early and late dates; 10 are needed"):
        day_quantiles(np.zeros((9, 4)), np.full((9, 4), True))
    assert issubclass(TooFewYears, ValueError)


@pytest.mark.parametrize(("days", "known"), [((12, 2), (12, 3)), ((12,), (12,))])
def test_shapes_that_do_not_fit_are_refused(days, known):
    with pytest.raises(ValueError, match="years, sites"):
        day_quantiles(np.zeros(days), np.zeros(known, dtype=bool))
