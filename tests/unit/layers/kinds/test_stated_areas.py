import pytest

# 0.001 x 0.001 degrees at 47 N are 111.170 m x 76.056 m by the radii of curvature of WGS 84: 0.8455 ha, 2.09 acres.


def areas(folder, area, unit):
    folder.write("infestations", [folder.square()], host="ashthorn", cover=40.0, area=area)
    folder.layers["infestations"]["units"] = {"area": unit, "cover": "percent"}
    return [one for one in folder.read().findings if one.code == "area-differs"]


@pytest.mark.parametrize(("area", "unit"), [(0.846, "ha"), (2.09, "acre"), (1.6, "ha"), (0.43, "ha")])
def test_an_area_near_that_of_the_outline_is_not_told(folder, area, unit):
    assert areas(folder, area, unit) == []


@pytest.mark.parametrize(("area", "unit"), [(2.09, "ha"), (0.4, "ha"), (0.846, "acre")])
def test_an_area_that_contradicts_its_outline_is_told_with_both(folder, area, unit):
    [finding] = areas(folder, area, unit)
    assert finding.grade == "caution"
    assert finding.what.startswith(f"its area is stated as {area:g} {unit}")
    assert finding.what.endswith("; its outline has 0.8455 ha, which is what counts.")


def test_a_circle_has_its_stated_area(folder):
    folder.write("infestations", [folder.point()], host="ashthorn", cover=40.0, area=2.5)
    folder.layers["infestations"]["units"] = {"area": "acre", "cover": "percent"}
    assert "area-differs" not in {one.code for one in folder.read().findings}
