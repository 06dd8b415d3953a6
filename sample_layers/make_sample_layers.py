"""Make the files of the invented sample season, or of the starter season, always the same ones.

Run from anywhere::

    python sample_layers/make_sample_layers.py            # the layers beside this script, the truth for tests
    python sample_layers/make_sample_layers.py --starter  # the starter's layers inside the package

The season files and agent profiles are written by hand and are not touched.
"""

import argparse
from pathlib import Path

from making import files, tables, weather
from making.country import make_country
from making.fates import Fate, draw_fates, takes
from making.frame import FINE_M, GEOGRAPHIC_CRS, NORTH_M, WEST_M
from making.grounds import find_ground, make_grounds
from making.mess import add_mess
from making.names import HOSTS
from making.plans import make_requests, make_surveyed_areas, make_treatments
from making.releases import Release, make_releases
from making.starter import write_starter
from making.visits import make_visits
from making.weeds import make_infestations

HERE = Path(__file__).resolve().parent


def write_sample(folder: Path, truth: Path) -> None:
    """Write all layers of the sample season and the truth behind its releases."""
    layers, rasters = folder / "layers", folder / "rasters"
    for place in (layers, rasters, folder / "weather", truth.parent):
        place.mkdir(parents=True, exist_ok=True)
    for old in sorted(layers.glob("*.g*")):
        old.unlink()
    country = make_country()
    weeds = make_infestations(country)
    releases = make_releases(country, weeds)
    grounds = make_grounds(weeds)
    at = [find_ground(grounds, release.host, release.place) for release in releases]
    last_release = {index: release.day for index, release in zip(at, releases, strict=True)}
    treatments = make_treatments(weeds, grounds, last_release)
    fates = draw_fates(grounds, at, releases, treatments)
    visits = make_visits(releases, grounds, at, fates)
    finds = [(visit.host, visit.place) for visit in visits if visit.outcome != "none seen"]

    files.set_clock()
    files.write_layer(
        layers / "weed_map.gpkg", "infestations", tables.weed_map(add_mess(weeds)), geometry_type="Unknown"
    )
    files.write_layer(
        layers / "weed_map.gpkg", "surveyed_areas", tables.surveyed_areas(make_surveyed_areas(weeds))
    )
    files.write_layer(layers / "programme.gpkg", "releases", tables.releases(releases), GEOGRAPHIC_CRS)
    files.write_layer(layers / "programme.gpkg", "visits", tables.visits(visits), GEOGRAPHIC_CRS)
    files.write_layer(layers / "treatments.gpkg", "treatments", tables.treatments(treatments), "EPSG:3857")
    files.write_layer(layers / "land.gpkg", "land_classes", tables.land_classes(country))
    files.write_layer(layers / "land.gpkg", "boundaries", tables.boundaries(country), GEOGRAPHIC_CRS)
    files.write_layer(layers / "land.gpkg", "roads", tables.roads(country))
    files.write_layer(layers / "land.gpkg", "water", tables.water(country))
    files.write_layer(layers / "land.gpkg", "places", tables.places())
    files.write_geojson(layers / "requests.geojson", tables.requests(make_requests(weeds, finds)))
    files.write_metres(rasters / "elevation.tif", country.ground.fine.values, WEST_M, NORTH_M, FINE_M)
    files.write_climate(rasters, country.climate)
    files.write_weather(
        folder / "weather" / "quillen_ford.csv",
        weather.make_weather(),
        (weather.STATION, weather.LONGITUDE_DEG, weather.LATITUDE_DEG, weather.ELEVATION_M),
    )
    files.write_truth(truth, _truths(releases, at, fates))


def _truths(
    releases: list[Release], at: list[int], fates: list[Fate]
) -> list[tuple[str, str, str, str, str]]:
    """Return what truly became of each release, in words."""
    groups: dict[int, list[Release]] = {}
    for index, release in zip(at, releases, strict=True):
        groups.setdefault(index, []).append(release)
    rows = []
    for index, release in zip(at, releases, strict=True):
        took, fate = takes(groups[index]), fates[index]
        rows.append(
            (
                release.release_id,
                HOSTS[release.host],
                "yes" if took else "no",
                f"{fate.year_lost or ''}",
                "yes" if fate.is_alive else "no",
            )
        )
    return rows


def main() -> None:
    """Read the arguments and write the files."""
    parser = argparse.ArgumentParser(
        description="Make the files of the invented sample season, always the same ones."
    )
    parser.add_argument("--into", type=Path, help="another folder than the usual one")
    parser.add_argument(
        "--truth", type=Path, help="another file for the truth than tests/data/sample_truth.csv"
    )
    parser.add_argument("--starter", action="store_true", help="make the starter season's layers instead")
    given = parser.parse_args()
    if given.starter:
        write_starter(given.into or HERE.parent / "geo_scout" / "starter")
    else:
        write_sample(given.into or HERE, given.truth or HERE.parent / "tests" / "data" / "sample_truth.csv")


if __name__ == "__main__":
    main()
