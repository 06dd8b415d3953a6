import numpy as np
import pytest
from pyproj import CRS, Transformer

from geo_scout.layers.places.grid_references import read_grid_references

WGS84 = CRS.from_epsg(4326)


def read(*references):
    texts = np.empty(len(references), dtype=object)
    texts[:] = references
    return read_grid_references(texts, WGS84)


@pytest.mark.parametrize(
    "text", ["12TVT1234567890", "12T VT 12345 67890", "12t vt 12345 67890", " 12T-VT-12345-67890".strip()]
)
def test_spaces_and_capitals_do_not_matter(text):
    longitude_deg, latitude_deg, error_m, problems = read(text)
    assert problems.tolist() == [""]
    to_utm = Transformer.from_crs(4326, 32612, always_xy=True)
    # Square VT of zone 12T begins at 400,000 E and 5,200,000 N; the middle of the metre is half a metre on.
    assert to_utm.transform(longitude_deg[0], latitude_deg[0]) == pytest.approx(
        (412_345.5, 5_267_890.5), abs=1e-3
    )
    assert error_m.tolist() == pytest.approx([0.5**0.5])


@pytest.mark.parametrize(("digits", "side_m"), [("1267", 1_000.0), ("123678", 100.0), ("12346789", 10.0)])
def test_fewer_digits_name_a_larger_square(digits, side_m):
    longitude_deg, latitude_deg, error_m, problems = read(f"12TVT{digits}")
    half = len(digits) // 2
    corner = (400_000 + float(digits[:half]) * side_m, 5_200_000 + float(digits[half:]) * side_m)
    to_utm = Transformer.from_crs(4326, 32612, always_xy=True)
    middle = to_utm.transform(longitude_deg[0], latitude_deg[0])
    assert middle == pytest.approx((corner[0] + side_m / 2, corner[1] + side_m / 2), abs=1e-3)
    # Half the diagonal, by Pythagoras.
    assert error_m.tolist() == pytest.approx([np.hypot(side_m / 2, side_m / 2)])
    assert problems.tolist() == [""]


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("12TVT123", "has 3 digits; easting and northing take as many each"),
        ("12TVT123456789012", "has 12 digits; ten name a metre"),
        ("12TVT12", "names a square of 10 km, which is no place to go to"),
        ("12TVT", "names a square of 100 km, which is no place to go to"),
        ("12TIT12345678", "is no reference like 12T VT 12345 67890"),
        ("61TVT12345678", "is no reference like 12T VT 12345 67890"),
        ("the ford", "is no reference like 12T VT 12345 67890"),
        ("12TAA12345678", "names no square of the grid"),
    ],
)
def test_references_that_name_no_place(text, problem):
    longitude_deg, _, _, problems = read(text)
    assert problems.tolist() == [problem]
    assert np.isnan(longitude_deg).all()


def test_blank_is_no_problem():
    longitude_deg, _, _, problems = read("")
    assert problems.tolist() == [""]
    assert np.isnan(longitude_deg).all()
