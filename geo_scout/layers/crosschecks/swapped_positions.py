"""Longitude and latitude swapped where both are possible: only the swapped place is near the season."""

import numpy as np
from numpy.typing import NDArray

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.neighbourhood import Neighbourhood, neighbourhood_of
from geo_scout.layers.drafts import LayerDraft, Why
from geo_scout.model.season import Season

SWAPPED = Why(
    "position-swapped",
    "longitude and latitude swapped",
    "Exchange the two; longitude comes first, or each column gets its own in `columns`.",
)
# Our choice: no crew works further from its base.
_BASE_REACH_KM = 500.0


def check_swapped(read: LayersRead) -> None:
    """Set aside features whose place makes sense only swapped; stop a layer that has many."""
    infestations = read.usable("infestations")
    if infestations is None:
        return
    _check_all_of(infestations, read)
    if infestations.is_stopped:
        return
    around = neighbourhood_of(infestations)
    for name in read.drafts:
        if (draft := read.usable(name)) is not None:
            _check_rows(draft, around)


def bases_of(season: Season) -> list[Neighbourhood]:
    """Return a circle around each crew base, as far as a crew may work from it."""
    return [
        Neighbourhood(crew.base_longitude_deg, crew.base_latitude_deg, _BASE_REACH_KM)
        for crew in season.settings.crews
    ]


def _check_all_of(infestations: LayerDraft, read: LayersRead) -> None:
    """Stop infestations that lie far from every crew base and would lie near one when swapped."""
    there = neighbourhood_of(infestations)
    if abs(there.longitude_deg) > 90.0:
        return
    bases = bases_of(read.season)
    here = np.array([there.longitude_deg]), np.array([there.latitude_deg])
    as_written_km = min(float(base.distance_km(*here)[0]) for base in bases)
    swapped_km = min(float(base.distance_km(here[1], here[0])[0]) for base in bases)
    if as_written_km > _BASE_REACH_KM >= swapped_km:
        what = (
            f"the infestations lie around longitude {there.longitude_deg:.2f} deg, latitude "
            f"{there.latitude_deg:.2f} deg, {as_written_km:,.0f} km from the nearest crew base; with the two "
            f"swapped it would be {swapped_km:,.0f} km."
        )
        infestations.say(SWAPPED.code, "stop", what, SWAPPED.fix)


def _check_rows(draft: LayerDraft, around: Neighbourhood) -> None:
    rows, longitude_deg, latitude_deg, distance_km = around.far_rows(draft)
    is_swapped = np.abs(longitude_deg) <= 90.0
    is_swapped[is_swapped] = (
        around.distance_km(latitude_deg[is_swapped], longitude_deg[is_swapped]) <= around.reach_km
    )
    rows[rows] = is_swapped
    if not rows.any():
        return
    limit = draft.season.rules.max_bad_share
    if not draft.bears(int(rows.sum()), len(rows)):
        it_lies = "it lies" if rows.sum() == 1 else "they lie"
        what = (
            f"longitude and latitude look swapped in {draft.told(rows, 'feature')}: {it_lies} far from the "
            f"infestations and would lie among them with the two exchanged; the limit is {100 * limit:g} "
            "percent (rules.max_bad_share)."
        )
        draft.say(SWAPPED.code, "stop", what, SWAPPED.fix)
        return
    told = (one[is_swapped] for one in (longitude_deg, latitude_deg, distance_km))
    draft.set_aside(rows, SWAPPED, _sentences(*told))


def _sentences(
    longitude_deg: NDArray[np.float64], latitude_deg: NDArray[np.float64], distance_km: NDArray[np.float64]
) -> list[str]:
    return [
        f"longitude {east:.5f} deg, latitude {north:.5f} deg is {far:,.0f} km from the middle of the "
        "infestations; with the two swapped it lies among them."
        for east, north, far in zip(longitude_deg, latitude_deg, distance_km, strict=True)
    ]
