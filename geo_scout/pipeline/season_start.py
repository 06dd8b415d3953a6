"""Begin a season: a small invented one, or one drafted from the user's own files."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from geo_scout.layers.inspect import inspect_files
from geo_scout.model.draft import Inspection, SeasonDraft
from geo_scout.pipeline.season_run import CheckResult, check_read
from geo_scout.season import (
    compose_draft,
    refuse_before_reading,
    refuse_nothing_found,
    start_season,
    unanswered_season,
    write_draft,
)


@dataclass(frozen=True)
class StartResult:
    """A season drafted from the user's own files.

    Parameters
    ----------
    season_file
        The season file that was written.
    found
        What the files seem to be.
    draft
        The texts that were written, with the open questions.
    checked
        What checking the draft noticed, as far as its layers can be read before the questions are
        answered; None where there are no infestations to read.
    """

    season_file: Path
    found: Inspection
    draft: SeasonDraft
    checked: CheckResult | None


def start(folder: str | Path, from_files: Iterable[str | Path] | None = None) -> Path:
    """Return the season file of a new season in a folder; nothing is ever overwritten.

    Parameters
    ----------
    folder
        Where to put it.
    from_files
        Files and folders of the user's own layers, to draft a season from; without them a small invented
        season is copied.

    Raises
    ------
    InputMistakes
        With every file that is already there.
    OutputsBlocked
        The folder cannot be written.
    """
    if from_files is None:
        return start_season(folder)
    return start_from(folder, from_files).season_file


def start_from(folder: str | Path, from_files: Iterable[str | Path]) -> StartResult:
    """Draft a season from the user's own files, which are only read, and look at its layers.

    Parameters
    ----------
    folder
        Where to put the draft.
    from_files
        Files and folders.

    Raises
    ------
    InputMistakes
        With every file that is already there or not to be found; or no file is a layer.
    OutputsBlocked
        The folder cannot be written.
    """
    folder, named = Path(folder), [Path(item) for item in from_files]
    refuse_before_reading(folder, named)
    found = inspect_files(named, folder)
    refuse_nothing_found(found, folder)
    draft = compose_draft(found, folder)
    season_file = write_draft(draft, folder)
    season = unanswered_season(draft, folder)
    return StartResult(season_file, found, draft, None if season is None else check_read(season))
