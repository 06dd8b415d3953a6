import numpy as np
import pandas as pd
import pytest
from scipy.sparse import csr_array

from geo_scout.model.climate_table import ClimateTable
from geo_scout.model.zones import ZoneTable
from geo_scout.zones import population_rises_km, site_rises_km

KEYS = [
    ("patch", "ashthorn", "A-1"),
    ("patch", "ashthorn", "A-2"),
    ("population", "stem weevil", "at R9"),
    ("known population", "stem weevil", "Gorge"),
    ("known population", "stem weevil", "Stated"),
]


def zones(correction, **mean):
    index = pd.MultiIndex.from_tuples(KEYS)
    none = pd.DataFrame(index=index)
    return ZoneTable(
        pd.DataFrame(mean, index=index),
        none,
        pd.DataFrame(),
        csr_array((len(KEYS), 0)),
        correction=pd.DataFrame(correction, index=index),
    )


def corrected(values):
    return {"climate_tmin_correction_degc": np.array(values) / 2, "climate_tmax_correction_degc": values}


BY_RASTER = zones(
    corrected([-1.0, np.nan, 1.0, 0.5, 0.5]),
    elevation_m=[1200.0, 1500.0, 800.0, 900.0, 700.0],
    climate_elevation_m=[1000.0, 1000.0, 1000.0, 1000.0, 1000.0],
)


def test_a_patch_is_brought_from_its_cells_to_its_own_height(books):
    sites = books.sites([books.site("A-1"), books.site("A-2")])
    # A-2 was not corrected, so an error of the rate does not touch it.
    assert site_rises_km(BY_RASTER, sites, ClimateTable()).tolist() == pytest.approx([0.2, 0.0])


def test_populations_in_patches_outside_and_of_the_profile(books):
    profile = books.agent(
        known_populations=[
            {"name": "Gorge", "longitude_deg": -110.0, "latitude_deg": 47.0},
            {"name": "Stated", "climate": {"bio06": -11.0}},
        ]
    )
    evidence = books.evidence([books.site("A-1")], [{"site_id": "A-1"}, {"population_id": "at R9"}])
    rises = population_rises_km(profile, evidence, BY_RASTER, ClimateTable())
    assert rises.tolist() == pytest.approx([0.2, -0.2, -0.1, 0.0])


def test_from_stations_the_rise_follows_from_what_was_added(books):
    by_station = zones(corrected([-1.3, 0.0, np.nan, 0.0, 0.0]), elevation_m=[1.0] * 5)
    sites = books.sites([books.site("A-1"), books.site("A-2")])
    assert site_rises_km(by_station, sites, ClimateTable()).tolist() == pytest.approx([0.2, 0.0])
    only_minima = ClimateTable(tmax_degc_per_km=0.0, tmin_degc_per_km=3.25)
    flat = zones({"climate_tmin_correction_degc": [-0.65] * 5, "climate_tmax_correction_degc": [0.0] * 5})
    assert site_rises_km(flat, sites, only_minima).tolist() == pytest.approx([0.2, 0.2])


def test_without_a_correction_there_is_no_rise(books):
    sites, none = books.sites([books.site("A-1")]), zones({}, elevation_m=[1.0] * 5)
    assert site_rises_km(none, sites, ClimateTable()).tolist() == [0.0]
    assert (
        population_rises_km(books.agent(), books.evidence([books.site("A-1")]), none, ClimateTable()).size
        == 0
    )
