import numpy as np
import pytest
from rasterio.transform import from_origin

NORTH = np.array([-8.0, -5, 1, 8, 15, 21, 26, 25, 18, 9, 0, -6])


def cells(months):
    return np.broadcast_to(months[:, None, None], (12, 4, 4)).copy()


@pytest.mark.parametrize("turn", [3, 6, -3])
def test_a_year_that_does_not_begin_in_january_is_asked_about(folder, found, turn):
    folder.write_raster("tmax", cells(np.roll(NORTH, turn)))
    [finding] = found(folder.read(), "months-turned")
    assert (finding.grade, finding.layer) == ("caution", "tmax")
    month = {3: "October", 6: "January", -3: "April"}[turn]
    assert finding.what.startswith(
        f"by its bands the warmest month is {month}; this far north it lies in May"
    )
    assert finding.what.endswith("Do the bands begin with January?")


@pytest.mark.parametrize("turn", [0, 1, 2, -2])
def test_a_summer_month_is_not_asked_about(folder, found, turn):
    folder.write_raster("tmax", cells(np.roll(NORTH, turn)))
    assert found(folder.read(), "months-turned") == []


@pytest.mark.parametrize(
    ("north_deg", "months", "asked"),
    [(-35.0, NORTH, True), (-35.0, np.roll(NORTH, 6), False), (10.0, np.roll(NORTH, 6), False)],
)
def test_the_other_half_of_the_world_has_summer_in_january_and_the_tropics_any_time(
    folder, found, north_deg, months, asked
):
    folder.write_raster("tmax", cells(months), transform=from_origin(-110.1, north_deg, 0.01, 0.01))
    assert bool(found(folder.read(), "months-turned")) is asked
