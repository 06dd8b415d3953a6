import geopandas as gpd
import numpy as np
import pytest
import shapely
from pyproj import CRS

from geo_scout.layers.places.shape_kinds import polygonal_part

HOST = {"host": "ashthorn", "cover": 40.0, "survey_date": "2025-01-01"}


def bow_tie(west=-110.0, south=47.0, size=0.001):
    east, north = west + size, south + size
    return shapely.Polygon([(west, south), (east, north), (east, south), (west, north)])


def test_shapes_are_where_geopandas_puts_them(folder):
    path = folder.write("infestations", [folder.square(n) for n in range(4)], **HOST)
    layers = folder.read()
    plain = gpd.read_file(path).to_crs(layers.crs)
    assert shapely.equals_exact(
        layers.vectors["infestations"].geometry.to_numpy(), plain.geometry.to_numpy(), 1e-9
    ).all()


def test_empty_and_missing_shapes_are_set_aside(folder, found):
    folder.rules["max_bad_share"] = 0.7
    folder.write("infestations", [folder.square(0), None, shapely.Polygon()], **HOST)
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [1]
    assert [finding.text() for finding in found(layers, "geometry-missing")] == [
        f"caution: layers.infestations feature row {row}\n"
        "  Set aside: it has no geometry.\n"
        "  Fix: Draw it, or take the row out."
        for row in (2, 3)
    ]


@pytest.mark.parametrize("bad", [np.nan, np.inf, -np.inf])
@pytest.mark.parametrize("crs", [4326, 32612])
def test_coordinates_that_are_no_numbers_of_a_place_are_set_aside(folder, bad, crs):
    good = shapely.box(5e5, 5.2e6, 5.01e5, 5.201e6) if crs == 32612 else folder.square(0)

    def break_two(corners):
        broken = corners.copy()
        broken[1:3, 0] = bad, -bad
        return broken

    folder.write("infestations", [good, shapely.transform(good, break_two)], crs=crs, **HOST)
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [1]
    [finding] = [one for one in layers.findings if one.feature == "row 2"]
    assert (finding.code, finding.what) == ("geometry-missing", "Set aside: a coordinate is not a number.")


@pytest.mark.parametrize(
    ("layer", "shape", "words"),
    [
        ("treatments", shapely.Point(-110, 47), "a point; this layer needs polygons"),
        ("releases", shapely.box(-110, 47, -109, 48), "a polygon; this layer needs points"),
        ("roads", shapely.Point(-110, 47), "a point; this layer needs lines"),
    ],
)
def test_wrong_kind_of_shape(folder, told, layer, shape, words):
    columns = {
        "infestations": HOST,
        "treatments": {"kind": "mowing", "start": "2025-01-01", "treatment_id": "t"},
        "releases": {"release_id": "r", "agent": "stem weevil", "date": "2025-01-01"},
        "roads": {"road_class": "track"},
    }[layer]
    folder.rules["max_bad_share"] = 1.0
    folder.write(layer, [shape], **columns)
    assert f"  Set aside: it is {words}.\n  Fix: Draw it as the layer needs it, or take it out." in told(
        folder.read(), "shape-wrong"
    )


def test_invalid_outline_is_repaired_and_said(folder, told):
    folder.write("infestations", [bow_tie()], id="tie", **HOST)
    layers = folder.read()
    shape = layers.vectors["infestations"].geometry.iloc[0]
    assert shape.is_valid
    # Two triangles that meet in the middle: half of the square's area.
    [full] = gpd.GeoSeries([folder.square()], crs=4326).to_crs(layers.crs).area
    assert shape.area == pytest.approx(full / 2, rel=1e-4)
    text = told(layers, "geometry-repaired")
    assert text.startswith(
        "note: layers.infestations feature tie\n  its outline is not valid (self-intersection); repaired: "
    )
    assert f"ha before, {shape.area / 10_000:.4f} ha after.\n  Fix: Check the outline on the map" in text


@pytest.mark.parametrize("aside", [0.0, 1e-14])
def test_outline_without_area_is_set_aside(folder, told, aside):
    """Some 1e-14 degrees beside a line of 760 m are less than a square centimetre, too."""
    spike = shapely.Polygon([(-110, 47), (-109.99, 47), (-110, 47 + aside)])
    folder.write("infestations", [folder.square(0), spike], **HOST)
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [1]
    assert told(layers, "area-missing") == (
        "caution: layers.infestations feature row 2\n"
        "  Set aside: its outline encloses no area.\n"
        "  Fix: Draw it again, or take it out."
    )


