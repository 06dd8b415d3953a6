"""The derivation that is printed: the same numbers, step by step, in words."""

import numpy as np
import pytest

from geo_scout.evidence import gather_evidence, presence_steps
from geo_scout.ranking import explain_presence
from geo_scout.sites import find_patches

NET = {
    "name": "adults in the net",
    "methods": ["sweep net"],
    "first_day": "06-01",
    "last_day": "08-15",
    "found_share": {"value": 0.5, "low": 0.4, "high": 0.6},
    "effort_hours": 1.0,
    "wrong_share": 0.05,
}


@pytest.fixture
def derive(frames):
    """Return the evidence on patches K0 (0 m) and K1 (1,000 m) and the steps of one place."""

    def run(put, seen, place="ASHT-K0", spread=None, **rows_of):
        agent = frames.agent(
            establishment={
                "prior_share": {"value": 0.65, "low": 0.5, "high": 0.8},
                "persistence_share": 0.9,
                "first_detectable_years": 1.0,
            },
            signs=[NET],
            spread=spread or {},
        )
        season = frames.season(agent, records={"loss_kinds": ["herbicide"]})
        weeds = [frames.row(frames.square(1000 * n), id=f"K{n}") for n in range(2)]
        releases = [
            frames.row(frames.point(east_m), release_id=name, date=date) for name, east_m, date in put
        ]
        visits = [
            frames.row(
                frames.point(east_m),
                visit_id=name,
                date=date,
                found=found,
                method=method,
                effort_hours=hours,
            )
            for name, east_m, date, found, hours, method in seen
        ]
        layers = frames.layers(infestations=weeds, releases=releases, visits=visits, **rows_of)
        sites = find_patches(layers, season, frames.HOST)
        evidence = gather_evidence(sites, layers, season, agent)
        return evidence, presence_steps(sites, layers, season, agent, evidence, place)

    return run


def test_each_step_has_its_numbers(derive, frames):
    over = frames.row(
        frames.square(0), treatment_id="T", kind="herbicide", start="2024-05-01", end="2024-05-02"
    )
    _, steps = derive(
        [("R", 50, "2021-06-01")],
        [
            ("a", 50, "2022-07-01", False, 2.0, "sweep net"),
            ("b", 50, "2022-12-01", False, 2.0, "sweep net"),
            ("c", 50, "2023-07-01", True, 1.0, "sweep net"),
            ("d", 50, "2025-07-01", True, 1.0, "by chance"),
        ],
        treatments=[over],
    )
    told = [
        (step.when, step.what, round(step.low, 4), round(step.best, 4), round(step.high, 4)) for step in steps
    ]
    assert told == [
        ("2021-06-01", "release R, prior 0.6500 (0.5000 to 0.8000)", 0.5, 0.65, 0.8),
        ("2022", "what did not come from others stays with 0.9000", 0.45, 0.585, 0.72),
        # 2 h: 1 - 0.5^2 = 0.75, 1 - 0.6^2 = 0.64, 1 - 0.4^2 = 0.84; 0.585 x 0.25 / (1 - 0.585 x 0.75) = 0.2606;
        # the highest chance of finding leaves the lowest, 0.45 x 0.16 / (1 - 0.45 x 0.84) = 0.1158
        (
            "2022-07-01",
            "visit a did not find it; it finds it with 0.7500 (0.6400 to 0.8400) (adults in the net, 2 h, "
            "where 1 h find it with 0.5000 (0.4000 to 0.6000))",
            0.1158,
            0.2606,
            0.4807,
        ),
        (
            "2022-12-01",
            "visit b did not find it and changes nothing: it cannot be seen on that day",
            0.1158,
            0.2606,
            0.4807,
        ),
        ("2023", "what did not come from others stays with 0.9000", 0.1042, 0.2345, 0.4326),
        # 0.2345 x 0.5 / (0.2345 x 0.5 + 0.7655 x 0.05) = 0.7539
        (
            "2023-07-01",
            "visit c found it; it finds it with 0.5000 (0.4000 to 0.6000) (adults in the net, 1 h, where 1 h "
            "find it with 0.5000 (0.4000 to 0.6000)), and by mistake with 0.0500",
            0.4820,
            0.7539,
            0.9015,
        ),
        ("2024", "what did not come from others stays with 0.9000", 0.4338, 0.6785, 0.8113),
        ("2024-05-02", "lost: herbicide T over 100 % of it", 0.0, 0.0, 0.0),
        (
            "2025-07-01",
            "visit d found it; it finds it with 1.0000 (no sign of the profile has its method; it was seen all "
            "the same), and by mistake with 0.0000; without a release it starts from 0.6500 (0.5000 to 0.8000)",
            1.0,
            1.0,
            1.0,
        ),
        ("2026", "what did not come from others stays with 0.9000", 0.9, 0.9, 0.9),
    ]  # fmt: skip


