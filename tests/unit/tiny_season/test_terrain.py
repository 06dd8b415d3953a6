"""The shape of the ground in the tiny season by hand, from the elevation raster to the rank.

The ground rises 100 m a column eastwards and 10 m a row southwards. A grid kilometre is 1.0004002 km on the
ground: 100 / 1000.4002 = 0.09996 east and 0.009996 south, together 0.1004586, slope arctan = 5.73661 deg.
It falls to the west and a little to the north: 360 - arctan(0.1 / 0.01) = 275.71059 deg from grid north. Grid north is
true north on the central meridian, the west edge of the map, and 0.086 deg off 9 km east of it.

Cells have a slope, and surroundings, where all eight neighbours are on the raster: columns and rows 1 to 8. Of
site 1 (columns 0 1, rows 0 1 in equal parts) that is a quarter; sites 2 to 6 lie inside.

Relative position: against the 8 cells around, since 500 m is less than a cell. On a plane it is 0 everywhere.
"""

import importlib.util
import re
from pathlib import Path

import numpy as np
import pytest

import geo_scout

SLOPE_DEG, ASPECT_DEG = 5.73661, 275.71059
CRITERIA = """
[criteria.release.slope]
weight = 3
curve = {shape = "falling", from = 0, to = 10}

[criteria.release.aspect_match]
curve = {shape = "rising", from = -1, to = 1}

[criteria.release.heat_load]
curve = {shape = "rising", from = 0, to = 2}

[criteria.release.relative_position]
curve = {shape = "plateau", from = -50, full_from = -5, full_to = 5, to = 50}
"""


def load_tiny():
    spec = importlib.util.spec_from_file_location(
        "tiny_season_files", Path(__file__).with_name("conftest.py")
    )
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def run_tiny(tmp_path_factory):
    """Return what runs the tiny season with lines added to its rules, its end and its profile."""

    def run(rules="", criteria="", profile=""):
        folder = tmp_path_factory.mktemp("tiny")
        season_file = load_tiny().write_tiny_season(folder)
        text = season_file.read_text(encoding="utf-8")
        season_file.write_text(text.replace("[rules]\n", f"[rules]\n{rules}") + criteria, encoding="utf-8")
        agent = folder / "agents" / "weevil.toml"
        agent.write_text(agent.read_text(encoding="utf-8") + profile, encoding="utf-8")
        return geo_scout.run(season_file, write=False)

    return run


@pytest.fixture(scope="module")
def result(run_tiny):
    return run_tiny(
        "max_slope_deg = 5.7\nmax_steep_share = 1\n", CRITERIA, "\n[terrain]\npreferred_aspect_deg = 275.7\n"
    )


@pytest.fixture(scope="module")
def table(result):
    return result.ranking("tiny weevil", "release").table.set_index("site_id").sort_index()


def test_slope_and_aspect(table):
    assert table["slope_deg"].to_numpy() == pytest.approx(np.full(6, SLOPE_DEG), abs=1e-4)
    assert table["aspect_deg"].to_numpy() == pytest.approx(np.full(6, ASPECT_DEG), abs=0.09)
    assert table["aspect_deg"]["TINY-1"] == pytest.approx(
        ASPECT_DEG + 0.014, abs=0.002
    )  # cell (1, 1), 1.5 km east
    assert table["aspect_strength"].to_numpy() == pytest.approx(np.ones(6), abs=1e-6)
    assert table["steep_share"].tolist() == [1.0] * 6


def test_values_and_points(table):
    # Weights 2 1 1 1 and 3 1 1 1 of 11.
    slope_value = 1 - SLOPE_DEG / 10
    assert table["slope_value"].to_numpy() == pytest.approx(np.full(6, slope_value), abs=1e-5)
    assert table["slope_points"].to_numpy() == pytest.approx(np.full(6, slope_value * 3 / 11), abs=1e-5)
    assert table["aspect_match_value"].to_numpy() == pytest.approx(np.ones(6), abs=1e-5)
    assert table["relative_position_value"].to_numpy() == pytest.approx(np.ones(6), abs=1e-9)
    assert table["relative_position_m"].to_numpy() == pytest.approx(np.zeros(6), abs=1e-9)


