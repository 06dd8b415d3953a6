import warnings

import geopandas as gpd
import numpy as np
import pandas as pd
import pyogrio
import pytest
import shapely

from geo_scout.layers import read_layers


def read_with_previous(folder, name):
    season = folder.season()
    table = season.settings.season.model_copy(update={"previous": name})
    settings = season.settings.model_copy(update={"season": table})
    return read_layers(type(season)(season.path, settings, season.agents, season.as_of, season.given))


def test_patches_of_an_earlier_run_come_along(folder):
    patches = gpd.GeoDataFrame(
        {"site_id": ["AS-1"], "host": ["ashthorn"]}, geometry=[folder.square()], crs=4326
    )
    patches.to_file(folder.folder / "result.gpkg", layer="patches")
    layers = read_with_previous(folder, "result.gpkg")
    previous = layers.vectors["previous"]
    assert previous[["site_id", "host"]].to_numpy().tolist() == [["AS-1", "ashthorn"]]
    assert previous.crs == layers.crs
    assert "result.gpkg" in {file.name for file in layers.inputs}


@pytest.mark.parametrize("kind", ["missing", "no file", "other layer", "no shapes", "other columns"])
def test_what_is_no_result_of_an_earlier_run_stops(folder, told, kind):
    path = folder.folder / "result.gpkg"
    frame = gpd.GeoDataFrame(
        {"site_id": ["AS-1"], "host": ["ashthorn"]}, geometry=[folder.square()], crs=4326
    )
    if kind == "no file":
        path.write_bytes(b"no map")
    elif kind == "other layer":
        frame.to_file(path, layer="sites")
    elif kind == "no shapes":
        pyogrio.write_dataframe(pd.DataFrame(frame[["site_id", "host"]]), path, layer="patches")
    elif kind == "other columns":
        frame[["geometry"]].to_file(path, layer="patches")
    layers = read_with_previous(folder, "result.gpkg")
    assert not layers.has("previous")
    text = told(layers, "previous-unreadable")
    assert text.startswith("stop: layers.previous\n  result.gpkg is not the result.gpkg of an earlier run: ")
    assert text.endswith(
        'Fix: Name the result.gpkg of an earlier outputs folder, or take "previous" out of [season].'
    )


def test_a_patch_with_a_broken_corner_stops(folder, found):
    broken = shapely.transform(
        folder.square(), lambda corners: np.where(np.arange(len(corners))[:, None] == 1, np.nan, corners)
    )
    frame = gpd.GeoDataFrame({"site_id": ["AS-1"], "host": ["ashthorn"]}, geometry=[broken], crs=4326)
    with warnings.catch_warnings():
        # Writing what is no number is what the test is about.
        warnings.simplefilter("ignore", RuntimeWarning)
        frame.to_file(folder.folder / "result.gpkg", layer="patches")
    [finding] = found(read_with_previous(folder, "result.gpkg"), "previous-unreadable")
    assert finding.grade == "stop"
    assert finding.what.endswith("a patch has a coordinate that is not a number")
