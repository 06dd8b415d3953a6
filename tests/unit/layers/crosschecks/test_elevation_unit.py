from dataclasses import replace

import numpy as np
import pytest

from geo_scout.layers import read_layers
from geo_scout.model.agent import AgentProfile

FT = 3.2808
GROUND = 600.0 + 10.0 * np.arange(100.0).reshape(10, 10)


@pytest.mark.parametrize("in_feet", ["elevation", "climate_elevation"])
def test_the_raster_in_feet_is_stopped_with_the_line_that_mends_it(folder, found, in_feet):
    for name in ("elevation", "climate_elevation"):
        folder.write_raster(name, GROUND * (FT if name == in_feet else 1.0))
    [finding] = found(folder.read(), "elevation-feet")
    assert (finding.grade, finding.layer) == ("stop", in_feet)
    assert "about 3.28 times as much: the elevation looks like feet." in finding.what
    assert finding.fix == 'If so, add: vertical_unit = "ft"'


def test_the_line_that_mends_it_does(folder, found):
    folder.write_raster("elevation", GROUND * FT)
    folder.layers["elevation"]["vertical_unit"] = "ft"
    folder.write_raster("climate_elevation", GROUND)
    layers = folder.read()
    assert found(layers, "elevation-feet") == found(layers, "elevation-differs") == []


@pytest.mark.parametrize(("factor", "stops"), [(3.03, True), (3.5, True), (2.9, False), (1.0, False)])
def test_eight_percent_around_the_foot_is_feet(folder, found, factor, stops):
    """3.2808 x 0.92 = 3.018 and x 1.08 = 3.543."""
    folder.write_raster("elevation", GROUND * factor)
    folder.write_raster("climate_elevation", GROUND)
    layers = folder.read()
    assert bool(found(layers, "elevation-feet")) is stops
    # 2.9 times 1,095 m lies 2,080 m above it: large, and no foot.
    assert bool(found(layers, "elevation-differs")) is (factor == 2.9)


@pytest.mark.parametrize(("higher_m", "said"), [(310.0, True), (290.0, False)])
def test_another_difference_of_more_than_300_m_is_a_caution(folder, found, higher_m, said):
    folder.write_raster("elevation", GROUND + higher_m)
    folder.write_raster("climate_elevation", GROUND)
    layers = folder.read()
    assert found(layers, "elevation-feet") == []
    findings = found(layers, "elevation-differs")
    assert [one.grade for one in findings] == (["caution"] if said else [])
    assert all("it lies 310 m above the layer climate_elevation" in one.what for one in findings)


def test_low_ground_says_nothing_of_feet(folder, found):
    folder.write_raster("elevation", np.full((10, 10), 60.0 * FT))
    folder.write_raster("climate_elevation", np.full((10, 10), 60.0))
    assert found(folder.read(), "elevation-feet") == []


def station(folder, elevation_m):
    rows = [["station", "longitude_deg", "latitude_deg", "elevation_m", "date", "tmin", "tmax"]]
    rows += [
        ["Ford", "-110.05", "47.05", str(elevation_m), f"2026-06-{day:02}", "8", "20"] for day in (1, 2, 3)
    ]
    folder.write_table("weather", rows)


@pytest.mark.parametrize(
    ("raster_m", "station_m", "layer"),
    [(1000 * FT, 1000, "elevation"), (1000.0, 3281, "weather"), (1000.0, 1100, "")],
)
def test_a_station_tells_feet_from_metres(folder, found, raster_m, station_m, layer):
    folder.write_raster("elevation", np.full((10, 10), raster_m))
    station(folder, station_m)
    findings = found(folder.read(), "elevation-feet")
    assert [one.layer for one in findings] == ([layer] if layer else [])


def test_where_the_climate_cells_agree_a_station_alone_does_not_stop(folder, found):
    folder.write_raster("elevation", GROUND)
    folder.write_raster("climate_elevation", GROUND)
    station(folder, 450)
    layers = folder.read()
    assert found(layers, "elevation-feet") == []
    [finding] = found(layers, "elevation-differs")
    assert "the stations of the layer weather" in finding.what


def test_a_known_population_tells_feet_from_metres(folder, found):
    folder.write_raster("elevation", np.full((10, 10), 1000 * FT))
    season = folder.season()
    profile = AgentProfile.model_validate(
        {
            "format": 1, "name": "stem weevil", "host": "ashthorn", "establishment": {"prior_share": 0.4},
            "known_populations": [
                {"name": "Old ground", "longitude_deg": -110.05, "latitude_deg": 47.05, "elevation_m": 1000}
            ],
        }
    )  # fmt: skip
    [finding] = found(read_layers(replace(season, agents=(profile,))), "elevation-feet")
    assert finding.layer == "elevation"
    assert "known_populations of the profiles" in finding.what
