import pytest

HOST = {"host": "ashthorn", "cover": 40.0, "survey_date": "2025-01-01"}


def test_a_point_of_a_continent_stops(folder, told):
    folder.write("infestations", [folder.point(0), folder.point(1)], id=["A1", "A2"], area=[1.0, 1e9], **HOST)
    layers = folder.read()
    assert not layers.has("infestations")
    # 1e13 m2 by (5,000 m)^2, twice, is 800,000. The corners of the circle's 64 sides lie at
    # r = (2 x 1e13 / (64 sin(2 pi / 64)))^0.5 = 1,785,558 m, so its bounds are 2 x 2^0.5 r = 5,050.3 km from corner
    # to corner, which adds 1,010.
    assert told(layers, "patches-too-many") == (
        "stop: layers.infestations\n"
        "  its outlines would be cut into about 801,010 patches of at most 5 km (rules.max_patch_km); the limit is "
        "10,000. The largest is A2: 1,000,000,000 ha, 5,050.3 km long.\n"
        "  Fix: Check that outline and its area, or raise max_patch_km under [rules] for a map so coarse."
    )


@pytest.mark.parametrize(("max_patch_km", "is_stopped"), [(5.0, False), (0.0005, True)])
def test_a_patch_of_a_hand_s_breadth_stops(folder, found, max_patch_km, is_stopped):
    folder.rules["max_patch_km"] = max_patch_km
    folder.write("infestations", [folder.square(0)], **HOST)
    assert bool(found(folder.read(), "patches-too-many")) is is_stopped
