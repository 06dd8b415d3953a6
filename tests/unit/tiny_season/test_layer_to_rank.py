"""The tiny season by hand, from layer to rank. Every number below was worked out on paper.

The map is in conftest.py. On it a grid kilometre is 1 / 0.9996 km = 1.0004002 km on the ground, a grid
hectare 1.0008005 ha; within 10 km of the central meridian this changes by 0.0003 %.

GROSS AND INFESTED AREA (grid ha x 1.0008005; x cover)
    1  1.0 x 1.0 km  100 ha    100.0800 ha   x 0.20   = 20.0160 ha
    2  0.5 x 0.4 km   20 ha     20.0160 ha   x 0.50   = 10.0080 ha
    3  0.5 x 0.4 km   20 ha     20.0160 ha   x 0.25   =  5.0040 ha
    4  0.1 x 0.1 km    1 ha      1.0008 ha   x 0.10   =  0.1001 ha
    5  1.8 x 0.8 km  144 ha    144.1153 ha   x 0.125  = 18.0144 ha
    6  1.0 x 1.0 km  100 ha    100.0800 ha   x 0.40   = 40.0320 ha

CREW (from the base at 5, 5 to the nearest corner; grid km x 1.0004002)
    1  to (1.50, 8.50)  sqrt(3.50^2 + 3.50^2) = 4.949747   4.951728 km
    2  to (3.70, 5.10)  sqrt(1.30^2 + 0.10^2) = 1.303840   1.304362 km
    3  to (5.75, 2.60)  sqrt(0.75^2 + 2.40^2) = 2.514458   2.515464 km
    4  to (8.10, 8.10)  sqrt(3.10^2 + 3.10^2) = 4.384062   4.385816 km
    5  to (3.90, 1.90)  sqrt(1.10^2 + 3.10^2) = 3.289377   3.290693 km
    6  to (7.50, 5.50)  sqrt(2.50^2 + 0.50^2) = 2.549510   2.550530 km

ELEVATION (1,000 + 100 column + 10 row; means over the cells in equal parts)
    1  columns 0 1, rows 0 1    1,000 +  50 +  5 = 1,055 m
    2  column 3, row 4          1,000 + 300 + 40 = 1,340 m
    3  columns 5 6, row 7       1,000 + 550 + 70 = 1,620 m
    4  column 8, row 1          1,000 + 800 + 10 = 1,810 m
    5  columns 2 3, row 8       1,000 + 250 + 80 = 1,330 m   <- the only population
    6  columns 7 8, rows 3 4    1,000 + 750 + 35 = 1,785 m
    difference from 1,330 m: 1 275, 2 10, 3 290, 4 480, 5 0, 6 455 m

CLIMATE GAP (bio01 = 10 - column)
    Fourteen cells hold the host. Their columns: 0 0 1 1 (site 1), 3 (2), 5 6 (3), 8 (4), 2 3 (5),
    7 7 8 8 (6): sum 59, sum of squares 375, variance (375 - 59^2 / 14) / 13 = 126.357143 / 13 = 9.719780,
    sd 3.117656.
    One variable needs ten cells: enough. Population 5 lies at 7.5 degC. Gap = |difference| / sd / sqrt 2,
    and sd x sqrt 2 = 4.409032:
    1  9.5   2.0 / 4.409032 = 0.453614
    2  7.0   0.5 / 4.409032 = 0.113404
    3  4.5   3.0 / 4.409032 = 0.680422
    4  2.0   5.5 / 4.409032 = 1.247439
    5  7.5   0
    6  2.5   5.0 / 4.409032 = 1.134036

RELEASE SITES (weights 2 1 1 1 of 5: 0.4 0.2 0.2 0.2)
        host / 20      crew 1 - km / 10   gap 1 - gap / 2    elevation 1 - m / 500
    1   1 (full)       0.504827           0.773193           0.45
    2   0.500400       0.869564           0.943298           0.98
    3   0.250200       0.748454           0.659789           0.42
    1   0.400000 + 0.100965 + 0.154639 + 0.090000 = 0.745604
    2   0.200160 + 0.173913 + 0.188660 + 0.196000 = 0.758733
    3   0.100080 + 0.149691 + 0.131958 + 0.084000 = 0.465729
    2 beats 1: half the host, but nearer, and the population's elevation and climate.
    4 is left out: 0.1001 ha, the limit is 0.5. 5 is left out: the weevil is there. 6 is left out: refused.

SOURCES (weights 1 1 of 2)
    5   18.0144 / 40 = 0.450360, 1 - 3.290693 / 10 = 0.670931: 0.225180 + 0.335465 = 0.560645, rank 1
    The others are left out: nothing confirmed; 4 also too small, 6 also refused.
"""

