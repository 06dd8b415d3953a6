import geopandas as gpd
import numpy as np
import pytest
import shapely

from geo_scout.model.layers import LayerSet
from geo_scout.zones.zone_list import place_zones


def place(books, rows, populations=(), profile=None, vectors=None, reference="infestations"):
    profile = profile or books.agent()
    season = books.season(profile)
    settings = season.settings.model_copy(
        update={"climate": season.settings.climate.model_copy(update={"reference": reference})}
    )
    season = type(season)(**{**vars(season), "settings": settings})
    layers = LayerSet(crs=books.PLANE, vectors=vectors or {}, rasters={})
    sites = {books.HOST: books.sites(rows)} if rows else {books.HOST: books.sites([books.site()])}
    if not rows:
        sites = {}
    return place_zones(sites, {books.AGENT: books.evidence(rows, populations)}, layers, season)


def test_patches_and_populations_outside_them_are_zones(books):
    rows = [books.site("A-1"), books.site("A-2")]
    zones = place(books, rows, [{"site_id": "A-1"}, {"population_id": "at R9"}])
    assert zones.index.tolist() == [
        ("patch", "ashthorn", "A-1"),
        ("patch", "ashthorn", "A-2"),
        ("population", "stem weevil", "at R9"),
    ]
    assert zones.crs == books.PLANE
    assert zones.geometry.iloc[1].equals(books.square(1000.0))


def test_known_populations_with_a_place_are_zones_in_the_working_system(books):
    known = [
        {"name": "Gorge", "longitude_deg": -110.0, "latitude_deg": 47.0},
        {"name": "Old ground", "climate": {"bio05": 29.0}},
    ]
    zones = place(books, [books.site()], profile=books.agent(known_populations=known))
    assert zones.index.tolist()[1:] == [("known population", "stem weevil", "Gorge")]
    # The working system of these books is centred there.
    assert shapely.get_coordinates(zones.geometry.iloc[1])[0] == pytest.approx([0.0, 0.0], abs=1e-6)


def test_a_population_on_the_other_side_of_the_earth_has_no_place_and_stops_nothing(books):
    known = [{"name": "Antipode", "longitude_deg": 70.0, "latitude_deg": -47.0}]
    zones = place(books, [books.site()], profile=books.agent(known_populations=known))
    assert not np.isfinite(shapely.get_coordinates(zones.geometry.iloc[1])).any()


def test_reference_land_is_one_zone_for_each_feature(books):
    land = gpd.GeoDataFrame({"row": [1, 2]}, geometry=[books.square(0), books.square(500)], crs=books.PLANE)
    zones = place(books, [books.site()], vectors={"boundaries": land}, reference="boundaries")
    assert zones.index.tolist()[1:] == [("reference", "boundaries", "1"), ("reference", "boundaries", "2")]


def test_no_reference_without_the_layer_or_for_infestations(books):
    assert len(place(books, [books.site()], reference="boundaries")) == 1
    assert len(place(books, [books.site()], reference="infestations")) == 1


def test_nothing_to_ask_about_is_an_empty_list(books):
    zones = place(books, [])
    assert len(zones) == 0
    assert zones.crs == books.PLANE