def test_heights_are_dropped_and_multipolygons_kept(folder):
    both = shapely.MultiPolygon([folder.square(0), folder.square(1)])
    folder.write("infestations", [shapely.force_3d(folder.square(3), 5.0), both], **HOST)
    frame = folder.read().vectors["infestations"]
    assert not frame.has_z.any()
    assert shapely.get_num_geometries(frame.geometry.to_numpy()).tolist() == [1, 2]


def test_mixture_keeps_its_polygons():
    line, box = shapely.LineString([(0, 0), (1, 1)]), shapely.box(0, 0, 1, 1)
    nested = shapely.GeometryCollection([line, shapely.MultiPolygon([box, shapely.box(2, 2, 3, 3)])])
    assert polygonal_part(nested).area == 2.0
    assert polygonal_part(shapely.GeometryCollection([box, line])) == box
    assert polygonal_part(shapely.GeometryCollection([line])).is_empty


def test_swapped_coordinates_are_seen_where_they_cannot_be(folder, told):
    swapped = shapely.transform(folder.square(1), lambda at: at[:, ::-1])
    folder.write("infestations", [folder.square(0), swapped], **HOST)
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [1]
    assert told(layers, "position-impossible") == (
        "caution: layers.infestations feature row 2\n"
        "  Set aside: longitude 47.001 deg, latitude -109.99 deg is nowhere on Earth; the two look swapped.\n"
        "  Fix: Longitude comes first and lies in -180 to 360, latitude in -90 to 90."
    )
    # A feature that is nowhere must not move the working system.
    assert layers.crs.name == "Lambert azimuthal equal-area, centre -110 47"


def test_projected_metres_called_degrees_are_impossible(folder, found):
    folder.write("infestations", [folder.square(0), shapely.box(5e5, 5e6, 5.1e5, 5.1e6)], **HOST)
    [finding] = found(folder.read(), "position-impossible")
    assert finding.what == (
        "Set aside: 510,000, 5,100,000 is no longitude and latitude in degrees; it looks like metres or feet on "
        "a map."
    )


def test_longitudes_from_0_to_360_are_the_same_places(folder):
    folder.write(
        "infestations",
        [folder.square(0), shapely.transform(folder.square(0), lambda at: at + np.array([360, 0]))],
        manager=["a", "b"],
        **HOST,
    )
    first, second = folder.read().vectors["infestations"].geometry
    assert first.equals_exact(second, 1e-6)


def test_coordinates_beyond_their_projection_are_set_aside(folder, told):
    far = shapely.box(1e30, 1e30, 2e30, 2e30)
    near = shapely.box(5e5, 5.2e6, 5.01e5, 5.201e6)
    folder.write("infestations", [near, far], crs=32612, **HOST)
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [1]
    assert told(layers, "position-lost") == (
        "caution: layers.infestations feature row 2\n"
        "  Set aside: its coordinates have no place in WGS 84 / UTM zone 12N.\n"
        "  Fix: Check the layer's coordinate reference system."
    )


def test_antimeridian(folder):
    west, east = shapely.box(179.98, -17.0, 180.0, -16.98), shapely.box(-180.0, -17.0, -179.98, -16.98)
    folder.write("infestations", [west, east], **HOST)
    layers = folder.read()
    assert layers.crs.name.startswith("Lambert azimuthal equal-area, centre -180 -17")
    one, other = layers.vectors["infestations"].geometry
    assert one.distance(other) < 1e-6
    assert np.allclose([one.area], [other.area], rtol=1e-9)


def test_feet_come_into_metres(folder):
    # EPSG:2256 is Montana in international feet; the same square drawn there must keep its hectares.
    series = gpd.GeoSeries([folder.square()], crs=4326)
    folder.write(
        "infestations", series.to_crs(CRS.from_epsg(2256)).tolist(), crs=2256, file="feet.gpkg", **HOST
    )
    layers = folder.read()
    assert layers.vectors["infestations"].area.iloc[0] == pytest.approx(
        series.to_crs(layers.crs).area.iloc[0], rel=1e-6
    )


