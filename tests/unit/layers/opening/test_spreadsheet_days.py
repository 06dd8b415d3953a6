"""Day numbers of a spreadsheet are dates in every kind of file, stored as numbers or as text."""

import geopandas as gpd
import numpy as np
import pandas as pd
import pytest

# 1 January 2023 is day 44,927 of a spreadsheet; 73 days later is 15 March.
DAYS = [44927, 45000]
VISITS = {"visit_id": ["V1", "V2"], "agent": ["stem weevil"] * 2, "result": ["found"] * 2}
SETTINGS = {"date_format": "spreadsheet day", "columns": {"date": "Visited"}}


def read(folder):
    frame = folder.read().vectors["visits"]
    return frame["date"].dt.strftime("%Y-%m-%d").tolist()


@pytest.mark.parametrize("file", ["v.gdb", "v.gpkg", "v.shp", "v.geojson"])
@pytest.mark.parametrize("stored", [np.int32, float, str])
def test_files_with_shapes(folder, file, stored):
    frame = gpd.GeoDataFrame(
        VISITS | {"Visited": [stored(day) for day in DAYS]},
        geometry=[folder.point(0), folder.point(1)],
        crs="EPSG:4326",
    )
    more = {"driver": "OpenFileGDB"} if file.endswith(".gdb") else {}
    frame.to_file(folder.folder / file, **more)
    folder.add("visits", file, **SETTINGS)
    assert read(folder) == ["2023-01-01", "2023-03-15"]


@pytest.mark.parametrize("file", ["v.csv", "v.xlsx"])
def test_tables(folder, file):
    places = {"longitude_deg": [-109.5, -109.6], "latitude_deg": [47.1, 47.2]}
    table = pd.DataFrame(VISITS | {"Visited": DAYS} | places)
    write = table.to_csv if file.endswith(".csv") else table.to_excel
    write(folder.folder / file, index=False)
    folder.add("visits", file, **SETTINGS)
    assert read(folder) == ["2023-01-01", "2023-03-15"]


def test_a_cell_that_is_no_day_number_is_told_with_an_example(folder, told):
    folder.rules["max_bad_share"] = 0.6
    host = {"host": "ashthorn", "cover": 40.0, "id": ["a", "b"]}
    folder.write("infestations", [folder.square(0), folder.square(1)], survey_date=["45000", "June"], **host)
    folder.layers["infestations"]["date_format"] = "spreadsheet day"
    assert told(folder.read(), "value-unreadable") == (
        "caution: layers.infestations feature b\n"
        "  survey_date 'June' is not a date; it is taken as missing.\n"
        "  Fix: Write it like 45000, the day number of 2023-03-15."
    )
