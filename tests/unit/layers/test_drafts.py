import pytest
import shapely

HOST = {"host": "ashthorn", "survey_date": "2025-01-01"}


def write_twenty(folder, bad):
    cover = [140.0] * bad + [40.0] * (20 - bad)
    folder.write("infestations", [folder.square(n) for n in range(20)], cover=cover, **HOST)
    folder.layers["infestations"]["units"] = {"cover": "percent"}
    folder.rules["max_bad_share"] = 0.05


def test_at_the_limit_the_layer_goes_on(folder, found):
    write_twenty(folder, bad=1)
    layers = folder.read()
    assert len(layers.vectors["infestations"]) == 19
    assert found(layers, "too-many-bad") == []


def test_above_the_limit_the_layer_stops_with_counts_by_reason(folder, told):
    write_twenty(folder, bad=2)
    shapes = [folder.square(n) for n in range(19)] + [shapely.LineString([(0, 0), (1, 1)])]
    folder.write("infestations", shapes, cover=[140.0] * 2 + [40.0] * 18, **HOST)
    layers = folder.read()
    assert not layers.has("infestations")
    assert told(layers, "too-many-bad") == (
        "stop: layers.infestations\n"
        "  3 of 20 features (15.0 percent) cannot be used; the limit is 5 percent (rules.max_bad_share): "
        "impossible cover (2), line without width (1). row 20: it is a line; this layer needs polygons or "
        "points. row 1: cover is 140 percent; it can be 0 to 100. row 2: cover is 140 percent; it can be 0 to "
        "100.\n"
        "  Fix: row 20: Draw it as an area, or state how wide such lines are: line_width_m = 5; row 1: Correct it, "
        "or state the layer's unit of cover. Or raise max_bad_share under [rules] to do without them."
    )


def test_other_hosts_are_not_in_the_share(folder, told):
    write_twenty(folder, bad=2)
    hosts = ["ashthorn"] * 10 + ["brindlebell"] * 10
    folder.write(
        "infestations", [folder.square(n) for n in range(20)], host=hosts, cover=[140.0] * 2 + [40.0] * 18
    )
    assert "2 of 10 features (20.0 percent)" in told(folder.read(), "too-many-bad")


def test_where_nothing_can_be_used_a_higher_limit_is_no_way_out(folder, told):
    folder.write("infestations", [None, None], host="ashthorn", cover=1.0, survey_date="2025-06-01")
    text = told(folder.read(), "too-many-bad")
    assert text.endswith(
        " row 1: it has no geometry. row 2: it has no geometry.\n  Fix: Draw it, or take the row out."
    )


@pytest.mark.parametrize(("features", "limit", "stops"), [(5, 0.05, False), (4, 0.05, True), (5, 0.0, True)])
def test_one_bad_feature_alone_stops_only_the_smallest_layers(folder, found, features, limit, stops):
    shapes = [folder.square(n) for n in range(features)]
    folder.write("infestations", shapes, cover=[140.0] + [40.0] * (features - 1), **HOST)
    folder.rules["max_bad_share"] = limit
    assert bool(found(folder.read(), "too-many-bad")) == stops
