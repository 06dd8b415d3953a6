from dataclasses import replace

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely

from geo_scout.evidence import population_uncertainty_m
from tests import site_books as books


def visits(*rows):
    frame = pd.DataFrame(
        rows, columns=["visit_id", "release_id", "site_id", "confirms", "coordinate_uncertainty_m"]
    )
    return gpd.GeoDataFrame(frame, geometry=[shapely.Point(0, 0)] * len(rows), crs=books.PLANE)


def uncertainty(populations, seen, *nearest):
    sites = [books.site(f"A-{n}", population_id=one) for n, one in enumerate(nearest)]
    found = replace(books.evidence(sites, populations), visits=visits(*seen))
    return population_uncertainty_m(found).tolist()


def test_a_find_outside_every_patch_lies_within_its_uncertainty():
    populations = [{"population_id": "at release R9"}, {"site_id": "A-1"}]
    seen = [
        ("V1", "R9", "", True, 250.0),
        ("V2", "R9", "", True, np.nan),
        ("V3", "R9", "", False, 900.0),
        ("V4", "", "A-1", True, 500.0),
    ]
    assert uncertainty(populations, seen, "at release R9", "A-1", "") == [250.0, 0.0, 0.0]


def test_where_nothing_is_written_down_it_is_thirty_metres():
    seen = [("V2", "R9", "", True, np.nan)]
    assert uncertainty([{"population_id": "at release R9"}], seen, "at release R9") == [30.0]


def test_without_populations_outside_there_is_nothing_to_ask():
    assert uncertainty([{"site_id": "A-0"}], [], "A-0", "") == [0.0, 0.0]
