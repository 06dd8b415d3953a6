import shapely


def test_features_outside_every_boundary(folder, told, found):
    """The square of 0.001 degrees at 110 W; 0.01 degrees of latitude is 1,112 m on the ground there."""
    county = shapely.box(-110.01, 46.99, -109.99, 47.01)
    folder.write("boundaries", [county], district="Upper", jurisdiction="Quill")
    folder.write(
        "releases",
        [shapely.Point(-110, 47), shapely.Point(-110, 47.02)],
        release_id=["in", "out"], agent="stem weevil", date="2026-01-01",
    )  # fmt: skip
    layers = folder.read()
    assert told(layers, "outside-boundaries") == (
        "caution: layers.releases feature out\n"
        "  it lies outside every boundary, 1,112 m from the nearest, so whose law holds there is unknown.\n"
        "  Fix: Give boundaries that reach this far, or correct the position."
    )
    [finding] = found(layers, "outside-boundaries")
    assert (finding.longitude_deg, finding.latitude_deg) == (-110.0, 47.02)


def test_an_infestation_across_the_edge_is_inside(folder, found):
    """Its middle lies outside, a part of it inside."""
    county = shapely.box(-110.0, 46.99, -109.9998, 47.01)
    folder.write("boundaries", [county], district="Upper", jurisdiction="Quill")
    assert found(folder.read(), "outside-boundaries") == []


def test_without_boundaries_nothing_is_said(folder, found):
    assert found(folder.read(), "outside-boundaries") == []


def test_where_all_lie_outside_it_is_said_once(folder, told):
    """From 109.98 W to 108 W at 47.005 N: by pyproj's Geod 150.6 km on WGS 84."""
    folder.write("boundaries", [shapely.box(-108, 46, -107, 48)], district="Far", jurisdiction="Quill")
    folder.write("infestations", [folder.square(0, 0.01), folder.square(1, 0.01)], host="ashthorn", cover=1.0,
                 survey_date="2025-06-01")  # fmt: skip
    assert told(folder.read(), "outside-boundaries") == (
        "caution: layers.infestations\n"
        "  all 2 features lie outside every boundary, the nearest 151 km off, so whose law holds there is unknown.\n"
        "  Fix: Give boundaries that reach this far, or correct the position."
    )
