import geopandas as gpd
import shapely


def test_slivers_are_said(folder, told):
    """A strip of 100 m by 0.2 m of the map: 20 m2 / 0.9996^2 = 20.016 m2, and 2 x 20 / 200.4 = 0.1996 m wide."""
    strip = shapely.affinity.translate(shapely.box(0, 0, 100, 0.2), 500_000, 5_205_000)
    verge = shapely.affinity.translate(shapely.box(0, 0, 2000, 3), 500_000, 5_206_000)
    folder.write("treatments", [strip, verge], crs=32612, treatment_id=["T1", "T2"], kind="mowing",
                 start="2025-05-01")  # fmt: skip
    folder.write(
        "infestations",
        gpd.GeoSeries([verge], crs=32612),
        crs=32612,
        host="ashthorn",
        cover=1.0,
        survey_date="2025-06-01",
    )
    assert told(folder.read(), "sliver") == (
        "caution: layers.treatments feature T1\n"
        "  it is a sliver: 0.002002 ha, 0.20 m wide on average.\n"
        "  Fix: Take it out, or join it to its neighbour; slivers come from maps laid over each other."
    )


def test_dots_are_slivers_too(folder, found):
    dot = shapely.affinity.translate(shapely.box(0, 0, 0.9, 0.9), 500_000, 5_205_000)
    folder.write("land_classes", [dot], crs=32612, **{"class": "crop"})
    folder.rules["land_classes"] = {"crop": "forbid"}
    assert [one.layer for one in found(folder.read(), "sliver")] == ["land_classes"]
