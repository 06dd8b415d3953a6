"""The chance that an agent is there: against sums done by hand, a closed form, and virtual releases."""

import datetime as dt

import numpy as np
import pytest

from geo_scout.evidence import gather_evidence
from geo_scout.sites import find_patches
from tests import sites_frames as frames

VIRTUAL = 100_000
WEEDS = [frames.row(frames.square(1000 * n), id=f"K{n}") for n in range(3)]  # gaps of 900 m
# Reports of stems are never mistaken, those of adults may be.
STEMS = {
    "name": "larvae in stems",
    "methods": ["dissection"],
    "first_day": "05-01",
    "last_day": "09-30",
    "found_share": 0.5,
    "effort_hours": 1.0,
}
NET = {
    "name": "adults",
    "methods": ["net"],
    "first_day": "05-01",
    "last_day": "09-30",
    "found_share": 0.5,
    "effort_hours": 1.0,
    "wrong_share": 0.05,
}


def release(name, east_m, date):
    return frames.row(frames.point(east_m), release_id=name, date=date)


def visit(name, east_m, date, found, hours=1.0, method="net"):
    return frames.row(
        frames.point(east_m), visit_id=name, date=date, found=found, method=method, effort_hours=hours
    )


def presence(put, seen, as_of=dt.date(2023, 12, 31), prior=0.65, spread=None, sign=None, **establishment):
    """Return the best chance in each patch."""
    evidence = gather(put, seen, as_of, prior, spread, sign, **establishment)
    return evidence.sites["presence_share"].to_numpy()


def gather(put, seen, as_of, prior, spread, sign, **establishment):
    agent = frames.agent(
        establishment={"prior_share": prior, **establishment},
        spread=spread or {},
        signs=[NET | (sign or {}), STEMS],
    )
    season = frames.season(agent, as_of=as_of)
    layers = frames.layers(infestations=WEEDS, releases=put, visits=seen)
    return gather_evidence(find_patches(layers, season, frames.HOST), layers, season, agent)


def test_a_release_followed_year_by_year_by_hand():
    # Prior 0.65 in 2019, persistence 0.9 a year.
    # 2020: 0.9 x 0.65 = 0.585; not found in 1 h (d = 0.5): 0.585 x 0.5 / (1 - 0.585 x 0.5) = 0.2925 / 0.7075
    #       = 0.413428
    # 2021: 0.9 x 0.413428 = 0.372085; found in 2 h (d = 1 - 0.5^2 = 0.75, f = 0.05):
    #       0.279064 / (0.279064 + 0.627915 x 0.05) = 0.279064 / 0.310460 = 0.898874
    # 2022 and 2023: 0.81 x 0.898874 = 0.728088
    seen = [visit("a", 50, "2020-06-15", False), visit("b", 50, "2021-06-15", True, hours=2.0)]
    found = presence([release("R", 50, "2019-06-01")], seen, persistence_share=0.9)
    assert found.tolist() == pytest.approx([0.728088, 0.0, 0.0], abs=1e-6)  # printed decimals of the sums


def test_arrivals_followed_year_by_year_by_hand():
    # Released in K0 on 1 July 2020, 900 m from K1; 0.5 km a year from the start. To the ends of the years it is
    # 183, 548, 913 and 1,278 days: 0.501027, 1.500342, 2.499658 and 3.498973 years of 365.25 days.
    # Reach exp(-0.9 / (0.5 t)): 0.027526, 0.301277, 0.486704, 0.597837. What stems from K0 lasts to 2023 with
    # 0.65 x 0.8^3 = 0.3328, so it has come with A = 0.009161, 0.100265, 0.161975, 0.198960: it is worn down
    # where it stems from, not here again. Chance of coming in the year 1 - (1 - A) / (1 - A before) = 0.009161,
    # 0.091946, 0.068587, 0.044133. In K1 with a release of its own in 2021 (prior 0.65, persistence 0.8):
    # 2021: arrived 0.100265; its own 0.65 x (1 - 0.100265) = 0.584828
    # 2022: arrived 0.161975; its own 0.584828 x 0.8 x 0.931413 = 0.435773
    # 2023: arrived 0.198960; its own 0.435773 x 0.8 x 0.955867 = 0.333233
    # together 0.532193; the same as 1 - (1 - 0.198960) x (1 - 0.65 x 0.64).
    spread = {"km_per_yr": 0.5, "max_spread_km": 1.5}
    both = [release("R", 50, "2020-07-01"), release("own", 1050, "2021-08-01")]
    alone, joined = (presence(put, [], persistence_share=0.8, spread=spread) for put in (both[:1], both))
    # K2 is 1,900 m away, beyond the most of 1.5 km. Six decimals were carried, errors add up over four years.
    assert alone.tolist() == pytest.approx([0.65 * 0.8**3, 0.198960, 0.0], abs=5e-6)
    assert joined[1] == pytest.approx(1 - (1 - 0.198960) * (1 - 0.65 * 0.64), abs=5e-6)


