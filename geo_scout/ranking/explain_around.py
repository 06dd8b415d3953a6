"""What the patches around one site, and the crew's way to it, add to its measures."""

import pandas as pd

from geo_scout.model.agent import Spread
from geo_scout.model.rows import each_row
from geo_scout.model.sites import Sites

_TOLD = 8


def explain_around(
    sites: Sites, index: int, parts: pd.DataFrame, spread: Spread, horizon_years: float
) -> str:
    """Return the nearest crew base and what each patch around adds to the host the agent can reach.

    Parameters
    ----------
    sites
        The patches of its host.
    index
        Row of the patch.
    parts
        What the other patches add, most first: ``site_id``, ``distance_km``, ``infested_ha``,
        ``reach_share``, ``adds_ha``.
    spread
        The agent's.
    horizon_years
        Years of spread that count [years].
    """
    patch = sites.patches.iloc[index]
    lines = ["Around the patch:"]
    if patch["crew"]:
        lines.append(f"  nearest crew base: {patch['crew']}, {patch['crew_distance_km']:.4f} km")
    if len(parts):
        lines.append(f"  host within reach, {_formula(spread, horizon_years)}:")
    for part in each_row(parts.head(_TOLD)):
        lines.append(
            f"    {part.site_id}: {part.infested_ha:.4f} ha at {part.distance_km:.4f} km x "
            f"{part.reach_share:.6f} = {part.adds_ha:.4f} ha"
        )
    rest = parts.iloc[_TOLD:]
    if len(rest):
        lines.append(f"    and {len(rest)} more, together {rest['adds_ha'].sum():.4f} ha")
    if len(parts):
        lines.append(f"    in all {parts['adds_ha'].sum():.4f} ha")
    return "\n".join(lines) if len(lines) > 1 else ""


def _formula(spread: Spread, horizon_years: float) -> str:
    if spread.curve is not None or spread.km_per_yr is None:
        return "weighted by the profile's curve of spread"
    rate, lag = float(spread.km_per_yr.value), float(spread.lag_years.value)
    scale_km = rate * max(0.0, horizon_years - lag)
    return (
        f"weighted by exp(-km / {scale_km:g}), {scale_km:g} = {rate:g} km/yr x ({horizon_years:g} - {lag:g}) "
        "years"
    )
