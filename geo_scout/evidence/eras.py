"""Before and after a loss: what was recorded before it says nothing of what lives there now."""

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.evidence.losses import Losses
from geo_scout.evidence.places import Places


def count_losses(
    place_id: NDArray[np.object_], day: NDArray[np.datetime64], places: Places, losses: Losses
) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Return the era of each record, and whether it is the one its place is in.

    Parameters
    ----------
    place_id
        (n,) place of each record.
    day
        (n,) its day.
    places, losses
        The places, and what ended populations there.

    Returns
    -------
    era : numpy.ndarray
        (n,) losses of the place up to and including the day: a record of that day comes after the loss.
    is_current : numpy.ndarray
        (n,) whether the place had no loss since.
    """
    ended = pd.DataFrame({"place": losses.place, "day": losses.day.astype("datetime64[s]")})
    ended = ended.sort_values(["day", "place"], kind="stable")
    ended = ended.assign(era=ended.groupby("place").cumcount() + 1)
    number = pd.Index(places.place_id).get_indexer(pd.Index(place_id)).astype(np.intp)
    records = pd.DataFrame(
        {"place": number, "day": day.astype("datetime64[s]"), "row": np.arange(len(number))}
    ).sort_values("day", kind="stable")
    matched = pd.merge_asof(records, ended, on="day", by="place").sort_values("row")
    era = matched["era"].fillna(0).to_numpy(dtype=np.int64)
    total = ended.groupby("place").size().reindex(number, fill_value=0).to_numpy(dtype=np.int64)
    return era, np.asarray(era == total, dtype=np.bool_)
