import hashlib

HOST = {"host": "ashthorn", "cover": 40.0, "survey_date": "2025-01-01"}


def test_every_file_with_its_sidecars_once_and_sorted(folder):
    (folder.folder / "maps").mkdir()
    folder.write("infestations", [folder.square()], file="maps/weeds.shp", **HOST)
    folder.layers["infestations"]["path"] = "maps/weeds.shp"
    folder.write("roads", [folder.line], file="land.gpkg", road_class="track")
    folder.write_raster("elevation", [[1.0]])
    (folder.folder / "maps" / "weeds.txt").write_text("not read", encoding="utf-8")
    inputs = folder.read().inputs
    assert [file.name for file in inputs] == [
        "agents/stem_weevil.toml",
        "elevation.tif",
        "land.gpkg",
        "maps/weeds.cpg",
        "maps/weeds.dbf",
        "maps/weeds.prj",
        "maps/weeds.shp",
        "maps/weeds.shx",
        "season.toml",
    ]
    for file in inputs:
        content = (folder.folder / file.name).read_bytes()
        assert file.sha256 == hashlib.sha256(content).hexdigest()
        assert file.size_bytes == len(content)


def test_file_outside_the_folder_is_named_from_it(folder, tmp_path_factory):
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    folder.write("infestations", [folder.square()], file=str(elsewhere / "weeds.gpkg"), **HOST)
    folder.layers["infestations"]["path"] = str(elsewhere / "weeds.gpkg")
    names = [file.name for file in folder.read().inputs]
    assert f"../{elsewhere.name}/weeds.gpkg" in names


def test_folder_layer_lists_its_files(folder):
    folder.write("infestations", [folder.square()], file="weeds.gdb", **HOST)
    layers = folder.read()
    assert layers.has("infestations")
    assert all(file.name.startswith(("weeds.gdb/", "season", "agents")) for file in layers.inputs)
    assert len(layers.inputs) > 5
