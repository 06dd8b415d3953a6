"""The same id twice, and records that look entered twice, where the layer's own rules do not say so."""

import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.drafts import ID_COLUMNS, LayerDraft, geometries
from geo_scout.layers.kinds.duplicates import say_repeated_ids
from geo_scout.layers.wording import counted, listed
from geo_scout.model.columns import VECTOR_LAYERS

_ALIKE_AT_MOST = 5
_IDS = ("surveyed_areas", "treatments")
_RECORDS = ("surveyed_areas", "releases", "visits", "requests", "treatments")


def check_repeated(read: LayersRead) -> None:
    """Caution on ids that two features share, and on records alike in place and in every value."""
    for name in _IDS:
        if (draft := read.usable(name)) is not None:
            say_repeated_ids(draft)
    for name in _RECORDS:
        if (draft := read.usable(name)) is not None:
            _say_alike(draft)


def alike_groups(draft: LayerDraft) -> NDArray[np.int64]:
    """Return a number for each record, the same for those alike in place and in every value but the id."""
    own_id = ID_COLUMNS[draft.name]
    compared = [column.name for column in VECTOR_LAYERS[draft.name].columns if column.name != own_id]
    contents = pd.DataFrame(draft.frame[compared]).assign(shape=shapely.to_wkb(geometries(draft.frame)))
    return np.asarray(contents.groupby([*compared, "shape"], sort=False, dropna=False).ngroup().to_numpy())


def _say_alike(draft: LayerDraft) -> None:
    group = alike_groups(draft)
    is_alike = np.bincount(group)[group] > 1
    if not is_alike.any():
        return
    sets: dict[int, list[str]] = {}
    for label, one in zip(draft.labels(is_alike), group[is_alike].tolist(), strict=True):
        sets.setdefault(one, []).append(label)
    named = listed([" = ".join(labels) for labels in sets.values()], _ALIKE_AT_MOST)
    what = (
        f"{counted(len(sets), 'record')} {'is' if len(sets) == 1 else 'are'} in the file more than once, "
        f"alike in place and in every value but the id: {named}."
    )
    fix = "Take one of them out if it was entered twice; each counts as a record of its own until then."
    draft.say("record-repeated", "caution", what, fix)
