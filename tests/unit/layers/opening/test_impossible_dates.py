import re

import numpy as np
import pyogrio.raw
import pytest
import shapely
from pyogrio.errors import DataSourceError

from geo_scout.layers.opening.impossible_dates import read_with_dates_as_text

VISITS = {"visit_id": ["V1", "V2"], "agent": ["stem weevil"] * 2, "result": ["found"] * 2}
DRIVERS = {".geojson": "GeoJSON", ".shp": "ESRI Shapefile"}


def write_impossible(folder, file):
    """Write two visits whose first day is 30 February, as a date of the file itself."""
    path = folder.folder / file
    words = {name: np.array(one, dtype=object) for name, one in VISITS.items()}
    values = [*words.values(), np.array(["2025-02-28", "2025-03-01"], dtype="datetime64[D]")]
    points = shapely.to_wkb([folder.point(0), folder.point(1)])
    pyogrio.raw.write(
        path,
        points,
        values,
        [*words, "date"],
        geometry_type="Point",
        crs="EPSG:4326",
        driver=DRIVERS[path.suffix],
    )
    stored = path.with_suffix(".dbf" if path.suffix == ".shp" else path.suffix)
    stored.write_bytes(re.sub(rb"2025([-/]?)02([-/]?)28", rb"2025\g<1>02\g<2>30", stored.read_bytes()))


@pytest.mark.parametrize("file", ["visits.geojson", "visits.shp"])
def test_a_day_the_calendar_does_not_have_is_told_and_the_others_are_read(folder, file):
    folder.rules["max_bad_share"] = 0.6
    # Dates of the file itself are not written as the season says of its texts.
    folder.add("visits", file, date_format="%d.%m.%Y")
    write_impossible(folder, file)
    layers = folder.read()
    frame = layers.vectors["visits"]
    assert frame["visit_id"].tolist() == ["V2"]
    assert frame["date"].dt.strftime("%Y-%m-%d").tolist() == ["2025-03-01"]
    told = " ".join(finding.what for finding in layers.findings if finding.layer == "visits")
    assert "2025/02/30" in told or "2025-02-30" in told


def test_a_file_without_dates_has_some_other_fault(folder):
    path = folder.write("roads", [folder.line], file="roads.geojson", road_class="track")
    with pytest.raises(DataSourceError, match="its values cannot be read"):
        read_with_dates_as_text(path, None, None, {})


@pytest.mark.parametrize("name", ['a"b', "a\\b", "select", "a b"])
def test_odd_names_of_columns_are_read(folder, name):
    path = folder.write("roads", [folder.line], file="roads.geojson", **{name: "track", "day": "2025-02-30"})
    _, _, [words, days] = read_with_dates_as_text(path, None, None, {"datetime_as_string": True})
    assert (words.tolist(), days.tolist()) == (["track"], ["2025/02/30"])
