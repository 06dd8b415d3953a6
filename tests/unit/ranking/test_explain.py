from dataclasses import replace

import numpy as np
import pandas as pd

from geo_scout.model.criterion_value import CriterionValue
from geo_scout.ranking import explain_patch, explain_ranking, explain_records, rank_sites, score_sites

AREA = {"weight": 3.0, "curve": {"shape": "rising", "from": 0.0, "to": 10.0}}
COVER = {
    "weight": 1.0,
    "curve": {"shape": "plateau", "from": 0.0, "full_from": 20.0, "full_to": 60.0, "to": 100.0},
}


def gap(value, note="", **details):
    known = ~np.isnan(np.array([value]))
    columns = {f"climate_gap_{name}": np.array([one], dtype=object) for name, one in details.items()}
    array = np.array([value])
    return CriterionValue("", array, array, array, known, (note,), columns)


def rank(books, row, area=2.5, exclusions=(), extra=None):
    season = books.season(criteria={"release": {"host_area": AREA, "host_cover": COVER}})
    measures = {
        "host_area": CriterionValue.exact("ha", np.array([area]), "unknown"),
        "host_cover": CriterionValue.exact("pct", np.array([80.0])),
    }
    scored = score_sites(season.settings.criteria.of("release"), measures)
    ranking = rank_sites(
        books.agent(), "release", season, books.sites([row]), books.evidence([row]), measures, scored,
        exclusions, pd.DataFrame(index=[0]), books.windows(1), books.ground(1),
    )  # fmt: skip
    return type(ranking)(**{**vars(ranking), "measures": measures | (extra or {})})


def records(books, row, populations=(), releases=(), extra=None):
    evidence = books.evidence([row], populations, releases)
    return explain_records(evidence, [rank(books, row, extra=extra)], 0).splitlines()


def test_a_patch_lists_its_members_with_the_product(books):
    members = [
        {"member_id": "Q7", "gross_ha": 4.0, "cover_share": 0.375, "cover_scheme": "daubenmire"},
        {"member_id": "Q8", "cover_share": np.nan, "survey_date": pd.NaT},
    ]
    sites = books.sites([books.site(name="Ferrow bend")], members=members)
    assert explain_patch(sites, 0) == (
        "A-1 Ferrow bend, ashthorn (47.000000, -110.000000)\n"
        "From the infestation layer:\n"
        "  Q7: 4.0000 ha gross x 37.5 % cover (daubenmire) = 1.5000 ha, 2026-06-01\n"
        "  Q8: 4.0000 ha gross, cover unknown, undated"
    )


def test_records_of_a_place_nobody_has_been_to(books):
    assert records(books, books.site()) == [
        "What the records say of stem weevil:",
        "  nearest confirmed population: none is confirmed",
        "  releases in the patch: none on record",
        "  latest visit: none on record",
    ]


def test_records_name_the_population_its_distance_and_the_visit(books):
    row = books.site(
        population_id="at R9", population_distance_km=1.23456, latest_result="not found on 2025-06-01"
    )
    lines = records(books, row, populations=[{"latest_result": "not found on 2026-06-01"}])
    assert lines[1] == (
        "  nearest confirmed population: Ferrow bend, 1.235 km away, last found on 2024-06-15, "
        "not found on 2026-06-01 (visit V7)"
    )
    assert lines[3] == "  latest visit: not found on 2025-06-01"


def test_records_of_an_occupied_patch_name_its_own_population_releases_and_request(books):
    row = books.site(
        population_id="A-0", population_distance_km=0.0, confirmed=True, request_ids="Q4",
        purpose="supplement", release_ids="R1; R2",
    )  # fmt: skip
    populations = [{"site_id": "A-0", "found_by": "V1"}, {"site_id": "A-1", "found_by": "V2"}]
    releases = [("A-1", "R1", "2020-06-01", "found"), ("A-9", "R3", "2020-06-01", "found"),
                ("A-1", "R2", "2025-06-01", "not visited")]  # fmt: skip
    lines = records(books, row, populations, releases)
    assert lines[1] == ("  nearest confirmed population: in this patch, last found on 2024-06-15 (visit V2)")
    assert lines[2] == "  releases in the patch: R1 on 2020-06-01, found; R2 on 2025-06-01, not visited"
    assert lines[4] == "  requests: Q4; purpose supplement"


