"""One agent profile by itself: a file of the user's, or one that comes with the package."""

from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from geo_scout.errors import InputMistakes
from geo_scout.model.agent import AgentProfile
from geo_scout.model.problem import Problem
from geo_scout.season.mistakes import validate
from geo_scout.season.open_toml import open_toml, read_text
from geo_scout.season.profile_checks import check_profile
from geo_scout.season.suggest import did_you_mean
from geo_scout.season.timing_checks import NO_SUMS


def read_profile(written: str, *, sums_needed: bool = True) -> AgentProfile:
    """Return an agent profile.

    Parameters
    ----------
    written
        Path of a profile file, or the name of a profile that comes with the package.
    sums_needed
        Whether a heat window without any heat sum is a mistake; not where the sums are to be learned.

    Raises
    ------
    InputMistakes
        There is no such file or name, or the profile is wrong; every mistake at once.
    """
    path = Path(written)
    shipped = _by_name()
    if path.is_file():
        opened = open_toml(path, path.name)
    elif written.strip().casefold() in shipped:
        opened = read_text(shipped[written.strip().casefold()].read_text(encoding="utf-8"), written)
    else:
        names = [profile.name for profile in read_shipped_profiles()]
        fix = did_you_mean(written, names, "give a path, or a name that geo-scout agents lists.")
        what = "there is no such file, and no profile of this name comes with geo_scout."
        raise InputMistakes([Problem("file-missing", written, None, "", what, fix)])
    if isinstance(opened, Problem):
        raise InputMistakes([opened])
    profile, problems = validate(AgentProfile, opened, "profile")
    problems += [one for one in check_profile(opened) if sums_needed or one.code != NO_SUMS]
    if problems or profile is None:
        raise InputMistakes(problems)
    return profile


def read_shipped_profiles() -> tuple[AgentProfile, ...]:
    """Return the profiles that come with the package, by name."""
    return tuple(read_profile(name) for name in sorted(_by_name()))


def read_shipped_text(name: str) -> str:
    """Return the text of a profile that comes with the package, to be saved and changed.

    Raises
    ------
    InputMistakes
        There is no profile of this name.
    """
    shipped = _by_name().get(name.strip().casefold())
    if shipped is None:
        names = [profile.name for profile in read_shipped_profiles()]
        fix = did_you_mean(name, names, "geo-scout agents lists them.")
        what = "no profile of this name comes with geo_scout."
        raise InputMistakes([Problem("file-missing", name, None, "", what, fix)])
    return shipped.read_text(encoding="utf-8")


def _by_name() -> dict[str, Traversable]:
    found = {}
    for item in (files("geo_scout") / "agents").iterdir():
        if item.name.endswith(".toml"):
            found[item.name.removesuffix(".toml").replace("_", " ").casefold()] = item
    return found
