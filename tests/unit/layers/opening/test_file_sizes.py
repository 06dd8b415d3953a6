import tracemalloc
import zipfile

import pytest

from geo_scout.layers.opening.file_sizes import unpacked_bytes

HOST = {"host": "ashthorn", "cover": 40.0, "survey_date": "2025-01-01"}
MEGABYTE = 1_000_000


def write_bomb(path, member, megabytes):
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed, packed.open(member, "w") as stream:
        for _ in range(megabytes):
            stream.write(bytes(MEGABYTE))


@pytest.mark.parametrize(("file", "member"), [
    ("weeds.zip", "weeds.geojson"), ("weeds.xlsx", "xl/worksheets/sheet1.xml"), ("weeds.kmz", "doc.kml"),
])  # fmt: skip
def test_a_packed_file_is_measured_before_it_is_read(folder, told, file, member):
    path = folder.folder / file
    write_bomb(path, member, 60)
    assert path.stat().st_size < MEGABYTE / 10
    folder.add("infestations", file, max_size_mb=50.0)
    tracemalloc.start()
    layers = folder.read()
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 20 * MEGABYTE
    assert told(layers, "file-too-large") == (
        "stop: layers.infestations\n"
        f"  '{file}' unpacks to 60.0 MB; the limit is 50 MB (max_size_mb). Nothing of it was read.\n"
        "  Fix: Save the part that the season needs, or raise max_size_mb if the machine has the memory for it."
    )


def test_a_plain_file_and_its_companions_count_together(folder, told):
    path = folder.write("infestations", [folder.square()], file="weeds.shp", **HOST)
    size = sum(item.stat().st_size for item in path.parent.glob("weeds.*"))
    folder.layers["infestations"]["max_size_mb"] = (size - 1) / MEGABYTE
    assert f"'weeds.shp' has {size / MEGABYTE:,.1f} MB; the limit is " in told(
        folder.read(), "file-too-large"
    )
    folder.layers["infestations"]["max_size_mb"] = size / MEGABYTE
    folder.layers["infestations"]["columns"] = {"survey_date": "survey_dat"}
    assert folder.read().has("infestations")


def test_what_is_no_zip_has_no_unpacked_size(folder):
    path = folder.write("infestations", [folder.square()], **HOST)
    assert unpacked_bytes(path) is None
    assert unpacked_bytes(folder.folder) is None


def test_a_list_of_contents_that_lies_is_not_believed_twice(folder, told):
    path = folder.folder / "weeds.zip"
    write_bomb(path, "weeds.geojson", 60)
    stored = bytearray(path.read_bytes())
    # The list at the end says 1,000 bytes; the reader compares it with the head of the packed file itself.
    at = stored.index(b"PK\x01\x02") + 24
    stored[at : at + 4] = (1_000).to_bytes(4, "little")
    path.write_bytes(bytes(stored))
    assert unpacked_bytes(path) == 1_000
    folder.add("infestations", "weeds.zip", max_size_mb=50.0)
    tracemalloc.start()
    layers = folder.read()
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 20 * MEGABYTE
    assert "'weeds.zip' is damaged, or only a part of it is there." in told(layers, "file-unreadable")
