"""Features that are in the file twice."""

import numpy as np
import pandas as pd
import shapely

from geo_scout.layers.drafts import ID_COLUMNS, LayerDraft, Rows, Why, geometries
from geo_scout.layers.wording import listed
from geo_scout.model.columns import VECTOR_LAYERS

REPEATED = Why("duplicate", "", "Take one of the two out of the file.", "note", is_bad=False)


def set_aside_duplicates(draft: LayerDraft) -> None:
    """Set aside all but the first of features that agree in shape and in every value but the id."""
    alike = _with_equal_bounds(draft)
    if not alike.any():
        return
    own_id = ID_COLUMNS.get(draft.name, "")
    compared = [column.name for column in VECTOR_LAYERS[draft.name].columns if column.name != own_id]
    shapes = shapely.to_wkb(geometries(draft.frame)[alike])
    contents = pd.DataFrame(draft.frame.loc[alike, compared]).assign(shape=shapes)
    is_repeat = contents.duplicated(keep="first").to_numpy()
    if not is_repeat.any():
        return
    group = contents.groupby([*compared, "shape"], sort=False, dropna=False).ngroup().to_numpy()
    _, first = np.unique(group, return_index=True)
    rows = draft.frame["row"].to_numpy()[alike]
    what = [
        f"it is the same as row {rows[first[at]]}, in shape and in every value." for at in group[is_repeat]
    ]
    repeats = np.zeros(len(alike), dtype=bool)
    repeats[alike] = is_repeat
    draft.set_aside(repeats, REPEATED, what)


def say_repeated_ids(draft: LayerDraft) -> None:
    """Caution where features that differ carry the same id."""
    ids = pd.Series(draft.texts(ID_COLUMNS[draft.name]))
    repeated = list(dict.fromkeys(ids[(ids != "") & ids.duplicated(keep=False)]))
    if repeated:
        what = f"features that differ carry the same {ID_COLUMNS[draft.name]}: {listed(repeated, 5)}."
        draft.say("id-repeated", "caution", what, "Give every feature an id of its own.")


def _with_equal_bounds(draft: LayerDraft) -> Rows:
    """Return the features that share their bounds with another: only those can have the same shape."""
    bounds = shapely.bounds(geometries(draft.frame)).reshape(-1, 4)
    corner = pd.Series(bounds[:, 0] + 1j * bounds[:, 1])
    return np.asarray(corner.duplicated(keep=False), dtype=bool)
