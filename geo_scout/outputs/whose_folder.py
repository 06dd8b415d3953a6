"""A folder of results belongs to the command that filled it; another one does not take their place."""

import json
from pathlib import Path

from geo_scout.errors import OutputsBlocked
from geo_scout.outputs.swap import MANIFEST, MARKER

RUN = "run"


def read_whose(folder: Path, what: str) -> None:
    """Refuse a folder that holds the results of another command.

    Parameters
    ----------
    folder
        Where to write.
    what
        What is to be written, as its manifest says under ``what``; that of a run says nothing.

    Raises
    ------
    OutputsBlocked
        It holds other results of ours.
    """
    manifest = folder / MANIFEST
    try:
        if not manifest.is_file():
            return
        content = json.loads(manifest.read_text(encoding="utf-8"))
    except (ValueError, OSError):
        return  # not ours, or not to be read, which is refused in words when it comes to writing
    if (
        not isinstance(content, dict)
        or content.get("written_by") != MARKER
        or content.get("what", RUN) == what
    ):
        return
    whose = content.get("what", RUN)
    message = (
        f"outputs: {folder} holds the results of a {whose}; a {what} does not replace them.\n"
        "  Fix: name another folder, with --outputs or as [season] outputs."
    )
    raise OutputsBlocked(message)
