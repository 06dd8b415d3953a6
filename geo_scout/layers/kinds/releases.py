"""Rules of the releases layer."""

import numpy as np
import pandas as pd

from geo_scout.layers.cells.agent_names import match_agents
from geo_scout.layers.cells.words import fold_purpose
from geo_scout.layers.drafts import LayerDraft, Why
from geo_scout.layers.kinds.impossible_numbers import drop_impossible_numbers, say_vague_positions
from geo_scout.layers.kinds.known_then import set_aside_future
from geo_scout.model.folded import folded

REPEATED_ID = Why("release-repeated", "", "Give each release an id of its own.", is_bad=False)


def check_releases(draft: LayerDraft) -> None:
    """Match the agents, fold the purpose, and keep one release for each id."""
    match_agents(draft)
    set_aside_future(draft, "date")
    fold_purpose(draft)
    drop_zero_uncertainty(draft)
    drop_impossible_numbers(draft)
    say_vague_positions(draft)
    ids = pd.Series([folded(text) for text in draft.texts("release_id")], dtype=object)
    repeats = ids.duplicated(keep="first").to_numpy(dtype=bool)
    rows = pd.Series(draft.frame["row"].to_numpy())
    first = rows.groupby(ids).transform("first")
    what = [
        f"row {row} repeats the release_id of row {at}."
        for row, at in zip(rows[repeats], first[repeats], strict=True)
    ]
    draft.set_aside(repeats, REPEATED_ID, what)


def drop_zero_uncertainty(draft: LayerDraft) -> None:
    """Take an uncertainty of 0 m or less as missing: Darwin Core calls 0 invalid.

    References
    ----------
    Darwin Core Maintenance Group, TDWG. Term coordinateUncertaintyInMeters.
    """
    uncertainty_m = draft.frame["coordinate_uncertainty_m"].to_numpy()
    impossible = uncertainty_m <= 0.0
    if impossible.any():
        draft.frame["coordinate_uncertainty_m"] = np.where(impossible, np.nan, uncertainty_m)
        rows = draft.told(impossible, "row")
        what = f"coordinate_uncertainty_m is 0 m or less in {rows} and was taken as missing."
        draft.say(
            "uncertainty-impossible",
            "caution",
            what,
            "No position is without error: leave it blank, or write 30 for an ordinary receiver.",
        )