import math

import pytest
from geographiclib.geodesic import Geodesic
from pyproj import Transformer

AGENT = "tiny weevil"
NAMES = ("Alder bend", "Birch ford", "Cedar flat", "Dune edge", "Elm hollow", "Fir terrace")
IDS = [f"TINY-{number}" for number in range(1, 7)]
GROSS_HA = (100.0800, 20.0160, 20.0160, 1.0008, 144.1153, 100.0800)
INFESTED_HA = (20.0160, 10.0080, 5.0040, 0.1001, 18.0144, 40.0320)
CREW_KM = (4.951728, 1.304362, 2.515464, 4.385816, 3.290693, 2.550530)
CORNER_KM = ((1.5, 8.5), (3.7, 5.1), (5.75, 2.6), (8.1, 8.1), (3.9, 1.9), (7.5, 5.5))
ELEVATION_M = (1055, 1340, 1620, 1810, 1330, 1785)
DIFFERENCE_M = (275, 10, 290, 480, 0, 455)
GAP = (0.453614, 0.113404, 0.680422, 1.247439, 0.0, 1.134036)
# Half a unit of the last digit written above, and 0.0003 % of the scale on areas and distances.
LAST_HA, LAST_KM, LAST = 5e-4, 2e-5, 2e-6


@pytest.fixture(scope="module")
def release(result):
    return result.ranking(AGENT, "release").table.set_index("site_id")


@pytest.fixture(scope="module")
def source(result):
    return result.ranking(AGENT, "source").table.set_index("site_id")


@pytest.fixture(scope="module")
def patches(result):
    return result.sites["ashthorn"].patches.set_index("site_id")


def test_six_infestations_are_six_named_sites(patches):
    assert list(patches.index) == IDS
    assert tuple(patches["name"]) == NAMES


def test_gross_and_infested_hectares(patches):
    assert patches["gross_ha"].tolist() == pytest.approx(GROSS_HA, abs=LAST_HA)
    assert patches["infested_ha"].tolist() == pytest.approx(INFESTED_HA, abs=LAST_HA)
    assert patches["cover_pct"].tolist() == pytest.approx([20, 50, 25, 10, 12.5, 40])


def test_crew_kilometres(patches):
    assert patches["crew_distance_km"].tolist() == pytest.approx(CREW_KM, abs=LAST_KM)
    assert set(patches["crew"]) == {"Yard"}


@pytest.mark.parametrize("number", range(6))
def test_crew_kilometres_by_another_library(patches, result, number):
    """geographiclib between the base and the corner; a micrometre, for both solve the same geodesic."""
    to_degrees = Transformer.from_crs(32612, 4326, always_xy=True)
    east_km, north_km = CORNER_KM[number]
    longitude_deg, latitude_deg = to_degrees.transform(500_000 + 1000 * east_km, 5_200_000 + 1000 * north_km)
    [crew] = result.season.settings.crews
    line = Geodesic.WGS84.Inverse(
        crew.base_latitude_deg, crew.base_longitude_deg, latitude_deg, longitude_deg
    )
    assert patches["crew_distance_km"].iloc[number] == pytest.approx(line["s12"] / 1000, abs=1e-8)


def test_elevation_means_and_differences(release):
    table = release.loc[IDS]
    # The patches go through the working projection and back: a micrometre of cell edges, nanometres of mean.
    assert table["elevation_m"].tolist() == pytest.approx(ELEVATION_M, abs=1e-2)
    assert table["elevation_difference_m"].tolist() == pytest.approx(DIFFERENCE_M, abs=1e-2)


def test_climate_gap(release):
    table = release.loc[IDS]
    assert table["climate_gap"].tolist() == pytest.approx(GAP, abs=5e-5)
    assert set(table["climate_gap_population"]) == {"Elm hollow"}
    assert set(table["climate_gap_cells"]) == {14}
    assert set(table["climate_gap_kind"]) == {"regional"}
    assert set(table["climate_gap_populations"]) == {1}


