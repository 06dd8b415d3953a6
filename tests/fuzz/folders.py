"""What a folder holds, to the byte, and what became of it."""

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path

from geo_scout.outputs.swap import MANIFEST, OUR_FILES

# A check writes this one; a run does not.
WHOLE = OUR_FILES - {"findings.geojson"}
_EARLIER = {
    MANIFEST: '{"written_by": "geo_scout"}\n',
    "release_sites.csv": "of an earlier run\n",
    "my notes.txt": "kept by the user\n",
}
_FOLDER = "folder"


def snapshot(folder: Path) -> dict[str, str]:
    """Return every file with its digest, and every folder."""
    return {
        path.relative_to(folder).as_posix(): (
            _FOLDER if path.is_dir() else hashlib.sha256(path.read_bytes()).hexdigest()
        )
        for path in sorted(folder.rglob("*"))
    }


def write_earlier(folder: Path) -> None:
    """Write what stands for an earlier run's outputs, with a file of the user's beside them."""
    folder.mkdir()
    for name, text in _EARLIER.items():
        (folder / name).write_text(text, encoding="utf-8")


def differences(before: Mapping[str, str], after: Mapping[str, str]) -> list[str]:
    """Return in words which files came, went or changed."""
    names = sorted({*before, *after})
    words = {True: "changed", False: "came"}
    return [
        f"{name} {'went' if name not in after else words[name in before]}"
        for name in names
        if before.get(name) != after.get(name)
    ]


def wrong_outputs(folder: Path, before: Mapping[str, str], after: Mapping[str, str]) -> list[str]:
    """Return what is wrong after a run that wrote its outputs: all of them in one folder, all else as it was."""
    changed = {name for name in {*before, *after} if before.get(name) != after.get(name)}
    homes = {Path(name).parent.as_posix() for name in changed if after.get(name, _FOLDER) != _FOLDER}
    if len(homes) != 1:
        return [f"outputs in {len(homes)} folders: {sorted(homes)[:5]}", *differences(before, after)[:5]]
    [home] = homes
    held = {Path(name).name for name in after if Path(name).parent.as_posix() == home}
    wrong = [f"{name} is not there" for name in sorted(WHOLE - held)]
    foreign = {
        name for name in changed if Path(name).name not in OUR_FILES and after.get(name, _FOLDER) != _FOLDER
    }
    wrong += [f"{name} was written or changed" for name in sorted(foreign)]
    wrong += [f"{name} went" for name in sorted(set(before) - set(after))]
    if not wrong:
        json.loads((folder / home / MANIFEST).read_text(encoding="utf-8"))
    return wrong


def outputs_of(before: Mapping[str, str], after: Mapping[str, str]) -> str:
    """Return the folder that a run wrote into, relative to the one looked at."""
    changed = [name for name in after if before.get(name) != after[name] and after[name] != _FOLDER]
    return Path(changed[0]).parent.as_posix() if changed else ""
