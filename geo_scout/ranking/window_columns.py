"""Windows as columns of a ranking."""

import pandas as pd

from geo_scout.model.site_windows import SiteWindows
from geo_scout.model.window import MOMENTS


def window_columns(windows: SiteWindows) -> pd.DataFrame:
    """Return the ``window_`` columns, one row per site."""
    columns: dict[str, object] = {"window_kind": windows.kind}
    for row, moment in enumerate(MOMENTS):
        columns[f"window_{moment}"] = pd.to_datetime(windows.dates[row].astype("datetime64[s]"))
    columns["window_opens_early"] = pd.to_datetime(windows.opens_early.astype("datetime64[s]"))
    columns["window_opens_late"] = pd.to_datetime(windows.opens_late.astype("datetime64[s]"))
    columns["window_cool_shift_days"] = windows.cool_shift_days
    columns["window_warm_shift_days"] = windows.warm_shift_days
    columns["window_basis"] = windows.basis
    columns["window_note"] = windows.note
    return pd.DataFrame(columns)
