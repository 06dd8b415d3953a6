"""The greedy choice on cases that can be done in the head."""

import numpy as np
import pytest

from geo_scout.formulas.visit_value import weigh_outcomes
from geo_scout.planning import choosing
from geo_scout.planning.choosing import choose_visits, start_hurdle


def certain(*sites):
    """Return sites whose visit tells all: (chance of being good, gain where good); else they gain nothing."""
    good, gain = np.array(sites).T
    seen = np.broadcast_to(np.eye(2), (len(sites), 2, 2))
    return weigh_outcomes(np.column_stack([1 - good, good]), np.column_stack([0 * gain, gain]), seen, 0.0)


@pytest.mark.parametrize(
    ("places", "expected"),
    [
        (None, [0.0, 0.0, 0.0, 0.0]),
        (1, [2.0, 3.0, 3.0, 3.0]),
        (2, [1.0, 1.0, 2.0, 2.0]),
        (3, [0.0, 0.0, 0.0, 1.0]),
        (9, [0.0, 0.0, 0.0, 0.0]),
    ],
)
def test_a_site_must_pass_the_one_it_would_displace(places, expected):
    assert start_hurdle(np.array([3.0, 2.0, 1.0, -1.0]), places).tolist() == expected


def test_without_a_limit_each_visit_stands_alone():
    """Half a chance of 4 against a day worth 1: 0.5 x (4 - 1) - (2 - 1) = 0.5; in one, two and four hours."""
    states, payoff = np.full((3, 2), 0.5), np.tile([0.0, 4.0], (3, 1))
    outcomes = weigh_outcomes(states, payoff, np.broadcast_to(np.eye(2), (3, 2, 2)), 1.0)
    plan = choose_visits(outcomes, np.array([4.0, 1.0, 2.0]), ["A", "B", "C"], None)
    assert plan.order == (1, 2, 0)
    assert plan.worth.tolist() == [0.5, 0.5, 0.5]
    assert not plan.is_cut


def test_of_equal_visits_the_smaller_id_comes_first():
    plan = choose_visits(certain((0.5, 1.0), (0.5, 1.0)), np.ones(2), ["Z", "B"], 1)
    assert plan.order[0] == 1


def test_once_the_place_is_known_to_be_filled_the_rest_is_worth_less():
    """One place, two of 0.5 x 1: A bad, 0.5, saves B's 0.5, 0.25; then B good matters where A is bad: 0.

    Where A is good, it gains 1 and B cannot pass it; where A is bad, B is used whatever is found.
    """
    plan = choose_visits(certain((0.5, 1.0), (0.5, 1.0)), np.ones(2), ["A", "B"], 1)
    assert plan.order == (0,)
    assert plan.worth.tolist() == [0.25, 0.0]


def test_with_a_place_for_each_a_visit_that_cannot_make_things_better_is_none():
    plan = choose_visits(certain((0.5, 1.0), (0.5, 1.0)), np.ones(2), ["A", "B"], 2)
    assert plan.order == ()
    assert plan.worth.tolist() == [0.0, 0.0]


def test_after_many_visits_the_rest_is_put_in_order_at_once(monkeypatch):
    """The first two as ever; the third and fourth with what they would add beside these, most per hour first."""
    sites = certain((0.4, 3.0), (0.4, 2.8), (0.4, 2.6), (0.4, 2.4), (0.4, 2.2))
    hours = np.array([1.0, 1.0, 1.0, 1.0, 1.0])
    names = list("ABCDE")
    whole = choose_visits(sites, hours, names, 1)
    assert len(whole.order) > 3
    monkeypatch.setattr(choosing, "RESOLVED", 2)
    cut = choose_visits(sites, hours, names, 1)
    assert cut.is_cut
    assert cut.order[:3] == whole.order[:3]
    assert cut.worth[list(cut.order[:3])].tolist() == whole.worth[list(whole.order[:3])].tolist()
    rest = cut.worth[list(cut.order[2:])]
    assert (np.diff(rest) <= 0).all()
    assert (rest > 0).all()


def test_the_same_season_is_drawn_the_same_way_and_another_agent_another():
    sites, names = certain(*[(0.37, 3.0 - n / 10) for n in range(6)]), list("ABCDEF")
    one, again, other = (choose_visits(sites, np.ones(6), names, 2, seed) for seed in ("x", "x", "y"))
    assert one.worth.tolist() == again.worth.tolist()
    assert one.order == again.order
    assert one.worth.tolist() != other.worth.tolist()
