"""Who may be visited, and with which score."""

import pandas as pd
import pytest

from geo_scout.model.criteria import CriteriaTables, Criterion, Curve, ReleaseCriteria, WastedChance
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.ranking import Ranking
from geo_scout.model.supply import SUPPLY_COLUMNS
from geo_scout.planning.candidates import find_candidates


@pytest.fixture
def find(books):
    def run(role="source", codes=(), criteria=None, weights=None, free=None, **columns):
        rows = [books.site("B"), books.site("A")]
        evidence = books.evidence(rows)
        supply = pd.DataFrame(index=range(2), columns=list(SUPPLY_COLUMNS))
        object.__setattr__(evidence, "supply", supply)
        table = pd.DataFrame(
            {"site_id": ["A", "B"], "score": [0.5, 0.7], "status": ["ranked", "left out"], **columns}
        )
        chosen = CriteriaTables().of(role) if criteria is None else criteria
        ranking = Ranking(books.AGENT, role, chosen, weights or {}, {}, table, score_if_free=free)
        given = [
            Exclusion(agent, of, site_id, code, "", None, None, "", "") for agent, of, site_id, code in codes
        ]
        return find_candidates(books.sites(rows), evidence, ranking, given).set_index("site_id")

    return run


def test_sites_stand_by_their_id_with_their_own_score(find):
    found = find()
    assert found.index.tolist() == ["A", "B"]
    assert found["score_if_free"].tolist() == [0.5, 0.7]
    assert found["is_ranked"].tolist() == [True, False]


def test_only_what_a_find_can_lift_does_not_bar_a_source(find, books):
    found = find(
        codes=[
            (books.AGENT, "source", "A", "agent-not-confirmed"),
            (books.AGENT, "source", "B", "agent-not-confirmed"),
            (books.AGENT, "source", "B", "too-small"),
            (books.AGENT, "source", "B", "treated"),
            (books.AGENT, "release", "A", "treated"),
            ("another", "source", "A", "permission-refused"),
        ]
    )
    assert found["barred"].to_dict() == {"A": "", "B": "too-small; treated"}


def test_being_too_close_bars_a_site_only_where_no_visit_moves_its_score(find, books):
    codes = [(books.AGENT, "release", "A", "too-close"), (books.AGENT, "release", "B", "too-small")]
    counted: dict[str, Criterion] = {"wasted_chance": WastedChance()}
    for criteria, crowded, barred in ((counted, True, ""), ({}, False, "too-close")):
        found = find(
            role="release", codes=codes, criteria=criteria, weights={"wasted_chance": 0.2},
            wasted_chance_points=[0.2, 0.2],
        )  # fmt: skip
        assert found["is_crowded"].to_dict() == {"A": crowded, "B": False}
        assert found["barred"].to_dict() == {"A": barred, "B": "too-small"}


def test_a_score_that_counts_the_chance_of_waste_gets_its_full_points_back(find):
    """Weight 0.2 on a curve that is 1 at no chance; 0.08 points were left: 0.5 - 0.08 + 0.2 = 0.62."""
    criteria: dict[str, Criterion] = {"wasted_chance": WastedChance()}
    found = find(
        role="release", criteria=criteria, weights={"wasted_chance": 0.2}, wasted_chance_points=[0.08, 0.2]
    )
    assert found["score_if_free"].tolist() == pytest.approx([0.62, 0.7])
    plateau = Curve.model_validate(
        {"shape": "plateau", "from": -1.0, "full_from": 0.0, "full_to": 0.2, "to": 1.0}
    )
    for curve, expected in (
        (plateau, 0.62),
        (Curve.model_validate({"shape": "rising", "from": 0, "to": 1}), 0.42),
    ):
        given = ReleaseCriteria(wasted_chance=WastedChance(curve=curve))
        found = find(
            role="release",
            criteria={"wasted_chance": given.wasted_chance},
            weights={"wasted_chance": 0.2},
            wasted_chance_points=[0.08, 0.2],
        )
        assert found["score_if_free"].iloc[0] == pytest.approx(expected)


def test_a_score_that_is_no_sum_of_points_brings_what_it_would_be(find):
    criteria: dict[str, Criterion] = {"wasted_chance": WastedChance()}
    found = find(
        role="release",
        criteria=criteria,
        weights={"wasted_chance": 0.2},
        wasted_chance_points=[0.08, 0.2],
        free=pd.Series({"B": 0.9, "A": 0.55}),
    )
    assert found["score_if_free"].to_dict() == {"A": 0.55, "B": 0.9}
