import numpy as np

from geo_scout.layers.not_looked_at import NEVER, not_looked_at


def test_what_is_never_looked_at_comes_first_then_what_is_missing(folder):
    said = not_looked_at(folder.season(), is_stopped=False)
    assert said[: len(NEVER)] == NEVER
    off = said[len(NEVER) :]
    assert (
        "visits: the season has no such layer; no source can be confirmed and no release site is known to be "
        "occupied." in off
    )
    assert [one.split(":")[0] for one in off] == [
        "surveyed_areas", "releases", "visits", "requests", "treatments", "land_classes", "boundaries", "roads",
        "water", "places",
        "elevation", "tmin", "tmax", "precipitation", "bioclim", "climate_elevation", "extremes", "weather",
        "station_normals", "yearly_climate",
    ]  # fmt: skip


def test_ready_variables_make_the_monthly_rasters_needless(folder):
    folder.write_raster("bioclim", np.full((1, 2, 2), 9.0), descriptions=("bio1",))
    off = [one.split(":")[0] for one in not_looked_at(folder.season(), is_stopped=False)]
    assert not {"tmin", "tmax", "precipitation", "bioclim"} & set(off)


def test_a_stop_keeps_the_sites_from_being_looked_at(folder):
    said = not_looked_at(folder.season(), is_stopped=True)
    assert said[len(NEVER)] == (
        "the rasters under the sites, and surveys that newer ones replace: a layer above stops, so no site was made."
    )
