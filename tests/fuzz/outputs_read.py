"""Outputs of a run read as another program would: every number one that can be true, no text that runs."""

import csv
import io
import json
import math
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

TABLES = ("release_sites", "sources")
# Text that hides or reorders other text, on a screen or in a table; lines may break.
UNSEEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
_FORMULA = re.compile(r"[=+@\t\r\n]|-(?![0-9.])")
_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?(?:e[+-]?[0-9]+)?")
# The least and most a column can hold on this Earth.
LIMITS: Mapping[str, tuple[float, float]] = {
    "longitude_deg": (-180.0, 180.0),
    "latitude_deg": (-90.0, 90.0),
    "score": (0.0, 1.0),
    "score_low": (0.0, 1.0),
    "score_high": (0.0, 1.0),
    "gross_ha": (0.0, 1e7),
    "infested_ha": (0.0, 1e7),
    "cover_pct": (0.0, 100.0),
    "cover_low_pct": (0.0, 100.0),
    "cover_high_pct": (0.0, 100.0),
    "host_area_ha": (0.0, 1e7),
    "host_cover_pct": (0.0, 100.0),
    "host_around_ha": (0.0, 1e8),
    "crew_distance_km": (0.0, 20_100.0),
    "population_distance_km": (0.0, 20_100.0),
    "nearest_population_km": (0.0, 20_100.0),
    "climate_gap": (0.0, 1e6),
    "climate_gap_distance": (0.0, 1e6),
    "best_source_climate_gap": (0.0, 1e6),
    "novelty": (-1e6, 100.0),
    "slope_deg": (0.0, 90.0),
    "aspect_deg": (0.0, 360.0),
    "aspect_strength": (0.0, 1.0),
    "heat_load": (0.0, 2.0),
    "relative_position_m": (-9_500.0, 9_500.0),
    "window_warm_shift_days": (-366.0, 366.0),
    "window_cool_shift_days": (-366.0, 366.0),
    "elevation_m": (-500.0, 9_000.0),
    "elevation_difference_m": (0.0, 9_500.0),
    "survey_age_years": (0.0, 127.0),
    "rank_low": (1.0, 1e6),
    "rank_high": (1.0, 1e6),
    "top_n_share": (0.0, 1.0),
    "eligible_share": (0.0, 1.0),
    "confidence_share": (0.0, 1.0),
    "beats_next_share": (0.0, 1.0),
}


def wrong_values(outputs: Path) -> list[str]:
    """Return what in the outputs cannot be true, hides, or would run in a spreadsheet."""
    wrong: list[str] = []
    for name in TABLES:
        text = (outputs / f"{name}.csv").read_bytes().decode("utf-8-sig")
        rows = list(csv.DictReader(io.StringIO(text, newline="")))
        wrong += [f"{name}.csv row {at}: {said}" for at, row in enumerate(rows, 1) for said in _wrong_in(row)]
        features = _strict(outputs / f"{name}.geojson")["features"]
        if len(features) != len(rows):
            wrong.append(f"{name} has {len(rows)} rows as CSV and {len(features)} as GeoJSON")
        wrong += [
            f"{name}.geojson has a coordinate {worst:g}"
            for worst in {_furthest(feature["geometry"]) for feature in features}
            if not worst <= 360.0
        ]
    for name in ("findings.csv", "call_list.csv", "calendar.csv", "scouting.csv"):
        text = (outputs / name).read_bytes().decode("utf-8-sig")
        cells = [cell for row in csv.reader(io.StringIO(text, newline="")) for cell in row]
        wrong += [f"{name}: {cell[:40]!r} would run" for cell in cells if _runs(cell)]
    _strict(outputs / "findings.json")
    _strict(outputs / "manifest.json")
    return wrong[:20]


def _wrong_in(row: Mapping[str, str]) -> Iterator[str]:
    for name, cell in row.items():
        if _runs(cell):
            yield f"{name} {cell[:40]!r} would run"
        if cell.casefold() in {"nan", "inf", "-inf", "nat", "none", "<na>"} and name not in _FREE_TEXT:
            yield f"{name} is {cell!r}"
        if name not in LIMITS or not cell:
            continue
        least, most = LIMITS[name]
        if not _NUMBER.fullmatch(cell) or not least <= float(cell) <= most:
            yield f"{name} is {cell!r}; it can be {least:g} to {most:g}"
    low, middle, high = (row.get(name, "") for name in ("cover_low_pct", "cover_pct", "cover_high_pct"))
    if low and middle and high and not float(low) <= float(middle) <= float(high):
        yield f"cover {middle} is not in {low} to {high}"
    if row["infested_ha"] and row["gross_ha"] and float(row["infested_ha"]) > float(row["gross_ha"]) + 1e-4:
        yield f"infested {row['infested_ha']} ha of {row['gross_ha']} ha"


# Names the user gave; "None" may well be one.
_FREE_TEXT = frozenset(
    {
        "site_id", "name", "manager", "parcel", "district", "jurisdiction", "member_ids", "release_ids",
        "unvisited_release_ids", "request_ids", "population_name", "land_classes", "crew", "agent",
        "climate_gap_population", "predecessors",
    }
)  # fmt: skip


def _runs(cell: str) -> bool:
    return bool(_FORMULA.match(cell))


def _strict(path: Path) -> Any:
    """Read JSON as other programs do: they know no nan."""

    def refuse(constant: str) -> None:
        message = f"{path.name} holds {constant}"
        raise ValueError(message)

    return json.loads(path.read_text(encoding="utf-8"), parse_constant=refuse)


def _furthest(geometry: Any) -> float:
    """Return the largest coordinate in degrees; inf where one is missing."""
    numbers = [abs(one) for one in _numbers((geometry or {}).get("coordinates", []))]
    return max(numbers, default=math.inf)


def _numbers(nested: Any) -> Iterator[float]:
    if isinstance(nested, int | float):
        yield float(nested)
    else:
        for one in nested:
            yield from _numbers(one)