def test_heat_load_by_hand(table):
    """McCune & Keon 2002, equation 3, at site 3: latitude 46.9751 N, 0.079 deg east of the central meridian.

    True aspect 275.7106 + 0.079 sin L = 275.768, folded |180 - |275.768 - 225|| = 129.232 deg. cos L 0.682316,
    sin L 0.731057, cos S 0.994992, sin S 0.0999555, cos A -0.632461:
    0.339 + 0.808 x 0.682316 x 0.994992 - 0.196 x 0.731057 x 0.0999555 + 0.482 x 0.632461 x 0.0999555
    = 0.339 + 0.548550 - 0.014322 + 0.030471 = 0.903699.
    """
    assert table["heat_load"]["TINY-3"] == pytest.approx(0.903699, abs=2e-5)
    assert table["heat_load_equation"].tolist() == [3] * 6


def test_explain_says_what_part_of_a_site_it_is_of(result):
    said = geo_scout.explain_result(result, "TINY-1")
    assert "slope: 5.7 deg mean slope, 100% of it steeper than max_slope_deg on the 25% of the patch" in said
    assert (
        "aspect_match: 1.00 towards the preferred aspect (1 wholly, -1 away): the ground faces 276 deg"
        in said
    )
    assert "heat_load: heat load 0.903 (McCune & Keon 2002, equation 3) on the 25% of the patch" in said


def test_explain_works_out_one_cell_of_a_plane(result):
    """Every cell of the plane has the slope of the whole, and its aspect but for true north, which turns by 0.0096
    degrees from one column to the next.
    """
    said = geo_scout.explain_result(result, "TINY-3")
    mean = re.search(
        r"  slope ([\d.]+) deg, on 100\.00% of the patch.*\n  faces ([\d.]+) deg with strength 1", said
    )
    cell = re.search(r"    slope ([\d.]+) deg, aspect ([\d.]+) deg, heat load ([\d.]+)", said)
    assert [float(one) for one in cell.groups()[:2]] == pytest.approx(
        [float(one) for one in mean.groups()], abs=0.016
    )
    assert float(cell[3]) == pytest.approx(0.903699, abs=2e-5)


def test_sources_show_the_ground_too(result):
    sources = result.rankings[0].table.set_index("site_id")
    release = result.rankings[1].table.set_index("site_id")
    for name in ("elevation_m", "slope_deg", "aspect_deg", "heat_load"):
        assert sources[name].dropna().to_dict() == release[name].dropna().to_dict() != {}


def test_a_slope_limit_below_the_slope_leaves_everything_out_and_one_above_nothing(run_tiny):
    for limit_deg, sites in ((5.73, {f"TINY-{n}" for n in range(1, 7)}), (5.74, set())):
        found = run_tiny(f"max_slope_deg = {limit_deg}\n").exclusions
        steep = [one for one in found if one.code == "too-steep"]
        assert {one.site_id for one in steep if one.role == "release"} == sites
        assert {one.site_id for one in steep if one.role == "source"} == sites


def test_an_elevation_band_leaves_out_release_sites_only(run_tiny):
    band = run_tiny(profile="\n[terrain]\nelevation_m = {least = 1300, most = 1700}\n").exclusions
    out = {(one.site_id, one.role) for one in band if one.code == "elevation-limit"}
    # 1,055 m, 1,810 m and 1,785 m lie outside.
    assert out == {("TINY-1", "release"), ("TINY-4", "release"), ("TINY-6", "release")}


def test_without_them_nothing_of_terrain_is_in_the_table(run_tiny):
    plain = run_tiny()
    names = set(plain.ranking("tiny weevil", "release").table)
    assert not {"slope_deg", "steep_share", "aspect_deg", "heat_load", "relative_position_m"} & names