def test_three_releases_by_hand():
    # Prior 0.65, persistence 0.8 a year, 0.5 km a year. R1 in K0 on 1 July 2020 and R2 in K1 on 1 August 2021,
    # 900 m apart; R3 9 km off on 1 June 2019, out of reach.
    #
    # R2 was looked for in vain on 1 July 2022, 1 h, d = 0.5: of 0.65 x 0.8 = 0.52 that leaves 0.26 / 0.74 = 0.351351,
    # and 0.281081 in 2023. To the ends of 2021 to 2023 it is 152, 517 and 882 days, 0.416153, 1.415469 and
    # 2.414784 years; reach at 0.9 km exp(-1.8 / t) = 0.013229, 0.280365, 0.474541; A at last 0.133385.
    # R1: arrived 0.133385, the rest 0.65 x 0.8^3 x (1 - 0.133385) = 0.288410; together 0.421794.
    #
    # R2: arrived and its own by the end of 2022 as in the test before: 0.161975 and 0.435773, together 0.597748.
    # In vain: 0.298874 / 0.701126 = 0.426277, so times 0.713139: 0.115511 and 0.310767. 2023: 0.115511 +
    # 0.884489 x 0.044133 = 0.154546; 0.310767 x 0.8 x 0.955867 = 0.237641; together 0.392187.
    #
    # R3: 0.65 x 0.8^3 = 0.3328; found in 2022 in 2 h, d = 0.75, f = 0.05: 0.2496 / (0.2496 + 0.6672 x 0.05) =
    # 0.2496 / 0.28296 = 0.882104; 2023: 0.705683.
    evidence = gather(
        [
            release("R1", 50, "2020-07-01"),
            release("R2", 1050, "2021-08-01"),
            release("R3", 11_050, "2019-06-01"),
        ],
        [
            visit("v2", 1050, "2022-07-01", False),
            visit("v3", 11_050, "2022-07-01", True, hours=2.0) | {"release_id": "R3"},
        ],
        dt.date(2023, 12, 31),
        0.65,
        {"km_per_yr": 0.5, "max_spread_km": 1.5},
        None,
        persistence_share=0.8,
    )
    # Six decimals were carried.
    assert evidence.releases["presence_share"].tolist() == pytest.approx(
        [0.421794, 0.392187, 0.705683], abs=5e-6
    )
    assert evidence.releases["place_id"].tolist() == ["ASHT-K0", "ASHT-K1", "at release R3"]


@pytest.mark.parametrize("prior", [0.2, 0.65, 0.95])
@pytest.mark.parametrize("hours", [(1.0,), (0.5, 2.0), (1.0, 1.0, 3.0, 0.2)])
def test_visits_in_vain_come_to_the_closed_form(prior, hours):
    # p prod(1 - d) / (p prod(1 - d) + 1 - p), nothing dying, no mistakes (Bayes' rule, independent visits).
    seen = [visit(f"v{n}", 50, f"{2019 + n // 2}-07-0{n + 1}", False, one) for n, one in enumerate(hours)]
    missed = np.prod([0.5**one for one in hours])
    expected = prior * missed / (prior * missed + 1 - prior)
    found = presence([release("R", 50, "2018-06-01")], seen, prior=prior, sign={"wrong_share": None})
    assert found[0] == pytest.approx(expected, rel=1e-12)


def test_without_visits_and_deaths_arrivals_come_to_the_closed_form():
    # 1 - prod(1 - P h) over the origins, h = exp(-d / (rate t)): K1 lies 900 m from both.
    put = [release("R0", 50, "2019-07-01"), release("R2", 2050, "2021-07-01")]
    found = presence(put, [], spread={"km_per_yr": 0.4, "max_spread_km": 10.0})
    years = np.array([(dt.date(2023, 12, 31) - dt.date(year, 7, 1)).days / 365.25 for year in (2019, 2021)])
    expected = 1 - np.prod(1 - 0.65 * np.exp(-0.9 / (0.4 * years)))
    assert found[1] == pytest.approx(expected, rel=1e-9)  # the gap is measured, 900 m to a micrometre