def ring_across(size_deg=0.02):
    """Return a square whose ring jumps from 180 east to 180 west, as many programs write it."""
    west, east = 180.0 - size_deg, -180.0 + size_deg
    return shapely.Polygon([(west, -17.0), (east, -17.0), (east, -16.98), (west, -16.98)])


def test_a_ring_that_jumps_across_the_antimeridian_stays_small(folder):
    halves = shapely.MultiPolygon(
        [shapely.box(179.98, -17.0, 180.0, -16.98), shapely.box(-180.0, -17.0, -179.98, -16.98)]
    )
    shapes = [ring_across(), halves, shapely.box(179.98, -17.0, 180.02, -16.98)]
    folder.write("infestations", shapes, manager=["jump", "halves", "to 360"], **HOST)
    layers = folder.read()
    assert layers.crs.name.startswith("Lambert azimuthal equal-area, centre -180 -17") or (
        layers.crs.name.startswith("Lambert azimuthal equal-area, centre 180 -17")
    )
    # By an independent route: a square of 0.04 by 0.02 degrees at 17 S, drawn away from the line.
    away = gpd.GeoSeries([shapely.box(0.0, -17.0, 0.04, -16.98)], crs=4326)
    true_m2 = away.to_crs("+proj=laea +lat_0=-17 +lon_0=0 +datum=WGS84").area.iloc[0]
    assert layers.vectors["infestations"].area.tolist() == pytest.approx([true_m2] * 3, rel=1e-6)


def test_a_finding_at_the_antimeridian_has_its_place_there(folder, told, found):
    folder.write("treatments", [ring_across()], treatment_id="t", kind=None, start="2025-01-01")
    folder.write("infestations", [ring_across()], **HOST)
    folder.write("roads", [ring_across()], road_class="track")
    [finding] = found(folder.read(), "shape-wrong")
    assert abs(finding.longitude_deg) == pytest.approx(179.98)
    assert finding.latitude_deg == pytest.approx(-16.99)


@pytest.mark.parametrize(("longitude", "latitude", "code"), [(-114.0, 47.0, 32612), (27.0, -29.0, 32735)])
def test_an_outline_across_the_edge_of_its_utm_zone(folder, longitude, latitude, code):
    # Three degrees wide, and drawn in the zone that ends in its middle, in both hemispheres.
    drawn = shapely.segmentize(shapely.box(longitude - 1.5, latitude, longitude + 1.5, latitude + 0.1), 0.01)
    series = gpd.GeoSeries([drawn], crs=4326)
    folder.write("infestations", series.to_crs(code).tolist(), crs=code, **HOST)
    layers = folder.read()
    [ours] = layers.vectors["infestations"].geometry
    assert ours.hausdorff_distance(series.to_crs(layers.crs).iloc[0]) < 0.001


def test_metres_and_impossible_degrees_in_one_layer(folder, found):
    shapes = [shapely.box(-110, 95, -109.99, 96), folder.square(), shapely.box(5e5, 5e6, 5.1e5, 5.1e6)]
    folder.rules["max_bad_share"] = 1.0
    folder.write("infestations", shapes, id=["pole", "good", "metres"], host="ashthorn", cover=1.0,
                 survey_date="2025-06-01")  # fmt: skip
    layers = folder.read()
    assert layers.vectors["infestations"]["id"].tolist() == ["good"]
    impossible = {one.feature: (one.what, one.fix) for one in found(layers, "position-impossible")}
    assert impossible == {
        "metres": (
            "Set aside: 510,000, 5,100,000 is no longitude and latitude in degrees; it looks like metres or feet "
            "on a map.",
            "State the layer's own system as `crs`; save a GeoJSON in WGS 84 (EPSG:4326), or as GeoPackage.",
        ),
        "pole": (
            "Set aside: longitude -110 deg, latitude 96 deg is nowhere on Earth.",
            "Longitude comes first and lies in -180 to 360, latitude in -90 to 90.",
        ),
    }


def test_degrees_said_to_be_metres_stop_the_layer(folder, found):
    folder.write("infestations", [folder.square()], crs="EPSG:26912", host="ashthorn", cover=40.0)
    layers = folder.read()
    [finding] = found(layers, "crs-contradicts")
    assert finding.grade == "stop"
    assert finding.what == (
        "the layer is said to be in NAD83 / UTM zone 12N, but its coordinates run from -110 to -109.999 and from "
        "47 to 47.001, which are degrees."
    )
    assert not layers.has("infestations")
