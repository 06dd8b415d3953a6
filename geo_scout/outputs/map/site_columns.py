"""What the page is told of each site of a ranking: a value per site, or each text once."""

import pandas as pd

from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.map.audience import (
    SHARED_COLUMNS,
    private_texts,
    site_columns,
    withhold,
    withhold_texts,
)
from geo_scout.outputs.map.cells import Columns, columns_of, each_text_once

DETAILED_SITES = 2000
"""Sites of each ranking that have everything on their card in a large season; the tables have all of them."""

OF_EVERY_PATCH = ("longitude_deg", "latitude_deg", "infested_ha", "cover_pct")
TEXTS_OF_EVERY_PATCH = ("name", "district", "manager", "permission")
"""What is the same in every ranking, so that a large season says it once for each patch."""

TEXTS_OF_EVERY_SITE = (
    "status",
    "purpose",
    "reasons",
    "window_scout",
    "window_opens",
    "window_peaks",
    "window_closes",
)
LEFT_TO_THE_PAGE = ("rank", "site_id", "score", "score_low", "score_high")

Shared = dict[str, dict[str, object]]


def site_columns_of(
    result: SeasonResult, rows: pd.DataFrame, audience: Audience, *, is_large: bool
) -> tuple[dict[str, object], Shared]:
    """Return the columns with a value per site, and those of texts that many sites share.

    Parameters
    ----------
    result
        The season's result.
    rows
        The ranking's printed rows, the ranked ones first.
    audience
        Who will read the map.
    is_large
        Whether only the first `DETAILED_SITES` have every column. The columns of a value per site are then
        shorter than the others, and ranks and scores are left for the page to work out.
    """
    private = private_texts(result) if audience == "public" else frozenset()
    names = site_columns(audience)
    told = rows.head(DETAILED_SITES) if is_large else rows
    shared: Shared = {name: written_once(told[name], private) for name in SHARED_COLUMNS if name in rows}
    if not is_large:
        return dict(_open_columns(rows, names, audience, private)), shared
    texts = _open_columns(rows, tuple(n for n in names if n in TEXTS_OF_EVERY_SITE), audience, private)
    shared |= _each_once(texts)
    done = {*OF_EVERY_PATCH, *TEXTS_OF_EVERY_PATCH, *TEXTS_OF_EVERY_SITE, *LEFT_TO_THE_PAGE}
    details = _open_columns(told, tuple(n for n in names if n not in done), audience, private)
    return dict(details), shared


def patch_columns_of(rows: pd.DataFrame, site_ids: pd.Series, audience: Audience) -> dict[str, object]:
    """Return what a large season says of each patch once, in the order of the patches.

    Parameters
    ----------
    rows
        Printed rows of any ranking of these patches.
    site_ids
        The patches.
    audience
        Who will read the map.
    """
    of_patch = rows.set_index("site_id").loc[site_ids]
    names = site_columns(audience)
    columns = columns_of(of_patch, [name for name in OF_EVERY_PATCH if name in names])
    texts = columns_of(of_patch, [name for name in TEXTS_OF_EVERY_PATCH if name in names])
    return {"columns": columns, "shared": _each_once(texts)}


def _each_once(columns: Columns) -> Shared:
    once = {name: each_text_once(column) for name, column in columns.items()}
    return {name: {"texts": different, "row": row} for name, (different, row) in once.items()}


def written_once(texts: pd.Series, private: frozenset[str]) -> dict[str, object]:
    """Return each different text once, fit for the audience, and the number of each row's text.

    Parameters
    ----------
    texts
        A column of texts.
    private
        Texts that must not appear.
    """
    different, row = each_text_once(texts)
    return {"texts": withhold_texts(different, private), "row": row}


def _open_columns(
    rows: pd.DataFrame, names: tuple[str, ...], audience: Audience, private: frozenset[str]
) -> Columns:
    columns = columns_of(rows, names)
    return withhold(rows, columns, private) if audience == "public" else columns