def virtual_share(draw, prior, persistence, arrives, results, d, f):
    """Return the share of virtual places with the agent, of those whose visits went as written; and how many.

    Each place is released into once with ``prior``, what was released lives on by ``persistence``, others may
    come with ``arrives`` each year and then come again, and it is visited as ``results`` say (None no visit).
    """
    own, come = draw.random(VIRTUAL) < prior, np.zeros(VIRTUAL, dtype=bool)
    as_written = np.ones(VIRTUAL, dtype=bool)
    for year, result in enumerate(results):
        if year:
            own &= draw.random(VIRTUAL) < persistence
        come |= draw.random(VIRTUAL) < arrives[year]
        alive = own | come
        if result is not None:
            mistaken = f if result else 0.0  # visits in vain are dissections, see below
            reported = draw.random(VIRTUAL) < np.where(alive, d, mistaken)
            as_written &= reported == result
    return alive[as_written].mean(), int(as_written.sum())


CASES = {
    "nothing dies, nothing is mistaken": (1.0, 0.0, (None, False, False, None), False),
    "populations die": (0.8, 0.0, (None, False, None, False), False),
    "finds may be mistaken": (0.85, 0.1, (None, False, True, False), False),
    "a find that may be mistaken, then years": (0.7, 0.2, (None, True, None, None), False),
    "the agent comes from next door": (0.75, 0.0, (None, False, None, False), True),
    "it comes, and finds may be mistaken": (1.0, 0.1, (None, False, True, False), True),
}


@pytest.mark.parametrize("case", CASES)
def test_a_hundred_thousand_virtual_releases_agree(case):
    persistence, wrong, results, is_near = CASES[case]
    put = [release("R", 50, "2020-05-01")]
    rate, arrives = 0.8, np.zeros(4)
    if is_near:
        put.append(release("next", 1050, "2020-05-01"))
        years = np.array([(dt.date(2020 + n, 12, 31) - dt.date(2020, 5, 1)).days / 365.25 for n in range(4)])
        # Of what stems from next door and lasts to 2023.
        come = 0.6 * persistence**3 * np.exp(-0.9 / (rate * years))
        arrives = 1 - (1 - come) / (1 - np.append(0.0, come[:-1]))
        put[0] = release("R", 50, "2020-05-02")
    # The chance after a visit in vain leaves mistakes out of account, p (1 - d) / (1 - p d), so visits in vain
    # use the method that makes none.
    seen = [
        visit(f"v{n}", 50, f"{2020 + n}-06-15", result, method="net" if result else "dissection")
        for n, result in enumerate(results)
        if result is not None
    ]
    found = presence(
        put,
        seen,
        prior=0.6,
        persistence_share=persistence,
        spread={"km_per_yr": rate, "max_spread_km": 1.0} if is_near else None,
        sign={"found_share": 0.5, "wrong_share": wrong},
    )[0]
    share, kept = virtual_share(np.random.default_rng(2026), 0.6, persistence, arrives, results, 0.5, wrong)
    # Four standard errors of a share among the virtual releases whose visits went as written.
    assert kept > 1000
    assert abs(found - share) < 4 * np.sqrt(share * (1 - share) / kept)


def test_virtual_waves_from_two_releases_agree():
    # Each release takes with 0.65 and sends out one wave that reaches K1 by the end of year t with the reach.
    draw = np.random.default_rng(7)
    reached = np.zeros(VIRTUAL, dtype=bool)
    for year in (2019, 2021):
        years = (dt.date(2023, 12, 31) - dt.date(year, 7, 1)).days / 365.25
        wave = draw.random(VIRTUAL) < np.exp(-0.9 / (0.4 * years))
        reached |= wave & (draw.random(VIRTUAL) < 0.65)
    share = reached.mean()
    put = [release("R0", 50, "2019-07-01"), release("R2", 2050, "2021-07-01")]
    found = presence(put, [], spread={"km_per_yr": 0.4, "max_spread_km": 10.0})[1]
    assert abs(found - share) < 4 * np.sqrt(share * (1 - share) / VIRTUAL)  # four standard errors
