"""Files that are something else than their names say: what they are, and what to do about it."""

from pathlib import Path

from geo_scout.model.file_signatures import OLD_OFFICE, PACKED, WEB_PAGE, kind_of_bytes

_LOOKED_AT = 1024
_FIXES = {
    WEB_PAGE: "Download it again: what was saved is a server's answer, perhaps its page to sign in.",
    OLD_OFFICE: "Open it in a spreadsheet program and save it as .xlsx.",
}


def read_kind_of_file(path: Path) -> str:
    """Return what a file is by its first bytes, in words; empty where they are no sign of anything."""
    try:
        with path.open("rb") as stream:
            first = stream.read(_LOOKED_AT)
    except OSError:
        return ""
    return kind_of_bytes(first)


def fix_of_kind(kind: str) -> str:
    """Return what to do about a file of another kind than its name says."""
    if kind.startswith(PACKED):
        return "Unpack it and give the file in it."
    return _FIXES.get(kind, "Give the right file; another ending to its name does not change what it is.")
