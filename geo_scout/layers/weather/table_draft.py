"""One plain table while it is being read: the rows still in use, and why others were set aside."""

from dataclasses import dataclass, field

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from geo_scout.layers.noticed import Noticed
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import counted, listed


@dataclass
class TableRows(Noticed):
    """One table while it is being read.

    Parameters
    ----------
    table
        The layer's settings.
    frame
        ``row`` (number in the file, from 1) and every column of ``TABLE_LAYERS[name]`` as text, number or
        day; measured ones in degrees Celsius and millimetres under our own names.
    given
        Our names of the columns the file has.
    """

    table: LayerTable = field(kw_only=True)
    frame: pd.DataFrame = field(kw_only=True, default_factory=pd.DataFrame)
    given: frozenset[str] = field(kw_only=True, default=frozenset())

    def refuse_rows(self, rows: NDArray[np.bool_], code: str, why: str, fix: str, max_share: float) -> None:
        """Take rows out with one finding; a stop where they are more than a share of all."""
        if not rows.any():
            return
        share, numbers = rows.mean(), self.frame["row"].to_numpy()[rows]
        named = listed([f"row {number}" for number in numbers], at_most=5)
        what = f"{why}: {counted(int(rows.sum()), 'row')} of {len(rows):,} ({named})."
        if share > max_share:
            self.say(code, "stop", what, fix)
        else:
            self.say(code, "caution", f"Set aside: {what}", fix)
        self.frame = self.frame[~rows].reset_index(drop=True)
