"""Sites put together by hand for the tests of draws: measures, their ranges, and what may leave a site out."""

from typing import Any

import numpy as np

from geo_scout.model.criteria import Criterion
from geo_scout.model.criterion_value import CriterionValue
from geo_scout.model.doubts import AreaDoubt, ClimateDoubt, PresenceDoubt, SiteDoubts
from geo_scout.model.season import RankingTable
from geo_scout.ranking import assess_robustness, best_first, score_sites

NO_ERRORS = np.array([-1.0, 0.0, 1.0])
CURVES = {
    "host_area": {"shape": "rising", "from": 0.0, "to": 10.0},
    "host_cover": {"shape": "rising", "from": 0.0, "to": 100.0},
    "wasted_chance": {"shape": "falling", "from": 0.0, "to": 1.0},
    "climate_gap": {"shape": "falling", "from": 0.0, "to": 4.0},
    "crew_distance": {"shape": "falling", "from": 0.0, "to": 10.0},
    "population_distance": {"shape": "rising", "from": 0.0, "to": 10.0},
}
UNITS = {
    "host_area": "ha", "host_cover": "pct", "wasted_chance": "share", "climate_gap": "",
    "crew_distance": "km", "population_distance": "km",
}  # fmt: skip


def ids_of(count: int) -> tuple[str, ...]:
    return tuple(f"A-{number}" for number in range(count))


def measure(name: str, best: Any, low: Any = None, high: Any = None) -> CriterionValue:
    value = np.asarray(best, dtype=float)
    ends = [value if end is None else np.asarray(end, dtype=float) for end in (low, high)]
    return CriterionValue(UNITS[name], value, *ends, ~np.isnan(value), ("",) * len(value))


def criteria(**weights: float) -> dict[str, Criterion]:
    return {
        name: Criterion.model_validate({"weight": weight, "curve": CURVES[name]})
        for name, weight in weights.items()
    }


def area(
    low: Any, best: Any, high: Any, gross: Any = 100.0, scheme: Any = "daubenmire", **named: Any
) -> AreaDoubt:
    best_ha = np.asarray(best, dtype=float)
    count = len(best_ha)
    schemes = (
        np.full(count, scheme, dtype=object) if isinstance(scheme, str) else np.array(scheme, dtype=object)
    )
    change = np.broadcast_to(np.asarray(named.pop("change_log", 0.0), dtype=float), (count,))
    return AreaDoubt(
        np.asarray(low, dtype=float),
        best_ha,
        np.asarray(high, dtype=float),
        np.broadcast_to(np.asarray(gross, dtype=float), (count,)),
        schemes,
        change,
        **named,
    )


def doubts(count: int, **given: Any) -> SiteDoubts:
    """Return sites of which everything is known, unless a test says otherwise."""
    sure, zeros = np.zeros(count, dtype=bool), np.zeros(count)
    plain = {
        "agent": "weevil",
        "site_ids": ids_of(count),
        "is_out": sure,
        "area": area(zeros + 1, zeros + 1, zeros + 1),
        "presence": PresenceDoubt(zeros, zeros, zeros, None, sure),
        "climate": ClimateDoubt(zeros, (), NO_ERRORS, np.zeros((count, 0))),
    }
    return SiteDoubts(**(plain | given))


def assess(
    unsure: SiteDoubts, chosen: dict, measures: dict, out: Any = (), combine: Any = None, **ranking: Any
):
    """Return the robustness of sites ranked by their scores, those in `out` left out."""
    scored = score_sites(chosen, measures)
    ranked = [one for one in best_first(scored.score, unsure.site_ids) if one not in set(out)]
    return assess_robustness(unsure, chosen, measures, scored, ranked, RankingTable(**ranking), combine)
