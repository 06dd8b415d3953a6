"""Everything the weeds, the programme and the plans are placed on."""

from dataclasses import dataclass

import numpy as np
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from making.climate import Climate, make_climate
from making.frame import COARSE_M, Raster, settle
from making.land import District, make_districts, make_land_classes
from making.owners import Owners, make_owners
from making.relief import Ground, make_ground
from making.roads import Road, make_roads
from making.streams import BROOK_KM2, trace_main_river, trace_streams


@dataclass(frozen=True)
class Country:
    """The ground with its water, roads, districts, land use, owners and climate.

    Attributes
    ----------
    slope_pct
        Steepness on the coarse grid [%].
    south
        How much each coarse cell faces south, -1 to 1.
    whole
        All districts together.
    """

    ground: Ground
    slope_pct: Raster
    south: Raster
    climate: Climate
    river: LineString
    brooks: list[LineString]
    roads: list[Road]
    districts: list[District]
    land_classes: list[tuple[str, Polygon]]
    owners: Owners
    whole: BaseGeometry


def make_country() -> Country:
    """Return the whole country, always the same one."""
    ground = make_ground()
    down, right = np.gradient(ground.coarse.values, COARSE_M)
    slope = np.sqrt(down**2 + right**2)
    river = trace_main_river(ground)
    brooks = trace_streams(ground, BROOK_KM2)
    roads = make_roads(ground)
    lines = [line for _, line in roads]
    slope_pct = Raster(settle(slope * 100, 2), COARSE_M)
    land_classes = make_land_classes(slope_pct, river, brooks, lines)
    districts = make_districts(river)
    strip = unary_union([line for road_class, line in roads if road_class != "track"]).buffer(25, quad_segs=2)
    reserves = unary_union([shape for land_class, shape in land_classes if land_class == "reserve"])
    return Country(
        ground=ground,
        slope_pct=slope_pct,
        south=Raster(settle(-down / np.maximum(slope, 1e-6), 3), COARSE_M),
        climate=make_climate(ground),
        river=river,
        brooks=brooks,
        roads=roads,
        districts=districts,
        land_classes=land_classes,
        owners=make_owners(strip, reserves),
        whole=unary_union([district.shape for district in districts]),
    )
