"""Plan a weed biological-control season: rank collection sources and release sites.

The commands of the shell are functions here: ``read_season``, ``check``, ``run``, ``explain`` and
``start``. Names are loaded on first use, so that importing the package costs nothing.

>>> import geo_scout
>>> "run" in dir(geo_scout)
True
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from geo_scout.errors import (
        GeoScoutError,
        InputMistakes,
        OutputsBlocked,
        UnknownSite,
    )
    from geo_scout.model.agent import AgentProfile
    from geo_scout.model.criterion_value import CriterionValue
    from geo_scout.model.evidence import Evidence
    from geo_scout.model.exclusion import Exclusion
    from geo_scout.model.finding import Finding
    from geo_scout.model.layers import LayerSet
    from geo_scout.model.problem import Problem
    from geo_scout.model.ranking import Ranking
    from geo_scout.model.result import LegalQuestion, SeasonResult
    from geo_scout.model.season import Season
    from geo_scout.model.sites import Sites
    from geo_scout.pipeline import CheckResult, check, explain, explain_result, run, start
    from geo_scout.season import read_season

_HOME_OF = {
    "AgentProfile": "model.agent",
    "CheckResult": "pipeline",
    "CriterionValue": "model.criterion_value",
    "Evidence": "model.evidence",
    "Exclusion": "model.exclusion",
    "Finding": "model.finding",
    "GeoScoutError": "errors",
    "InputMistakes": "errors",
    "LayerSet": "model.layers",
    "LegalQuestion": "model.result",
    "OutputsBlocked": "errors",
    "Problem": "model.problem",
    "Ranking": "model.ranking",
    "Season": "model.season",
    "SeasonResult": "model.result",
    "Sites": "model.sites",
    "UnknownSite": "errors",
    "check": "pipeline",
    "explain": "pipeline",
    "explain_result": "pipeline",
    "read_season": "season",
    "run": "pipeline",
    "start": "pipeline",
}

__all__ = [
    "AgentProfile",
    "CheckResult",
    "CriterionValue",
    "Evidence",
    "Exclusion",
    "Finding",
    "GeoScoutError",
    "InputMistakes",
    "LayerSet",
    "LegalQuestion",
    "OutputsBlocked",
    "Problem",
    "Ranking",
    "Season",
    "SeasonResult",
    "Sites",
    "UnknownSite",
    "check",
    "explain",
    "explain_result",
    "read_season",
    "run",
    "start",
]


def __getattr__(name: str) -> Any:
    """Load a public name on first use."""
    if name not in _HOME_OF:
        message = f"module 'geo_scout' has no attribute {name!r}"
        raise AttributeError(message)
    home, _, attribute = _HOME_OF[name].partition(":")
    return getattr(import_module(f"geo_scout.{home}"), attribute or name)


def __dir__() -> list[str]:
    """Return the public names."""
    return sorted(__all__)
