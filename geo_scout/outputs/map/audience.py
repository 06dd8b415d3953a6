"""What each audience may read on the map. What is not listed here does not enter the file."""

import re
from collections.abc import Mapping

import pandas as pd

from geo_scout.model.result import Audience, SeasonResult
from geo_scout.model.supply import SUPPLY_COLUMNS
from geo_scout.outputs.map.cells import Cell, Columns, column
from geo_scout.outputs.tables import PRIVATE_CODES, WITHHELD
from geo_scout.outputs.window_columns import WINDOW_COLUMNS

NOTES: Mapping[Audience, str] = {
    "crew": "Crew copy. It names land managers and people who asked for agents: keep it in the crew.",
    "board": "Board copy. Land managers are named; ways to reach people are left out.",
    "public": "Public copy. Who manages or owns land, access, requests, treatments, land classes and crew "
    "bases are left out.",
}

OPEN_COLUMNS = (
    "rank",
    "site_id",
    "name",
    "purpose",
    "status",
    "score",
    "score_low",
    "score_high",
    "rank_low",
    "rank_high",
    "top_n_share",
    "eligible_share",
    "longitude_deg",
    "latitude_deg",
    "district",
    "utm_zone",
    "easting_m",
    "northing_m",
    "gross_ha",
    "infested_ha",
    "cover_pct",
    "survey_date",
)
CLIMATE_COLUMNS = (
    "climate_gap",
    "climate_gap_populations",
    "best_source_site_id",
    "best_source_climate_gap",
    "novelty",
    "climate_tmin_correction_degc",
    "climate_tmax_correction_degc",
)
GROUND_COLUMNS = (
    "elevation_m",
    "slope_deg",
    "aspect_deg",
    "aspect_strength",
    "heat_load",
    "relative_position_m",
)
SUPPLY_FACTS = tuple(
    name for name in SUPPLY_COLUMNS if name not in {"site_id", "catch_age_years", "supply_note"}
)
"""What a source could yield; release sites have none of them."""

SHARED_COLUMNS = (
    "supply_note",
    "climate_gap_kind",
    "climate_gap_driver",
    "best_source_note",
    "novelty_note",
    "climate_note",
    "window_kind",
    "window_basis",
    "window_note",
)
"""Texts that many sites share, so that each is written once."""

TOLD_COLUMNS = ("reasons", "what_would_change_it", "cautions", "why_here")
PRIVATE_COLUMNS = ("manager", "permission")

_PRIVATE_TEXTS = {
    "infestations": ("manager",),
    "requests": ("owner", "contact"),
    "releases": ("permit",),
    "visits": ("observer",),
}
_SHORTEST_PRIVATE_TEXT = 4


def site_columns(audience: Audience) -> tuple[str, ...]:
    """Return the table columns the map may carry besides the criteria."""
    private = () if audience == "public" else PRIVATE_COLUMNS
    facts = CLIMATE_COLUMNS + GROUND_COLUMNS + SUPPLY_FACTS + WINDOW_COLUMNS
    return OPEN_COLUMNS + facts + TOLD_COLUMNS + private


def withhold(rows: pd.DataFrame, columns: Columns, private: frozenset[str]) -> Columns:
    """Return the columns fit for a public copy.

    The tables of a public copy are cleaned before they come here. This is the second lock: a sentence that
    repeats a private text, or stands for a private reason, is replaced.

    Parameters
    ----------
    rows
        The table's rows, for their ``exclusion_codes``.
    columns
        Their columns as the map would carry them.
    private
        Texts that must not appear (`private_texts`).
    """
    names = _any_of(private)
    is_private = [
        any(code in str(codes or "").split("; ") for code in PRIVATE_CODES)
        for codes in column(rows["exclusion_codes"])
    ]
    fit = dict(columns)
    for name in TOLD_COLUMNS:
        if name not in columns:
            continue
        is_reason = name not in ("cautions", "why_here")
        fit[name] = [
            WITHHELD if hidden and is_reason else ("" if names.search(str(told)) else told)
            for told, hidden in zip(columns[name], is_private, strict=True)
        ]
    return fit


def withhold_texts(texts: list[Cell], private: frozenset[str]) -> list[Cell]:
    """Return texts fit for a public copy: one that repeats a private text is left blank."""
    names = _any_of(private)
    return ["" if names.search(str(text)) else text for text in texts]


def _any_of(private: frozenset[str]) -> re.Pattern[str]:
    return re.compile("|".join(map(re.escape, sorted(private)))) if private else re.compile(r"(?!)")


def private_texts(result: SeasonResult) -> frozenset[str]:
    """Return every name, contact and permit of the layers that a public copy must not repeat."""
    texts: set[str] = set()
    for layer, names in _PRIVATE_TEXTS.items():
        frame = result.layers.vectors.get(layer)
        if frame is not None:
            texts.update(str(text).strip() for name in names if name in frame for text in frame[name])
    for sites in result.sites.values():
        texts.update(str(text).strip() for text in sites.patches["manager"])
    return frozenset(text for text in texts if len(text) >= _SHORTEST_PRIVATE_TEXT)
