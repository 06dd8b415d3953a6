import numpy as np
import pytest
import shapely

HOST = {"host": "ashthorn", "cover": 10.0, "survey_date": "2025-06-01"}
FAR_BASE = {"base_longitude_deg": -105.0, "base_latitude_deg": 40.0}


def write_infestations(folder):
    folder.write("infestations", [folder.square(n) for n in range(3)], **HOST)


def add_boundaries(folder):
    folder.write("boundaries", [shapely.box(-105, 40, -104, 41)], district="Far", jurisdiction="Quill")


def add_raster(folder):
    folder.write_raster("elevation", np.full((4, 4), 500.0), transform=(0.5, 0, -106.0, 0, -0.5, 42.0))


def add_releases(folder):
    folder.write(
        "releases", [shapely.Point(-105, 40)], release_id="R1", agent="stem weevil", date="2020-06-01"
    )


def add_bases(folder):
    folder.crew = FAR_BASE


WITNESSES = [add_boundaries, add_raster, add_releases, add_bases]


@pytest.mark.parametrize("add", WITNESSES)
def test_one_layer_of_another_place_stops_nothing(folder, found, add):
    write_infestations(folder)
    add(folder)
    assert found(folder.read(), "position-elsewhere") == []


def test_two_that_agree_stop_the_infestations(folder, told):
    write_infestations(folder)
    for add in WITNESSES[:2]:
        add(folder)
    layers = folder.read()
    assert not layers.has("infestations")
    assert told(layers, "position-elsewhere") == (
        "stop: layers.infestations\n"
        "  the infestations lie in another place than the rest of the season: all of them are outside every "
        "boundary and off the raster elevation.\n"
        '  Fix: State the system the layer is really in, crs = "EPSG:..."; or take the layers that are of '
        "another place out."
    )


def test_all_four_are_told_with_their_distances(folder, found):
    """From 110 W 47 N to 105 W 40 N: 876.2 km on the sphere, by the haversine formula."""
    write_infestations(folder)
    for add in WITNESSES:
        add(folder)
    [finding] = found(folder.read(), "position-elsewhere")
    assert "876 km from the nearest release and 876 km from the nearest crew base." in finding.what


def test_a_raster_from_0_to_360_is_no_other_place(folder, found):
    write_infestations(folder)
    add_boundaries(folder)
    folder.write_raster("elevation", np.full((4, 4), 500.0), transform=(0.5, 0, 249.0, 0, -0.5, 48.0))
    assert found(folder.read(), "position-elsewhere") == []
