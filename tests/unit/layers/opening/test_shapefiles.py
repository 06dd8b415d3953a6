import pytest

HOST = {"host": "ashthorn", "cover": 40.0, "survey_dat": "2025-01-01"}


@pytest.fixture
def shapefile(folder):
    path = folder.write("infestations", [folder.square(n) for n in range(4)], file="weeds.shp", **HOST)
    folder.layers["infestations"] |= {
        "units": {"cover": "percent"},
        "columns": {"survey_date": "survey_dat"},
    }
    return path


def test_a_whole_shapefile_is_read(folder, shapefile):
    layers = folder.read()
    assert len(layers.vectors["infestations"]) == 4
    assert layers.findings == ()


@pytest.mark.parametrize("suffix", [".shp", ".dbf"])
def test_a_part_that_is_cut_off_is_refused(folder, told, shapefile, suffix):
    part = shapefile.with_suffix(suffix)
    size = part.stat().st_size
    part.write_bytes(part.read_bytes()[:-40])
    # A dBASE table may end in a sign that it ends, which is not counted in what it states.
    stated = size - 1 if part.read_bytes()[0] == 3 and suffix == ".dbf" else size
    assert told(folder.read(), "file-unreadable") == (
        "stop: layers.infestations\n"
        f"  'weeds{suffix}' is cut off: it should have {stated:,} bytes and has {size - 40:,}.\n"
        "  Fix: Copy all files of the shapefile again: .shp, .shx, .dbf and .prj."
    )


def test_shapes_without_columns(folder, told, found, shapefile):
    shapefile.with_suffix(".dbf").unlink()
    folder.layers["infestations"].pop("columns")
    assert told(folder.read(), "column-missing") == (
        "stop: layers.infestations\n"
        "  'weeds.shp' holds shapes but no columns; this layer needs host.\n"
        "  Fix: Put 'weeds.dbf' beside it: the columns of a shapefile are in there."
    )


def test_roads_need_no_columns(folder):
    path = folder.write("roads", [folder.line], file="roads.shp", name="a")
    path.with_suffix(".dbf").unlink()
    layers = folder.read()
    assert layers.has("roads")
    assert [finding.grade for finding in layers.findings] == []
