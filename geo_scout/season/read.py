"""Read a season file and its agent profiles: a Season, or every mistake at once."""

import datetime as dt
from collections.abc import Iterator, Mapping
from pathlib import Path, PurePosixPath
from typing import Any

from geo_scout.errors import InputMistakes
from geo_scout.model.agent import AgentProfile
from geo_scout.model.problem import Problem
from geo_scout.model.season import Season, SeasonSettings
from geo_scout.season.document import Document
from geo_scout.season.mistakes import validate
from geo_scout.season.open_toml import open_toml
from geo_scout.season.paths import is_well_written, missing_file
from geo_scout.season.profile_checks import check_profile, check_profiles_together
from geo_scout.season.season_checks import check_season
from geo_scout.season.wording import visible


def read_season(path: str | Path) -> Season:
    """Return the season of a TOML file, with the agent profiles it names.

    Nothing is written, and no layer is opened.

    Parameters
    ----------
    path
        The season file.

    Raises
    ------
    InputMistakes
        With every mistake of the season file and of all its profiles, in the order of the files.
        A file that is not valid TOML yields that one mistake.
    """
    path = Path(path)
    document = _open_season(path)
    settings, problems = validate(SeasonSettings, document, "season")
    problems += check_season(document, path.parent)
    agents, more = _read_profiles(document, path.parent)
    problems = _in_file_order(problems) + more
    if problems or settings is None:
        raise InputMistakes(problems)
    return Season(
        path=path,
        settings=settings,
        agents=agents,
        as_of=settings.season.as_of or today(),
        given=frozenset(given_keys(document.data)),
    )


def today() -> dt.date:
    """Return the day on this machine's clock, the default of ``as_of``."""
    return dt.datetime.now().astimezone().date()


def given_keys(data: Mapping[str, Any], above: str = "") -> Iterator[str]:
    """Yield the dotted keys a file states, tables and what is inside them; lists of tables from 0.

    >>> list(given_keys({"rules": {"join_m": 5}, "crews": [{"name": "Ford"}]}))
    ['rules', 'rules.join_m', 'crews', 'crews.0', 'crews.0.name']
    """
    for key, value in data.items():
        dotted = f"{above}.{key}" if above else key
        yield dotted
        if isinstance(value, Mapping):
            yield from given_keys(value, dotted)
        elif isinstance(value, list):
            tables = {str(index): item for index, item in enumerate(value) if isinstance(item, Mapping)}
            yield from given_keys(tables, dotted)


def _open_season(path: Path) -> Document:
    file = visible(path.name)
    if path.is_dir():
        inside = next(iter(sorted(path.glob("*.toml"))), None)
        fix = (
            "name a season file." if inside is None else f"name the file in it: {visible(inside.as_posix())}"
        )
        raise InputMistakes(
            [Problem("is-directory", file, None, "", "this is a folder; a season file is needed.", fix)]
        )
    if not path.is_file():
        what, fix = missing_file(path.as_posix(), path, Path())
        if not fix.startswith("did"):
            fix = "check the name; 'geo-scout start FOLDER' makes a season to begin with."
        raise InputMistakes([Problem("file-missing", file, None, "", what, fix)])
    document = open_toml(path, file)
    if isinstance(document, Problem):
        raise InputMistakes([document])
    return document


def _read_profiles(season: Document, folder: Path) -> tuple[tuple[AgentProfile, ...], list[Problem]]:
    """Return the profiles without mistakes, and the mistakes of all; a file not there is told elsewhere."""
    opened = [open_toml(path, visible(written)) for written, path in _profile_files(season, folder)]
    documents = [item for item in opened if isinstance(item, Document)]
    together = list(check_profiles_together(documents))
    agents: list[AgentProfile] = []
    problems: list[Problem] = []
    for item in opened:
        if isinstance(item, Problem):
            problems.append(item)
            continue
        profile, mistakes = validate(AgentProfile, item, "profile")
        mistakes += check_profile(item)
        mistakes += [problem for problem in together if problem.file == item.file]
        problems += _in_file_order(mistakes)
        if profile is not None:
            agents.append(profile)
    return tuple(agents), problems


def _profile_files(season: Document, folder: Path) -> Iterator[tuple[str, Path]]:
    """Yield each profile that is there, once, as written and as a path."""
    seen: set[PurePosixPath] = set()
    for _, written in season.texts("season", "agents"):
        path = folder / written
        if is_well_written(written) and path.is_file() and PurePosixPath(written) not in seen:
            seen.add(PurePosixPath(written))
            yield written, path


def _in_file_order(problems: list[Problem]) -> list[Problem]:
    return sorted(problems, key=lambda problem: problem.line or 0)
