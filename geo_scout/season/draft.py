"""A season drafted from what was found in the user's files: composed, written, looked at."""

import tomllib
from collections.abc import Sequence
from pathlib import Path

from geo_scout.errors import InputMistakes
from geo_scout.model.agent import AgentProfile
from geo_scout.model.draft import Inspection, NameGuess, SeasonDraft
from geo_scout.model.problem import Problem
from geo_scout.model.season import Season, SeasonSettings
from geo_scout.season.draft_page import Numbering, Page
from geo_scout.season.draft_profile import profile_files, write_profile_page
from geo_scout.season.draft_report import found_text, questions_text, unused_lines
from geo_scout.season.draft_season import write_season_page
from geo_scout.season.new_files import refuse_obstacles, write_new_files
from geo_scout.season.paths import missing_file
from geo_scout.season.read import given_keys, today

SEASON_FILE, NOTES_FILE = "season.toml", "draft_notes.txt"
AGENTS_AT_MOST = 12


def refuse_nothing_found(found: Inspection, folder: Path) -> None:
    """Raise where no file was recognised as a layer: a draft without one would help nobody.

    Raises
    ------
    InputMistakes
        With what each file was left alone for.
    """
    if found.layers:
        return
    told = "\n".join(unused_lines(found.unused, folder))
    what = (
        f"no file was recognised as a layer, so nothing was written.\n{told}"
        if told
        else "there is no file here."
    )
    fix = "give the files or the folder with your weed map, releases, visits and rasters."
    raise InputMistakes([Problem("no-layer-found", "--from", None, "", what, fix)])


def compose_draft(found: Inspection, folder: Path) -> SeasonDraft:
    """Return the texts of a season drafted from what was found. Nothing is written.

    Parameters
    ----------
    found
        What was found in the user's files.
    folder
        Where the draft will be written; paths are relative to it.
    """
    agents: Sequence[NameGuess | None] = found.agents[:AGENTS_AT_MOST] or (None,)
    profiles = profile_files([agent or NameGuess("agent", 0) for agent in agents])
    numbering = Numbering()
    pages = [Page(SEASON_FILE, numbering)]
    write_season_page(pages[0], found, folder, profiles)
    for file, agent in zip(profiles, agents, strict=True):
        pages.append(Page(file, numbering))
        write_profile_page(pages[-1], agent, found.hosts, found.jurisdictions)
    told, asked = found_text(found, folder), questions_text(numbering.questions, folder)
    return SeasonDraft(
        texts={page.file: page.text() for page in pages} | {NOTES_FILE: f"{told}\n\n{asked}\n"},
        questions=tuple(numbering.questions),
        found_text=told,
        questions_text=asked,
        stand_ins={page.file: page.stand_in_text() for page in pages},
    )


def refuse_before_reading(folder: Path, named: Sequence[Path]) -> None:
    """Raise before anything is read, where a draft could not be written or a named file is not there.

    Raises
    ------
    InputMistakes
        With every file that is in the way, or every name that leads nowhere.
    """
    refuse_obstacles(folder, [folder / SEASON_FILE, folder / NOTES_FILE], done="written")
    problems = []
    for path in named:
        if not path.exists():
            what, fix = missing_file(path.as_posix(), path, Path())
            fix = fix if fix.startswith("did") else "check the name."
            problems.append(Problem("file-missing", "--from", None, "", what, fix))
    if problems:
        raise InputMistakes(problems)


def write_draft(draft: SeasonDraft, folder: Path) -> Path:
    """Write a draft, whole or not at all, and return its season file.

    Raises
    ------
    InputMistakes
        With every file that is already there.
    OutputsBlocked
        The folder cannot be written.
    """
    write_new_files(folder, {name: text.encode() for name, text in draft.texts.items()}, done="written")
    return folder / SEASON_FILE


def unanswered_season(draft: SeasonDraft, folder: Path) -> Season | None:
    """Return the drafted season with stand-ins for what is open, so that its layers can be looked at.

    It must not be ranked: crews, weights of evidence and the like are made up. None where there are no
    infestations to look at.

    Parameters
    ----------
    draft
        The draft.
    folder
        Its folder.
    """
    data = {name: tomllib.loads(text) for name, text in draft.stand_ins.items()}
    season = data.pop(SEASON_FILE)
    if "path" not in season["layers"].get("infestations", {}):
        return None
    return Season(
        path=folder / SEASON_FILE,
        settings=SeasonSettings.model_validate(season, by_alias=True, by_name=False),
        agents=tuple(AgentProfile.model_validate(one, by_alias=True, by_name=False) for one in data.values()),
        as_of=today(),
        given=frozenset(given_keys(season)),
    )