def test_records_end_with_the_best_matching_climate(books):
    known = gap(
        0.84, population="Old ground", populations=3, distance=1.1863, variables=2, cells=128, kind="regional"
    )
    assert records(books, books.site(), extra={"climate_gap": known})[-2:] == [
        "  best-matching climate: Old ground, of 3 with a climate; Mahalanobis distance 1.1863 over "
        "2 variables, covariance from 128 climate cells",
        "  with d the site less the population and S the covariance below: D^2 = d S^-1 d, the share of a "
        "variable is d_j (S^-1 d)_j / D^2, and the climate gap is D / sqrt 2",
    ]
    unknown = gap(np.nan, "no climate layer has values here")
    assert records(books, books.site(), extra={"climate_gap": unknown})[-1] == (
        "  best-matching climate: unknown, no climate layer has values here"
    )


def test_a_climate_against_single_years_says_so_and_how_it_stands_among_known_ones(books):
    known = gap(
        0.84, population="Old ground", populations=12, distance=1.2, variables=2, cells=25, kind="interannual"
    )
    novelty = {
        "novelty": np.array([-12.345]),
        "novelty_variable": np.array(["bio06"], dtype=object),
        "novelty_note": np.array(["winters are outside"], dtype=object),
    }
    lines = records(
        books, books.site(), extra={"climate_gap": replace(known, details={**known.details, **novelty})}
    )
    assert lines[-3].endswith("over 2 variables, covariance from 25 detrended years")
    assert (
        "the climate gap is the half-normal deviate that is as rare as a D of so many components" in lines[-2]
    )
    assert lines[-1] == (
        "  among known climates: similarity -12.3 (MESS) by bio06, compared to 0.01 degC and 0.1 mm, "
        "winters are outside"
    )


def test_a_ranking_shows_curve_value_weight_and_points_to_the_rank(books):
    """2.5 of 10 ha: 0.25 x 0.75; 80 % on the way down from 60 to 100: 0.5 x 0.25; 0.1875 + 0.125 = 0.3125."""
    phrases = {"host_area": "2.50 ha infested", "host_cover": "80 % canopy cover"}
    assert explain_ranking(rank(books, books.site()), "A-1", phrases) == (
        "A-1 as a release site for stem weevil\n"
        "Weights, as stated with each criterion, summing to 1\n"
        "Criteria (value on its curve x weight = points):\n"
        "  host_area: 2.50 ha infested\n"
        "    rising from 0 to 10, at 2.5: 0.250000 x 0.750000 = 0.187500\n"
        "  host_cover: 80 % canopy cover\n"
        "    plateau from 0, full 20 to 60, to 100, at 80: 0.500000 x 0.250000 = 0.125000\n"
        "Score 0.312500\n"
        "Rank 1 of 1 ranked, 0 left out"
    )


def test_a_ranking_shows_the_interval_and_the_cautions(books):
    text = explain_ranking(
        rank(books, books.site(), area=np.nan), "A-1", {"host_area": "?", "host_cover": "!"}
    )
    assert "Score 0.125000 (between 0.125000 and 0.875000; ranked by the lower end)\n" in text
    assert text.endswith("Cautions: Not measured: host area; the score lies between 0.125 and 0.875.")


def test_a_site_left_out_says_why_and_what_would_change_it(books):
    out = books.book(books.site()).exclude("A-1", "treated", "sprayed.", "Wait.")
    text = explain_ranking(
        rank(books, books.site(), exclusions=[out]), "A-1", {"host_area": "", "host_cover": ""}
    )
    assert text.endswith("Not ranked. Left out: sprayed.\nWhat would change it: Wait.")


def test_a_rank_is_told_with_the_scores_before_and_after_it(books):
    """2.5, 5 and 7.5 of 10 ha: 0.1875, 0.375 and 0.5625 with 0.125 for the cover of each."""
    rows = [books.site(f"A-{number}") for number in (1, 2, 3)]
    season = books.season(criteria={"release": {"host_area": AREA, "host_cover": COVER}})
    measures = {
        "host_area": CriterionValue.exact("ha", np.array([2.5, 5.0, 7.5])),
        "host_cover": CriterionValue.exact("pct", np.full(3, 80.0)),
    }
    scored = score_sites(season.settings.criteria.of("release"), measures)
    ranking = rank_sites(
        books.agent(), "release", season, books.sites(rows), books.evidence(rows), measures, scored, (),
        pd.DataFrame(index=range(3)), books.windows(3), books.ground(3),
    )  # fmt: skip
    phrases = {"host_area": "", "host_cover": ""}
    assert explain_ranking(ranking, "A-2", phrases).endswith(
        "Rank 2 of 3 ranked, 0 left out; before it A-3 with 0.687500, after it A-1 with 0.312500"
    )