@pytest.mark.parametrize(
    ("site_id", "values", "points", "score"),
    [
        ("TINY-1", (1, 0.504827, 0.773193, 0.45), (0.4, 0.100965, 0.154639, 0.09), 0.745604),
        ("TINY-2", (0.500400, 0.869564, 0.943298, 0.98), (0.200160, 0.173913, 0.188660, 0.196), 0.758733),
        ("TINY-3", (0.250200, 0.748454, 0.659789, 0.42), (0.100080, 0.149691, 0.131958, 0.084), 0.465729),
    ],
)
def test_values_points_and_scores_of_release_sites(release, site_id, values, points, score):
    row = release.loc[site_id]
    names = ("host_area", "crew_distance", "climate_gap", "elevation_difference")
    assert [row[f"{name}_value"] for name in names] == pytest.approx(values, abs=3e-5)
    assert [row[f"{name}_points"] for name in names] == pytest.approx(points, abs=1e-5)
    assert row["score"] == pytest.approx(score, abs=2e-5)
    assert row["score_low"] == row["score_high"] == row["score"]


def test_ranks_of_release_sites(result, release):
    ranking = result.ranking(AGENT, "release")
    assert dict(ranking.weights) == {
        "host_area": 0.4, "crew_distance": 0.2, "climate_gap": 0.2, "elevation_difference": 0.2,
    }  # fmt: skip
    assert ranking.table["site_id"].tolist() == ["TINY-2", "TINY-1", "TINY-3", "TINY-4", "TINY-5", "TINY-6"]
    assert release["rank"].tolist()[:3] == [1, 2, 3]
    assert release["rank"].isna().tolist() == [False] * 3 + [True] * 3


@pytest.mark.parametrize(
    ("site_id", "code", "reason", "remedy"),
    [
        (
            "TINY-4",
            "too-small",
            "Left out: 0.1001 ha infested; your limit is 0.5 ha (min_infested_ha).",
            "Lowering min_infested_ha to 0.1000 ha would bring it back.",
        ),
        (
            "TINY-5",
            "agent-confirmed",
            "Left out: tiny weevil was found in this patch, last on 2023-06-01 (visit V1, release R1).",
            'A request with the purpose "supplement" allows an occupied site.',
        ),
        (
            "TINY-6",
            "permission-refused",
            "Left out: the manager refused permission.",
            "Permission in writing would bring it back.",
        ),
    ],
)
def test_reasons_of_release_sites_left_out(release, site_id, code, reason, remedy):
    row = release.loc[site_id]
    assert row["exclusion_codes"] == code
    assert row["reasons"] == reason
    assert row["what_would_change_it"] == remedy


def test_cautions_of_release_sites(release):
    assert release["cautions"]["TINY-1"] == ""
    # R2 was put into Birch ford on 2025-05-10 and nobody has been back: a possibility, no exclusion.
    assert release["cautions"]["TINY-2"] == (
        "Not visited since release R2: the chance that tiny weevil is here already is 50 %."
    )
    assert release["cautions"]["TINY-3"] == "Permission unknown: call the manager first."


def test_sources(source):
    elm = source.loc["TINY-5"]
    assert (elm["rank"], elm["status"]) == (1, "ranked")
    assert elm["host_area_value"] == pytest.approx(0.450360, abs=2e-5)
    assert elm["crew_distance_value"] == pytest.approx(0.670931, abs=LAST)
    assert elm["score"] == pytest.approx(0.560645, abs=1e-5)
    codes = source["exclusion_codes"].to_dict()
    assert codes == {
        "TINY-5": "",
        "TINY-1": "agent-not-confirmed",
        "TINY-2": "agent-not-confirmed; too-soon-after-release",
        "TINY-3": "agent-not-confirmed",
        "TINY-4": "agent-not-confirmed; too-small",
        "TINY-6": "permission-refused; agent-not-confirmed",
    }
    assert source["reasons"]["TINY-2"].startswith(
        "Left out: tiny weevil is not confirmed here: not visited since release R2; the chance that it "
        "lives here is 50 %. Left out: first released on 2025-05-10, "
    )


def test_the_law_is_settled_so_nothing_must_be_asked(result):
    assert result.questions == ()
    assert result.is_feasible


def test_the_paper_s_arithmetic_holds():
    """The sums of the page above, done again by the machine from the numbers of the map alone."""
    scale = 1 / 0.9996
    columns = [0, 0, 1, 1, 3, 5, 6, 8, 2, 3, 7, 7, 8, 8]
    sd = math.sqrt((sum(c * c for c in columns) - sum(columns) ** 2 / 14) / 13)
    assert [round(d / sd / math.sqrt(2), 6) for d in (2.0, 0.5, 3.0, 5.5, 0.0, 5.0)] == list(GAP)
    assert [round(math.dist((5, 5), corner) * scale, 6) for corner in CORNER_KM] == list(CREW_KM)
    assert [round(ha * scale**2, 4) for ha in (100, 20, 20, 1, 144, 100)] == list(GROSS_HA)
