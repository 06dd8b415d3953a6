import pyogrio
import pytest


@pytest.mark.parametrize(
    ("file", "kind"), [("weeds.parquet", "Parquet"), ("weeds.GeoParquet", "Parquet"), ("w.feather", "Arrow")]
)
def test_a_format_without_a_driver_says_what_to_do(folder, told, monkeypatch, file, kind):
    monkeypatch.setattr(pyogrio, "list_drivers", lambda: {"GPKG": "rw"})
    (folder.folder / file).write_bytes(b"PAR1")
    folder.add("infestations", file)
    assert told(folder.read(), "driver-missing") == (
        "stop: layers.infestations\n"
        f"  '{file}' is a {kind} file, and the GDAL that came with this installation has no driver for it.\n"
        "  Fix: Save it as GeoPackage: in a GIS, or where geopandas and pyarrow are installed by "
        'geopandas.read_parquet("FILE.parquet").to_file("FILE.gpkg")'
    )


def test_where_there_is_a_driver_it_is_asked(folder, told, monkeypatch):
    monkeypatch.setattr(pyogrio, "list_drivers", lambda: {"Parquet": "rw"})
    (folder.folder / "weeds.parquet").write_bytes(b"PAR1")
    folder.add("infestations", "weeds.parquet")
    assert "'weeds.parquet' cannot be read as a layer: " in told(folder.read(), "file-unreadable")