def test_the_last_step_is_the_chance_of_the_tables(derive):
    put = [("R", 50, "2019-06-01"), ("Q", 1050, "2020-06-01"), ("O", 2500, "2018-06-01")]
    seen = [
        ("a", 1050, "2022-07-01", False, 0.7, "sweep net"),
        ("b", 50, "2023-07-01", True, 0.7, "sweep net"),
    ]
    spread = {"km_per_yr": 0.4, "lag_years": 1.0, "max_spread_km": 4.0}
    for place in ("ASHT-K0", "ASHT-K1", "at release O"):
        evidence, steps = derive(put, seen, place, spread)
        table = evidence.releases.set_index("place_id").loc[place]
        shares = table[["presence_low_share", "presence_share", "presence_high_share"]]
        last = steps[-1]
        np.testing.assert_allclose([last.low, last.best, last.high], shares.to_numpy(float), rtol=1e-12)


def test_arrivals_name_the_origin_that_adds_most(derive):
    spread = {"km_per_yr": 0.5, "max_spread_km": 5.0}
    _, steps = derive([("R", 50, "2025-07-01"), ("O", 8000, "2025-07-01")], [], "ASHT-K1", spread)
    # At 30 December 2025 half a year (183 days), on 1 November 2026 488 days; exp(-0.9 / (0.5 x 0.501027)) =
    # 0.0275 and exp(-0.9 / (0.5 x 1.336071)) = 0.2600; times 0.65 x 0.9 for the year it has lasted: 0.0161 and 0.1521;
    # 1 - (1 - 0.1521) / (1 - 0.0161) = 0.1382. Lowest with 0.93 km and 0.45: 0.0110, 0.1118, 0.1020; highest
    # with 0.87 km and 0.72: 0.0223, 0.1958, 0.1774.
    assert [step.what for step in steps] == [
        "it arrives with 0.0161 (0.0110 to 0.0223) from ASHT-K0 (0.900 km, established there with 0.5850, reach "
        "0.0275 after 0.50 years)",
        "it arrives with 0.1382 (0.1020 to 0.1774) from ASHT-K0 (0.900 km, established there with 0.5850, reach "
        "0.2600 after 1.34 years); in all it came from others with 0.1521 (0.1118 to 0.1958)",
    ]  # fmt: skip
    assert [round(step.best, 4) for step in steps] == [0.0161, 0.1521]


def test_a_find_without_a_release_counts_as_one_beside_what_arrived(derive):
    spread = {"km_per_yr": 0.5, "max_spread_km": 5.0}
    put, seen = [("R", 50, "2018-06-01")], [("f", 1050, "2020-07-01", True, 1.0, "sweep net")]
    _, steps = derive(put, seen, "ASHT-K1", spread)
    # At 30 December 2020 it has spread for 943 days; exp(-0.9 / (0.5 x 2.581793)) = 0.4980, times 0.65 x 0.9^8 =
    # 0.2798 that it took there to this day: 0.1393. 0.1393 + 0.8607 x 0.65 = 0.6988; then
    # 0.6988 x 0.5 / (0.6988 x 0.5 + 0.3012 x 0.05) = 0.9587.
    (find,) = [step for step in steps if step.when == "2020-07-01"]
    assert "; without a release it starts from 0.6988 (" in find.what
    assert round(find.best, 4) == 0.9587


def test_a_curve_read_at_the_end_of_its_years_says_so(derive):
    curve = {"ln_km_per_yr": 0.258, "ln_km_at_start": 0.741, "fitted_from_years": 1.0, "fitted_to_years": 1.2}
    _, steps = derive([("R", 50, "2025-07-01")], [], "ASHT-K1", {"curve": curve, "max_spread_km": 5.0})
    assert "after 0.50 years, its curve read at 1, where its years end)" in steps[0].what
    assert "after 1.34 years, its curve read at 1.2, where its years end)" in steps[1].what


def test_a_place_no_record_and_no_arrival_speaks_for_has_no_step(derive):
    evidence, steps = derive([("R", 50, "2021-06-01")], [], "ASHT-K1")
    assert steps == []
    assert "  no record and no arrival speaks for it\n" in explain_presence(evidence, 1, steps)
    assert derive([], [], "no such place")[1] == []


def test_the_derivation_is_printed_with_the_chance_after_each_step(derive):
    evidence, steps = derive([("R", 50, "2025-06-01")], [("v", 1050, "2026-07-01", True, 1.0, "")])
    assert explain_presence(evidence, 0, steps).splitlines() == [
        "Is stem weevil there? Chance after each step, best (lowest to highest):",
        "  2025-06-01: release R, prior 0.6500 (0.5000 to 0.8000) -> 0.6500 (0.5000 to 0.8000)",
        "  2026: what did not come from others stays with 0.9000 -> 0.5850 (0.4500 to 0.7200)",
        "  possible (2025), now 59 % (45 to 72 %): release R of 2025-06-01.",
        "  nearest confirmed population 0.900 km away, edge to edge: whether it crosses such a gap is not known",
    ]
