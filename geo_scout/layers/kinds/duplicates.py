"""Features that are in the file twice."""

from collections.abc import Sequence

import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from geo_scout.layers.drafts import ID_COLUMNS, LayerDraft, Rows, Why, geometries
from geo_scout.model.columns import VECTOR_LAYERS
from geo_scout.model.listed import listed

_ROWS_AT_MOST = 5
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
    """Caution where features that differ carry the same id; those alike in all else are told elsewhere."""
    ids = pd.Series(draft.texts(ID_COLUMNS[draft.name]))
    is_repeated = ((ids != "") & ids.duplicated(keep=False)).to_numpy(dtype=bool)
    if not is_repeated.any():
        return
    group = pd.Series(alike_groups(draft))
    differ = is_repeated & (group.groupby(ids).transform("nunique") > 1).to_numpy()
    rows = pd.Series(draft.frame["row"].to_numpy())[differ]
    told = [
        f"{own} ({rows_told(rows_of_one.tolist())})"
        for own, rows_of_one in rows.groupby(ids[differ], sort=False)
    ]
    if told:
        what = f"features that differ carry the same {ID_COLUMNS[draft.name]}: {listed(told, 5)}."
        draft.say("id-repeated", "caution", what, "Give every feature an id of its own.")


def alike_groups(draft: LayerDraft) -> NDArray[np.int64]:
    """Return a number for each record, the same for those alike in place and in every value but the id."""
    own_id = ID_COLUMNS[draft.name]
    compared = [column.name for column in VECTOR_LAYERS[draft.name].columns if column.name != own_id]
    contents = pd.DataFrame(draft.frame[compared]).assign(shape=shapely.to_wkb(geometries(draft.frame)))
    return np.asarray(contents.groupby([*compared, "shape"], sort=False, dropna=False).ngroup().to_numpy())


def rows_told(rows: Sequence[int]) -> str:
    """Return row numbers for a sentence.

    Examples
    --------
    >>> rows_told([2, 5]), rows_told([1, 2, 3, 4, 5, 6])
    ('rows 2 and 5', 'rows 1, 2, 3, 4, 5 and 1 more')
    """
    numbers = [str(row) for row in rows]
    if len(numbers) <= _ROWS_AT_MOST:
        return f"rows {', '.join(numbers[:-1])} and {numbers[-1]}"
    return f"rows {listed(numbers, _ROWS_AT_MOST)}"


def _with_equal_bounds(draft: LayerDraft) -> Rows:
    """Return the features that share their bounds with another: only those can have the same shape."""
    bounds = shapely.bounds(geometries(draft.frame)).reshape(-1, 4)
    corner = pd.Series(bounds[:, 0] + 1j * bounds[:, 1])
    return np.asarray(corner.duplicated(keep=False), dtype=bool)
