import json

import pytest
import shapely

WHERE = ("first", "last")


def write(folder, name, where="first"):
    feature = {
        "type": "Feature",
        "properties": {"host": "ashthorn", "cover": 40, "survey_date": "2025-01-01", "note": "x" * 9_000},
        "geometry": shapely.geometry.mapping(folder.square()),
    }
    crs = {"crs": {"type": "name", "properties": {"name": name}}}
    features = {"features": [feature]}
    parts = {"type": "FeatureCollection"} | (crs | features if where == "first" else features | crs)
    (folder.folder / "weeds.geojson").write_text(json.dumps(parts), encoding="utf-8")
    folder.add("infestations", "weeds.geojson", units={"cover": "percent"})


@pytest.mark.parametrize("where", WHERE)
def test_a_system_nobody_knows_is_said(folder, told, where):
    write(folder, "urn:ogc:def:crs:EPSG::999999", where)
    layers = folder.read()
    assert layers.has("infestations")
    assert told(layers, "crs-not-known") == (
        "caution: layers.infestations\n"
        "  'weeds.geojson' names a coordinate reference system that is not known ('urn:ogc:def:crs:EPSG::999999'); "
        "it was read as WGS 84, which GeoJSON is by rule.\n"
        "  Fix: If its coordinates are in another system, save it as GeoPackage in that system."
    )


@pytest.mark.parametrize("where", WHERE)
@pytest.mark.parametrize("name", ["urn:ogc:def:crs:OGC:1.3:CRS84", "EPSG:4326", "urn:ogc:def:crs:EPSG::4258"])
def test_a_known_one_is_not(folder, found, name, where):
    write(folder, name, where)
    assert found(folder.read(), "crs-not-known") == []
