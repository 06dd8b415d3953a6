"""What must hold of the worth of visits whatever the numbers."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from geo_scout.formulas.visit_value import VisitOutcomes, most_worth, visit_worth, weigh_outcomes
from geo_scout.planning.choosing import choose_visits

SHARES = st.floats(0.0, 1.0)
FILLS = st.floats(0.0, 10.0)
SITES = st.lists(st.tuples(SHARES, FILLS, SHARES, st.floats(0.1, 9.0)), min_size=1, max_size=9)
PLACES = st.one_of(st.none(), st.integers(1, 5))


def outcomes_of(sites, elsewhere=1.5):
    """Return the outcomes of sites of two states, each (chance, what it fills, chance of finding it, hours)."""
    there, fills, found = (np.array([site[part] for site in sites]) for part in range(3))
    none = np.zeros(len(sites))
    seen = np.stack([np.stack([none + 1, none], 1), np.stack([1 - found, found], 1)], 1)
    return weigh_outcomes(np.stack([1 - there, there], 1), np.stack([none, fills], 1), seen, elsewhere)


def names_of(sites):
    return [f"S{number}" for number in range(len(sites))]


@given(SHARES, SHARES, st.floats(0.1, 10.0), SHARES, SHARES, st.floats(0.0, 5.0))
def test_a_better_chance_of_finding_never_lowers_the_worth(there, enough, fills, worse, better, elsewhere):
    worse, better = sorted((worse, better))
    share = [[1 - there, there * (1 - enough), there * enough]]
    worth = [
        visit_worth(
            weigh_outcomes(
                share,
                [[0.0, 0.0, fills]],
                [[[1, 0, 0], [1 - found, found, 0], [1 - found, 0, found]]],
                elsewhere,
            )
        )[0]
        for found in (worse, better)
    ]
    # Rounding: sums of three products of numbers up to 10.
    assert worth[1] >= worth[0] - 2e-9


@given(SHARES, SHARES, SHARES, st.floats(0.0, 0.5), st.floats(0.0, 5.0))
def test_a_better_chance_of_finding_never_lowers_the_worth_beside_wrong_finds(
    there, worse, better, wrong, elsewhere
):
    worse, better = sorted((max(worse, wrong), max(better, wrong)))
    worth = [
        visit_worth(
            weigh_outcomes(
                [[1 - there, there]], [[0.0, 4.0]], [[[1 - wrong, wrong], [1 - found, found]]], elsewhere
            )
        )[0]
        for found in (worse, better)
    ]
    assert worth[1] >= worth[0] - 2e-9


@given(SITES, st.floats(0.0, 5.0))
def test_a_visit_that_leaves_every_decision_as_it_is_is_worth_exactly_nothing(sites, elsewhere):
    outcomes = outcomes_of(sites, elsewhere)
    is_possible = outcomes.chance > 0
    always = np.where(is_possible, outcomes.gain, np.inf).min(axis=1) >= 0
    never = np.where(is_possible, outcomes.gain, -np.inf).max(axis=1) <= 0
    assert (visit_worth(outcomes)[always | never] == 0.0).all()


@given(SITES, PLACES, st.randoms())
@settings(deadline=None)
def test_the_order_of_the_sites_means_nothing(sites, places, shuffled):
    names = names_of(sites)
    rows = list(range(len(sites)))
    shuffled.shuffle(rows)
    hours = np.array([site[3] for site in sites])
    plan = choose_visits(outcomes_of(sites), hours, names, places)
    again = choose_visits(
        outcomes_of([sites[row] for row in rows]), hours[rows], [names[row] for row in rows], places
    )
    assert [names[rows[row]] for row in again.order] == [names[row] for row in plan.order]
    assert (again.worth == plan.worth[rows]).all()


@given(SITES, PLACES, st.floats(0.0, 50.0), st.integers(0, 8))
@settings(deadline=None)
def test_a_longer_way_never_raises_the_worth_per_hour_of_the_first_look(sites, places, more_hours, which):
    """Where places are few, before other visits: what those find may later make a visit worth more."""
    hours = np.array([site[3] for site in sites])
    outcomes = outcomes_of(sites)
    one = which % len(sites)
    near = choose_visits(outcomes, hours, names_of(sites), places)
    longer = hours.copy()
    longer[one] += more_hours
    far = choose_visits(outcomes, longer, names_of(sites), places)
    if near.order[:1] == far.order[:1] == (one,):
        assert far.worth[one] / longer[one] <= near.worth[one] / hours[one]
    if one not in near.order[:1]:
        assert one not in far.order[:1]
    if places is None:
        assert far.worth[one] / longer[one] <= near.worth[one] / hours[one]


@given(SITES, st.floats(0.0, 5.0), st.floats(0.0, 5.0), st.floats(0.0, 1.0))
def test_no_hurdle_in_a_range_makes_a_visit_worth_more_than_its_bound(sites, one_end, other_end, part):
    outcomes = outcomes_of(sites)
    least, most = sorted((one_end, other_end))
    worth = visit_worth(outcomes, least + part * (most - least))
    assert (worth <= most_worth(outcomes, least, most) + 3e-9).all()


@given(SITES, PLACES)
@settings(deadline=None)
def test_a_plan_visits_what_is_worth_something_and_nothing_else(sites, places):
    outcomes = outcomes_of(sites)
    plan = choose_visits(outcomes, np.array([site[3] for site in sites]), names_of(sites), places)
    assert len(set(plan.order)) == len(plan.order)
    assert sorted(plan.order) == np.flatnonzero(plan.worth > 0).tolist()
    assert (plan.worth >= 0).all()


def test_a_season_without_sites_visits_none():
    nothing = VisitOutcomes(np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0))
    for places in (None, 3):
        assert choose_visits(nothing, np.zeros(0), [], places).order == ()
