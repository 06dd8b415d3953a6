"""Signs that stand for a value nobody measured are taken out, and said."""

import numpy as np
from numpy.typing import NDArray

from geo_scout.layers.cells.missing_signs import is_missing_sign
from geo_scout.layers.cells.text_values import as_texts
from geo_scout.layers.weather.table_draft import TableRows
from geo_scout.model.listed import counted, listed


def without_missing_signs(rows: TableRows, column: str, written: NDArray[np.generic]) -> NDArray[np.generic]:
    """Return the cells of a measured column as text, empty where they hold a sign for missing, and say so.

    Cells without any sign come back as they are.
    """
    texts = as_texts(written)
    different = {str(text) for text in set(texts)}
    signs = {one for one in different if is_missing_sign(one)}
    if not signs:
        return written
    found = np.isin(texts.astype(str), sorted(signs))
    seen = listed([f"'{sign}'" for sign in sorted(signs)], at_most=3)
    what = f"{column} is {seen} in {counted(int(found.sum()), 'row')}: taken as missing."
    rows.say("missing-sign", "note", what, "Leave a cell empty where nothing was measured.")
    return np.where(found, "", texts)
