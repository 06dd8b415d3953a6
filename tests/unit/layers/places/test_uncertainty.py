import numpy as np
import pytest

from geo_scout.layers.places.reference_systems import open_passage

RELEASE = {"agent": "stem weevil", "date": "2020-05-01"}


def accuracy_m(layers, code):
    """Return what PROJ states for the way from a system to the season's map, there."""
    return open_passage(code, layers.crs, np.array([-110.0]), np.array([47.0])).accuracy_m


def test_a_datum_shift_widens_what_is_stated_and_the_floor(folder, told):
    shapes = [folder.point(n) for n in range(3)]
    ids = ["a", "b", "c"]
    folder.write(
        "releases", shapes, crs=4267, release_id=ids, coordinate_uncertainty_m=[5.0, None, 0.0], **RELEASE
    )
    layers = folder.read()
    shift_m = accuracy_m(layers, 4267)
    assert shift_m > 1.0
    # Root of the sum of squares by hand; blank and impossible ones start from the floor of 30 m.
    expected = [(5.0**2 + shift_m**2) ** 0.5, (30.0**2 + shift_m**2) ** 0.5, (30.0**2 + shift_m**2) ** 0.5]
    assert layers.vectors["releases"]["coordinate_uncertainty_m"].tolist() == pytest.approx(
        expected, rel=1e-12
    )
    assert told(layers, "uncertainty-widened") == (
        "note: layers.releases\n"
        f"  coordinate_uncertainty_m of 3 rows (a, b, c) was widened by {shift_m:g} m of the change of datum, "
        "from 30 m where it was blank (root of the sum of squares).\n"
        "  Fix: Nothing; it decides how near a patch a record must lie."
    )


def test_no_shift_leaves_blanks_blank(folder, found):
    folder.write("releases", [folder.point()], release_id="a", coordinate_uncertainty_m=None, **RELEASE)
    layers = folder.read()
    assert np.isnan(layers.vectors["releases"]["coordinate_uncertainty_m"]).all()
    assert found(layers, "uncertainty-widened") == []


def test_the_square_of_a_grid_reference_widens_too(folder, told):
    folder.write_table("visits", [
        ["visit_id", "agent", "date", "result", "grid_reference", "coordinate_uncertainty_m"],
        ["a", "stem weevil", "2024-06-01", "found", "12T WT 76 05", "40"],
        ["b", "stem weevil", "2024-06-01", "found", "12T WT 76025 05649", ""],
    ])  # fmt: skip
    layers = folder.read()
    # Half the diagonal of a kilometre, and of a metre, which is too little to be added.
    expected = [(40.0**2 + 500_000.0) ** 0.5, np.nan]
    frame = layers.vectors["visits"]
    assert frame["coordinate_uncertainty_m"].tolist() == pytest.approx(expected, nan_ok=True)
    assert "written_error_m" not in frame
    assert "of 1 row (a) was widened by the squares of grid references, from 30 m" in told(
        layers, "uncertainty-widened"
    )


def test_patches_have_no_uncertainty_to_widen(folder, found):
    folder.write("infestations", [folder.square()], crs=4267, host="ashthorn", cover=40.0)
    layers = folder.read()
    assert len(found(layers, "datum-shift")) == 1
    assert found(layers, "uncertainty-widened") == []
