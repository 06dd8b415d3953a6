"""A season around layers that lie somewhere on this machine, for tests of reading alone."""

import datetime as dt
import hashlib
from collections.abc import Mapping
from importlib.metadata import distribution
from pathlib import Path
from typing import Any

from geo_scout.model.agent import AgentProfile
from geo_scout.model.season import Season, SeasonSettings

AS_OF = dt.date(2026, 11, 1)


def season_of(
    folder: Path, layers: Mapping[str, Mapping[str, Any]], hosts: tuple[str, ...] = ("ashthorn",)
) -> Season:
    """Return a season in a folder that names these layers, with an agent for each host."""
    names = [f"agent{number}.toml" for number in range(len(hosts))]
    for name in ("season.toml", *names):
        (folder / name).write_text("format = 1\n", encoding="utf-8")
    settings = SeasonSettings.model_validate(
        {
            "format": 1,
            "season": {"agents": names, "as_of": AS_OF},
            "layers": layers,
            # Counties stand in for infestations here; cut at 5 km they would be a hundred thousand patches.
            "rules": {"max_patch_km": 100.0},
            "crews": [{"name": "Yard", "base_longitude_deg": -109.6, "base_latitude_deg": 47.1}],
        }
    )
    agents = tuple(
        AgentProfile.model_validate(
            {"format": 1, "name": f"agent of {host}", "host": host, "establishment": {"prior_share": 0.4}}
        )
        for host in hosts
    )
    return Season(folder / "season.toml", settings, agents, AS_OF, frozenset())


def packaged(package: str, path: str, sha256_head: str) -> Path:
    """Return a file inside an installed package, once it is sure to be the one the test was written for."""
    file = Path(str(distribution(package).locate_file(path)))
    assert hashlib.sha256(file.read_bytes()).hexdigest().startswith(sha256_head)
    return file
