"""How the paths of found files are written in a draft."""

import os
from pathlib import Path

ELSEWHERE = "on another drive, so written in full: this season works on this machine only"


def draft_path(path: Path, folder: Path) -> tuple[str, str]:
    """Return a file's path as the draft writes it, and what must be said of it.

    It is relative to the draft's folder, with ``/`` between folders. A file on another drive has no such
    path and is written in full.

    Parameters
    ----------
    path
        The file.
    folder
        The draft's folder, which need not be there yet.
    """
    # ".." leads up from the true folder, not from a link to it.
    there, here = path.parent.resolve() / path.name, folder.resolve()
    try:
        return Path(os.path.relpath(there, here)).as_posix(), ""
    except ValueError:
        return there.as_posix(), ELSEWHERE
