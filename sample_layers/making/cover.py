"""How the surveyors wrote down how densely the ground was covered."""

from datetime import date

import numpy as np
from numpy.random import Generator

from making.names import WARDENS, Manager

# Upper edges of the cover classes [%]; the first class is number 1.
DAUBENMIRE_PCT = (5, 25, 50, 75, 95)
BRAUN_BLANQUET_PCT = (5, 25, 50, 75)


def choose_cover(random: Generator, manager: Manager, surveyed: date) -> tuple[str, str]:
    """Return cover as the surveyor wrote it, and the scheme's name; blank means percent."""
    cover_pct = float(np.clip(100 * (0.04 + 0.9 * random.random() ** 1.3), 1, 95))
    if random.random() < 0.02:
        return "", ""
    if manager is WARDENS or (surveyed.year < 2016 and random.random() < 0.55):
        return str(1 + int(np.searchsorted(DAUBENMIRE_PCT, cover_pct))), "daubenmire"
    if random.random() < 0.13:
        return str(1 + int(np.searchsorted(BRAUN_BLANQUET_PCT, cover_pct))), "braun-blanquet"
    if random.random() < 0.10:
        return f"{cover_pct / 100:.2f}", "share"
    rounded = round(cover_pct / 5) * 5 if cover_pct > 7 else max(round(cover_pct), 1)
    return str(rounded), "percent" if random.random() < 0.4 else ""
