"""What is not known exactly of the sites of one ranking, as ranges that draws are made from."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]
LAPSE_ERROR_DEGC_PER_KM = 1.0
"""How far a lapse rate may be off either way, as `LapseRateRule` works out for a fitted one.

Default rates are taken to be no better and no worse: our choice [degC/km].
"""
COVER_SHARED_SHARE = 0.5
"""Share of the variance of a cover class's error that all patches of its scheme have in common. Our choice:

whoever reads covers high reads them high everywhere, and each patch is also misjudged by itself.
"""
CHANGE_CODES = frozenset({"too-small", "agent-inferred", "climate-limit"})
"""Reasons that rest on a measured quantity, so that a draw decides about them again."""


@dataclass(frozen=True)
class AreaDoubt:
    """Infested area by the classes its cover was written in, and by the years since it was surveyed.

    Parameters
    ----------
    low_ha, best_ha, high_ha
        (n,) with the lowest, middle and highest cover of the classes; best is nan where cover is
        unknown [ha].
    gross_ha
        (n,) ground of the patch, which no infested area exceeds [ha].
    scheme
        (n,) scheme of the cover that leaves most unsure; sites of one scheme share part of the error.
    change_log
        (n,) logarithm of the factor by which the area may have grown or shrunk since its survey.
    least_ha
        Smaller infested areas are left out [ha].
    undated
        Patches without a survey date, which take the age of the oldest survey.
    """

    low_ha: FloatArray
    best_ha: FloatArray
    high_ha: FloatArray
    gross_ha: FloatArray
    scheme: NDArray[np.object_]
    change_log: FloatArray
    least_ha: float = 0.0
    undated: int = 0


@dataclass(frozen=True)
class PresenceDoubt:
    """Chance that the agent lives at each site already.

    Parameters
    ----------
    low_share, best_share, high_share
        (n,) as the records give it [share].
    most_share
        Sites with a larger chance are left out; None where the season sets no such limit [share].
    exempt
        (n,) sites that this limit does not concern.
    """

    low_share: FloatArray
    best_share: FloatArray
    high_share: FloatArray
    most_share: float | None
    exempt: BoolArray


@dataclass(frozen=True)
class ClimateBound:
    """One limit of the agent's climate.

    Parameters
    ----------
    value
        (n,) of its quantity; nan where it is not known, which leaves no site out [unit of the limit].
    least, most
        What the profile allows; None where it sets no such end [unit of the limit].
    is_lapsed
        Whether the quantity is a temperature that was brought to each site's elevation.
    """

    value: FloatArray
    least: float | None
    most: float | None
    is_lapsed: bool


@dataclass(frozen=True)
class ClimateDoubt:
    """Climate by the error of the lapse rates with which it was brought to each site's elevation.

    Parameters
    ----------
    rise_km
        (n,) how much higher the site lies than its climate cells; 0 where nothing was corrected [km].
    bounds
        Limits of the agent's climate.
    error_degc_per_km
        (e,) errors of the lapse rate, rising, at which the gap was measured again [degC/km].
    gap
        (n, e) climate gap at each of them; no column where no temperature was corrected.
    """

    rise_km: FloatArray
    bounds: tuple[ClimateBound, ...]
    error_degc_per_km: FloatArray
    gap: FloatArray


@dataclass(frozen=True)
class SiteDoubts:
    """What a draw may change at the sites of one agent in one role; arrays in the order of the patches.

    Parameters
    ----------
    agent
        Its name: the chances of one agent are drawn alike in both rankings.
    site_ids
        (n,) names.
    is_out
        (n,) whether something that no draw changes leaves the site out.
    area, presence, climate
        The ranges.
    held
        Reasons held as they are though they hang on the order, one sentence each.
    population_m
        (n,) how far the nearest confirmed population may be from where it is written down; None or 0 where
        its ground is mapped [m].
    """

    agent: str
    site_ids: tuple[str, ...]
    is_out: BoolArray
    area: AreaDoubt
    presence: PresenceDoubt
    climate: ClimateDoubt
    held: tuple[str, ...] = ()
    population_m: FloatArray | None = None
