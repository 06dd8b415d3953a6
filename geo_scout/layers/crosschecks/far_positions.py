"""Features far from everything else, and layers of another part of the world."""

from collections.abc import Sequence

import numpy as np
import shapely

from geo_scout.formulas.transformers import transformer_between
from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.neighbourhood import Neighbourhood, neighbourhood_of
from geo_scout.layers.crosschecks.remarks import remark_first
from geo_scout.layers.crosschecks.swapped_positions import bases_of
from geo_scout.layers.drafts import LayerDraft, Why, geometries
from geo_scout.layers.places.reference_systems import WGS84

RECORDS = ("infestations", "surveyed_areas", "releases", "visits", "requests", "treatments")
AROUND = ("land_classes", "boundaries", "roads", "water", "places")
FAR = Why("position-far", "", "Correct the position; if it is right, nothing needs doing.", is_bad=False)
_NOUGHT_DEG = 0.01


def check_far(read: LayersRead) -> None:
    """Caution on records far from the infestations, layers nowhere near them, and all far from the crews."""
    infestations = read.usable("infestations")
    if infestations is None:
        return
    around = neighbourhood_of(infestations)
    _say_far_from_bases(infestations, around)
    for name in RECORDS:
        if (draft := read.usable(name)) is not None:
            _say_far(draft, around)
    for name in AROUND:
        if (draft := read.usable(name)) is not None:
            _say_elsewhere(draft, around)


def _say_far(draft: LayerDraft, around: Neighbourhood) -> None:
    rows, *places, distance_km = around.far_rows(draft)
    clues = [_clue(float(east), float(north), around) for east, north in zip(*places, strict=True)]
    sentences = [
        f"it lies {far:,.0f} km from the middle of the infestations{clue}; more than {around.reach_km:,.0f} "
        "km is far (three times the distance within which nine of ten lie, at least 100 km)."
        for far, clue in zip(distance_km, clues, strict=True)
    ]
    remark_first(draft, rows, FAR, sentences)


def _say_far_from_bases(infestations: LayerDraft, around: Neighbourhood) -> None:
    """Caution where the infestations as a whole lie where no crew of the season works."""
    bases = bases_of(infestations.season)
    here = np.array([around.longitude_deg]), np.array([around.latitude_deg])
    nearest_km = min(float(base.distance_km(*here)[0]) for base in bases)
    if nearest_km <= bases[0].reach_km:
        _say_far_bases(infestations, around, bases)
        return
    clues = [_clue(around.longitude_deg, around.latitude_deg, base) for base in bases]
    clue = max(clues, key=len).replace("among them", "near it")
    what = (
        f"the infestations lie around longitude {around.longitude_deg:.2f} deg, latitude "
        f"{around.latitude_deg:.2f} deg, {nearest_km:,.0f} km from the nearest crew base{clue}."
    )
    fix = "Check the signs of their coordinates, their coordinate reference system, and the [[crews]]."
    infestations.say("bases-far", "caution", what, fix)


def _say_far_bases(infestations: LayerDraft, around: Neighbourhood, bases: Sequence[Neighbourhood]) -> None:
    """Caution on each crew base that lies far away while another is near."""
    for crew, base in zip(infestations.season.settings.crews, bases, strict=True):
        place = base.longitude_deg, base.latitude_deg
        distance_km = float(around.distance_km(np.array([place[0]]), np.array([place[1]]))[0])
        if distance_km > max(base.reach_km, around.reach_km):
            what = (
                f"the base of crew '{crew.name}' lies {distance_km:,.0f} km from the middle of the "
                f"infestations{_clue(*place, around)}."
            )
            infestations.say("base-far", "caution", what, "Check the place of that base under [[crews]].")


def _clue(longitude_deg: float, latitude_deg: float, around: Neighbourhood) -> str:
    """Return what may have happened to a position far from where it should be; empty if nobody knows."""
    if abs(longitude_deg) < _NOUGHT_DEG and abs(latitude_deg) < _NOUGHT_DEG:
        return ", at longitude 0, latitude 0, where blank positions end up"
    for name, east, north in (
        ("longitude", -longitude_deg, latitude_deg),
        ("latitude", longitude_deg, -latitude_deg),
    ):
        if around.distance_km(np.array([east]), np.array([north]))[0] <= around.reach_km:
            return f", and would lie among them with the other sign of the {name}"
    return ""


def _say_elsewhere(draft: LayerDraft, around: Neighbourhood) -> None:
    """Look for the nearest place on the working plane, and measure to it on the Earth."""
    assert draft.crs is not None
    shapes = geometries(draft.frame)
    to_plane = transformer_between(WGS84, draft.crs)
    middle = shapely.Point(to_plane.transform(around.longitude_deg, around.latitude_deg))
    nearest = shapely.shortest_line(shapes[np.argmin(shapely.distance(shapes, middle))], middle).coords[0]
    there = to_plane.transform(nearest[0], nearest[1], direction="INVERSE")
    nearest_km = float(around.distance_km(np.array([there[0]]), np.array([there[1]]))[0])
    if nearest_km > around.reach_km:
        what = f"the whole layer lies {nearest_km:,.0f} km or more from the middle of the infestations."
        fix = "Check that it is the right file, and its coordinate reference system."
        draft.say("layer-elsewhere", "caution", what, fix)
