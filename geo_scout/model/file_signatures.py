"""What a file is by its first bytes, whatever its name says: people rename files, and servers send pages."""

WEB_PAGE = "a web page"
OLD_OFFICE = "a document of an older office program (.xls, .doc)"
PACKED = "a packed file"
SQLITE, SHAPEFILE, FLATGEOBUF = "a GeoPackage or another SQLite database", "a shapefile", "a FlatGeobuf"
PARQUET, ZIPPED = "a Parquet file", "a zip file or a spreadsheet"
_SIGNATURES: tuple[tuple[bytes, str], ...] = (
    (b"\x89PNG\r\n\x1a\n", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"GIF8", "a GIF picture"),
    (b"II*\x00", "a TIFF image"),
    (b"II+\x00", "a TIFF image"),
    (b"MM\x00*", "a TIFF image"),
    (b"MM\x00+", "a TIFF image"),
    (b"%PDF-", "a PDF document"),
    (b"SQLite format 3\x00", SQLITE),
    (b"\x00\x00\x27\x0a", SHAPEFILE),
    (b"fgb\x03", FLATGEOBUF),
    (b"PAR1", PARQUET),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", OLD_OFFICE),
    (b"PK\x03\x04", ZIPPED),
    (b"PK\x05\x06", "a zip file with nothing in it"),
    (b"\x1f\x8b", f"{PACKED} (gzip)"),
    (b"7z\xbc\xaf\x27\x1c", f"{PACKED} (7-Zip)"),
    (b"Rar!\x1a\x07", f"{PACKED} (RAR)"),
)
_PAGES = (b"<!doctype html", b"<html")


def kind_of_bytes(first: bytes) -> str:
    """Return what a file is whose first bytes these are; empty where they are no sign of anything.

    References
    ----------
    The signatures are those of each format's own specification.

    Examples
    --------
    >>> kind_of_bytes(b"%PDF-1.7 ..."), kind_of_bytes(b"id,host,cover")
    ('a PDF document', '')
    """
    told = next((kind for sign, kind in _SIGNATURES if first.startswith(sign)), "")
    is_page = first.removeprefix(b"\xef\xbb\xbf").lstrip().lower().startswith(_PAGES)
    return WEB_PAGE if is_page else told
