"""Features far from everything else, and layers of another part of the world."""

import numpy as np
import shapely
from pyproj import Transformer

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.neighbourhood import Neighbourhood, neighbourhood_of
from geo_scout.layers.crosschecks.remarks import remark_first
from geo_scout.layers.drafts import LayerDraft, Why, geometries
from geo_scout.layers.places.reference_systems import WGS84

RECORDS = ("infestations", "surveyed_areas", "releases", "visits", "requests", "treatments")
AROUND = ("land_classes", "boundaries", "roads")
FAR = Why("position-far", "", "Correct the position; if it is right, nothing needs doing.", is_bad=False)


def check_far(read: LayersRead) -> None:
    """Caution on records far from the infestations, and on layers that come nowhere near them."""
    infestations = read.usable("infestations")
    if infestations is None:
        return
    around = neighbourhood_of(infestations)
    for name in RECORDS:
        if (draft := read.usable(name)) is not None:
            _say_far(draft, around)
    for name in AROUND:
        if (draft := read.usable(name)) is not None:
            _say_elsewhere(draft, around)


def _say_far(draft: LayerDraft, around: Neighbourhood) -> None:
    rows, _, _, distance_km = around.far_rows(draft)
    sentences = [
        f"it lies {far:,.0f} km from the middle of the infestations; more than {around.reach_km:,.0f} km "
        "is far (three times the distance within which nine of ten lie, at least 100 km)."
        for far in distance_km
    ]
    remark_first(draft, rows, FAR, sentences)


def _say_elsewhere(draft: LayerDraft, around: Neighbourhood) -> None:
    """Look for the nearest place on the working plane, and measure to it on the Earth."""
    assert draft.crs is not None
    shapes = geometries(draft.frame)
    to_plane = Transformer.from_crs(WGS84, draft.crs, always_xy=True)
    middle = shapely.Point(to_plane.transform(around.longitude_deg, around.latitude_deg))
    nearest = shapely.shortest_line(shapes[np.argmin(shapely.distance(shapes, middle))], middle).coords[0]
    there = to_plane.transform(nearest[0], nearest[1], direction="INVERSE")
    nearest_km = float(around.distance_km(np.array([there[0]]), np.array([there[1]]))[0])
    if nearest_km > around.reach_km:
        what = f"the whole layer lies {nearest_km:,.0f} km or more from the middle of the infestations."
        fix = "Check that it is the right file, and its coordinate reference system."
        draft.say("layer-elsewhere", "caution", what, fix)
