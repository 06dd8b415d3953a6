"""A visit's worth in words, for the site that is explained."""

import numpy as np
import pandas as pd

from geo_scout.model.scouting import ScoutingList
from geo_scout.ranking import explain_visit


def listed(role, worth, why, sign="adults", agent="weevil"):
    table = pd.DataFrame(
        {"site_id": ["A"], "visit_worth": [worth], "worth_unit": ["releases"], "why": [why], "sign": [sign]}
    )
    return ScoutingList(agent, role, table)


def test_each_role_says_worth_and_why_and_other_agents_are_left_out():
    lists = [
        listed("source", 0.4951, "not visited since 2023"),
        listed("release", np.nan, "not valued: no sign", sign=""),
        listed("source", 9.0, "of another agent", agent="beetle"),
    ]
    assert explain_visit(lists, "weevil", "A").splitlines() == [
        "What a scouting visit is worth for weevil:",
        "  as a source: adults: 0.4951 releases, not visited since 2023",
        "  as a release site: not valued: no sign",
    ]
    assert explain_visit(lists[:1], "weevil", "B").splitlines()[1] == (
        "  as a source: not to be visited; see the reasons below"
    )
