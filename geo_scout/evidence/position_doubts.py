"""How unsure the position is of the population that each patch's distance is measured to."""

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.evidence.places import place_of_visits, stated_uncertainty_m
from geo_scout.model.evidence import Evidence


def population_uncertainty_m(evidence: Evidence) -> NDArray[np.float64]:
    """Return how far the nearest population may be from where it is written down.

    Parameters
    ----------
    evidence
        The records of one agent.

    Returns
    -------
    numpy.ndarray
        (n,) by patch; the largest uncertainty of the finds of a population outside every patch, and 0 where
        the nearest is a patch, whose edge is mapped, or there is none [m].
    """
    nearest, populations = evidence.sites["population_id"], evidence.populations
    outside = populations.loc[populations["site_id"] == "", "population_id"]
    if not nearest.isin(outside).any():
        return np.zeros(len(nearest))
    finds = evidence.visits[evidence.visits["confirms"].astype(bool)]
    unsure = pd.Series(stated_uncertainty_m(finds), index=place_of_visits(finds)).groupby(level=0).max()
    of_outside = unsure.reindex(outside)
    return np.asarray(nearest.map(of_outside).fillna(0.0), dtype=np.float64)
