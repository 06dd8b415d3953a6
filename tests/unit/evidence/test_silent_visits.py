"""Findings about visits in vain that change nothing, and finds out of season."""

import pytest

from geo_scout.evidence import gather_evidence
from geo_scout.sites import find_patches

NET = {
    "name": "adults in the net",
    "methods": ["sweep net"],
    "first_day": "06-01",
    "last_day": "08-15",
    "found_share": 0.5,
    "effort_hours": 1.0,
}


@pytest.fixture
def findings(frames):
    def run(*seen):
        agent = frames.agent(signs=[NET])
        season = frames.season(agent)
        visits = [
            frames.row(
                frames.point(50),
                visit_id=f"v{n}",
                date=date,
                found=found,
                method=method,
                effort_hours=hours,
            )
            for n, (date, found, method, hours) in enumerate(seen)
        ]
        layers = frames.layers(infestations=[frames.row(frames.square(0), id="K")], visits=visits)
        evidence = gather_evidence(find_patches(layers, season, frames.HOST), layers, season, agent)
        return [one for one in evidence.findings if one.layer == "visits"]

    return run


def test_visits_in_vain_without_weight_are_counted_by_what_is_missing(findings):
    found = findings(
        ("2024-07-01", False, "sweep net", None),
        ("2024-07-02", False, "trap", 1.0),
        ("2024-07-03", False, "trap", None),
        ("2024-07-04", False, "sweep net", 1.0),
        ("2024-12-04", False, "sweep net", 1.0),
        ("2024-07-05", True, "trap", None),
    )
    assert [(one.code, one.grade, one.what) for one in found] == [
        (
            "visits-without-weight",
            "note",
            "2 of 5 visits that did not find stem weevil change nothing: no sign of the profile has 'trap' (v1, v2).",
        ),
        (
            "visits-without-weight",
            "note",
            "1 of 5 visits that did not find stem weevil changes nothing: no effort is written down.",
        ),
    ]
    assert "[[signs]]" in found[0].fix
    assert "blank_effort_hours" in found[1].fix


def test_a_find_out_of_season_is_a_finding_with_its_place(findings):
    (one,) = findings(("2024-09-01", True, "sweep net", 1.0), ("2024-08-15", True, "sweep net", 1.0))
    assert (one.code, one.grade, one.feature) == ("find-out-of-season", "caution", "v0")
    assert one.what == (
        "adults in the net found on 2024-09-01, outside 06-01 to 08-15; the find still counts."
    )
    assert one.longitude_deg == pytest.approx(-110.0, abs=0.01)
    assert one.latitude_deg == pytest.approx(47.0, abs=0.01)


def test_visits_that_speak_are_no_finding(findings):
    assert findings(("2024-07-01", False, "sweep net", 1.0), ("2024-07-02", True, "sweep net", 1.0)) == []


def test_methods_without_a_sign_are_named_with_a_few_of_their_visits(findings):
    seen = [(f"2024-07-0{day}", False, "trap", 1.0) for day in range(1, 6)]
    seen += [("2024-07-06", False, "", 1.0), *(("2024-07-07", False, f"way {n}", 1.0) for n in range(3))]
    assert findings(*seen)[0].what == (
        "9 of 9 visits that did not find stem weevil change nothing: no sign of the profile has 'trap' (v0, v1, v2 and 2 "
        "more), a blank method (v5), 'way 0' (v6) and 2 more."
    )
