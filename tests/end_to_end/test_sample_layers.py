"""The invented season: the script makes the same files again, and they hold what the season needs."""

import runpy
import subprocess
import sys
import tomllib
from pathlib import Path

import geopandas as gpd
import numpy as np
import pandas as pd
import pyogrio
import pytest
import rasterio
from geopandas.testing import assert_geodataframe_equal

ROOT = Path(__file__).resolve().parents[2]
SAMPLE = ROOT / "sample_layers"
STARTER = ROOT / "geo_scout" / "starter"
TRUTH = ROOT / "tests" / "data" / "sample_truth.csv"
SCRIPT = SAMPLE / "make_sample_layers.py"
# Another build of GDAL may arrange a file differently; then the content is compared, not the bytes.
MADE_WITH = {"vector GDAL": (3, 12, 4), "raster GDAL": "3.10.3"}
MADE = ("layers", "rasters", "weather")
ONE_BAND = ("elevation", "climate_elevation")
# Words of the real trade and of real places that must not slip into an invented season.
REAL_WORDS = [
    "knapweed",
    "spurge",
    "toadflax",
    "loosestrife",
    "thistle",
    "saltcedar",
    "tamarisk",
    "hawkweed",
    "houndstongue",
    "whitetop",
    "cheatgrass",
    "gorse",
    "larinus",
    "aphthona",
    "mecinus",
    "galerucella",
    "cyphocleonus",
    "diorhabda",
    "agapeta",
    "urophora",
    "montana",
    "idaho",
    "wyoming",
    "alberta",
    "saskatchewan",
    "lewistown",
    "usda",
    "aphis",
]


def _run(*arguments: str | Path) -> None:
    command = [sys.executable, "-B", "-W", "error", str(SCRIPT), *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True, encoding="utf-8", check=False)
    assert done.returncode == 0, done.stderr


def _is_same_build() -> bool:
    here = {"vector GDAL": pyogrio.__gdal_version__, "raster GDAL": rasterio.__gdal_version__}
    return here == MADE_WITH


def _assert_same_file(made: Path, kept: Path) -> None:
    if _is_same_build() or made.suffix not in (".gpkg", ".tif"):
        assert made.read_bytes() == kept.read_bytes(), f"{kept.name} differs from what the script makes"
    elif made.suffix == ".gpkg":
        layers = pyogrio.list_layers(made)
        assert layers.tolist() == pyogrio.list_layers(kept).tolist()
        for layer in layers[:, 0]:
            assert_geodataframe_equal(gpd.read_file(made, layer=layer), gpd.read_file(kept, layer=layer))
    else:
        with rasterio.open(made) as one, rasterio.open(kept) as other:
            assert (one.transform, one.crs, one.nodata) == (other.transform, other.crs, other.nodata)
            np.testing.assert_array_equal(one.read(), other.read())


def _read(layer: str) -> gpd.GeoDataFrame:
    table = tomllib.loads((SAMPLE / "season.toml").read_text(encoding="utf-8"))["layers"][layer]
    frame = gpd.read_file(SAMPLE / table["path"], layer=table.get("layer"))
    return frame.rename(columns={theirs: ours for ours, theirs in table.get("columns", {}).items()})


@pytest.fixture(scope="module")
def season() -> dict:
    return tomllib.loads((SAMPLE / "season.toml").read_text(encoding="utf-8"))


@pytest.mark.slow
def test_script_makes_the_committed_files_again(tmp_path: Path) -> None:
    _run("--into", tmp_path, "--truth", tmp_path / "truth.csv")
    kept = sorted(file for part in MADE for file in SAMPLE.glob(f"{part}/*"))
    made = sorted(file for part in MADE for file in tmp_path.glob(f"{part}/*"))
    assert [file.relative_to(tmp_path) for file in made] == [file.relative_to(SAMPLE) for file in kept]
    for one, other in zip(made, kept, strict=True):
        _assert_same_file(one, other)
    assert (tmp_path / "truth.csv").read_bytes() == TRUTH.read_bytes()


def test_script_makes_the_starter_again(tmp_path: Path) -> None:
    _run("--starter", "--into", tmp_path)
    kept = sorted(STARTER.glob("layers/*"))
    assert [file.name for file in sorted(tmp_path.glob("layers/*"))] == [file.name for file in kept]
    for file in kept:
        _assert_same_file(tmp_path / "layers" / file.name, file)


def test_sizes() -> None:
    parts = [file for part in (*MADE, "agents", "making") for file in SAMPLE.glob(f"{part}/*.*")]
    sample = sum(file.stat().st_size for file in [*parts, *SAMPLE.glob("*.*")])
    starter = sum(file.stat().st_size for file in STARTER.rglob("*") if file.is_file())
    assert 1_000_000 < sample < 10_000_000
    assert 10_000 < starter < 200_000


def test_season_is_the_only_toml_directly_in_the_folder() -> None:
    assert [file.name for file in SAMPLE.glob("*.toml")] == ["season.toml"]


@pytest.mark.parametrize("folder", [SAMPLE, STARTER], ids=["sample", "starter"])
def test_every_named_file_layer_and_column_exists(folder: Path) -> None:
    season = tomllib.loads((folder / "season.toml").read_text(encoding="utf-8"))
    for agent in season["season"]["agents"]:
        assert (folder / agent).is_file(), agent
    named = set()
    for name, table in season["layers"].items():
        named.add((folder / table["path"]).resolve())
        if table["path"].endswith(".tif"):
            with rasterio.open(folder / table["path"]) as raster:
                assert raster.count == (1 if name in ONE_BAND else 12), name
            continue
        if table["path"].endswith(".csv"):
            assert {"date", "tmin", "tmax", "station", "elevation_m"} <= set(
                pd.read_csv(folder / table["path"], nrows=0)
            )
            continue
        fields = set(pyogrio.read_info(folder / table["path"], layer=table.get("layer"))["fields"])
        assert set(table.get("columns", {}).values()) <= fields, name
    assert named == {file.resolve() for part in MADE for file in folder.glob(f"{part}/*")}


def test_the_map_holds_what_the_season_promises() -> None:
    weeds, areas, releases = _read("infestations"), _read("surveyed_areas"), _read("releases")
    host = weeds["host"].str.strip().str.lower()
    assert len(weeds) >= 250
    assert host.value_counts().min() > 100
    assert set(host) == {"ashthorn", "brindlebell"}
    assert 20 <= (weeds.geom_type == "Point").sum() <= 30
    assert set(weeds["cover_scheme"].dropna()) == {"percent", "share", "daubenmire", "braun-blanquet"}
    assert weeds["survey_date"].dropna().str[:4].nunique() >= 15
    assert 6 <= len(areas) <= 10
    assert (areas["result"] == "none found").sum() == 3
    assert len(releases) == 60
    assert set(releases["date"].str[:4]) == {str(year) for year in range(2016, 2026)}
    assert 12 <= len(_read("requests")) <= 20
    boundaries = _read("boundaries")
    assert boundaries["jurisdiction"].nunique() == 2
    assert len(boundaries) == 4
    assert set(_read("land_classes")["class"]) == {"crop", "pasture", "wetland", "reserve"}
    assert set(_read("roads")["road_class"]) == {"main road", "secondary road", "track"}
    assert set(_read("water").geom_type) == {"LineString"}
    places = _read("places")
    assert places["name"].is_unique
    assert {"Quillen Ford", "Lantern Pass", "Osk Ridge"} <= set(places["name"])


def test_passes_are_lower_than_the_tops_and_towns_lie_by_water() -> None:
    places, water = _read("places"), _read("water")
    with rasterio.open(SAMPLE / "rasters" / "elevation.tif") as file:
        at = [(point.x, point.y) for point in places.geometry]
        places["elevation_m"] = [float(cells[0]) for cells in file.sample(at)]
    height_m = places.set_index("name")["elevation_m"]
    assert height_m["Stony Saddle"] < height_m["Grey Wether"]
    # A pass lies between lower ground on two sides and higher ground on the other two.
    around = np.linspace(0.0, 2.0 * np.pi, 48, endpoint=False)
    with rasterio.open(SAMPLE / "rasters" / "elevation.tif") as file:
        for name in ("Fiddler's Pass", "Stony Saddle", "Lantern Pass", "Wether Gap", "Salt Pass"):
            point = places.loc[places["name"] == name, "geometry"].iloc[0]
            ring = [(point.x + 450 * np.cos(turn), point.y + 450 * np.sin(turn)) for turn in around]
            is_lower = np.array([cells[0] for cells in file.sample(ring)]) < height_m[name]
            assert (is_lower != np.roll(is_lower, 1)).sum() >= 4, name
    towns = places[places["name"].isin(["Quillen Ford", "Marrock", "Saltwick", "Orrin", "Tessock"])]
    assert (towns.geometry.distance(water.union_all()) < 1_500).all()


def test_the_mess_is_there() -> None:
    weeds = _read("infestations")
    assert (~weeds.is_valid).sum() == 1
    assert weeds.duplicated(subset=[*weeds.columns.drop("geometry")]).sum() == 2
    assert (weeds["survey_date"] > "2026-11-01").sum() == 1
    assert weeds["survey_date"].isna().sum() == 1
    is_point = weeds.geom_type == "Point"
    assert weeds.loc[is_point, "area"].isna().sum() == 1
    assert not set(weeds["host"]) <= {"ashthorn", "brindlebell"}
    stale = weeds[(weeds["survey_date"] == "2011-07-19") & (weeds["cover"] == "90")].geometry.iloc[0]
    newer = weeds[(weeds["survey_date"] > "2025") & weeds.is_valid]
    assert newer.covers(stale).sum() == 1


def test_records_follow_the_simulated_truth() -> None:
    truth = pd.read_csv(TRUTH).set_index("release_id")
    releases, visits = _read("releases"), _read("visits")
    assert list(truth.index) == list(releases["release_id"])
    assert truth["agent"].tolist() == releases["agent"].tolist()
    is_found = visits["result"].str.startswith("seen")
    linked = visits[visits["release_id"].notna()]
    assert set(linked["release_id"]) <= set(truth.index)
    # The agent lived there at some time: its release took, or it came by itself and stayed or died out.
    has_lived = (truth[["truly_established", "present_now"]] == "yes").any(axis=1) | truth[
        "year_lost"
    ].notna()
    assert has_lived[linked.loc[linked["voucher"].notna(), "release_id"]].all()
    found = set(linked.loc[is_found, "release_id"])
    # A look-alike is reported in two or three of a hundred visual searches where there is nothing.
    assert has_lived[sorted(found)].mean() > 0.9
    # Some releases that took were never seen to have taken: "not found" is not "not there".
    missed = sorted(set(linked["release_id"]) - found)
    assert (truth.loc[missed, "truly_established"] == "yes").any()
    assert (truth.loc[missed, "truly_established"] == "no").any()
    assert 20 <= len(truth) - linked["release_id"].nunique() <= 30
    assert (linked.groupby("release_id").size() > 1).any()
    assert 3 <= visits["release_id"].isna().sum() <= 6
    # 0.65 of 36 and 0.55 of 24, give or take three standard deviations of a binomial count (3.8).
    assert abs((truth["truly_established"] == "yes").sum() - 36.6) <= 11.4
    # Who took and is neither there now nor has died out would be a contradiction.
    took = truth[truth["truly_established"] == "yes"]
    assert ((took["present_now"] == "yes") | took["year_lost"].notna()).all()


def test_a_find_falls_in_the_weeks_and_the_years_in_which_there_is_something_to_see() -> None:
    releases, visits = _read("releases").set_index("release_id"), _read("visits")
    profiles = [
        tomllib.loads(file.read_text(encoding="utf-8")) for file in (SAMPLE / "agents").glob("*.toml")
    ]
    weeks = {
        (profile["name"], method): (sign["first_day"], sign["last_day"])
        for profile in profiles
        for sign in profile["signs"]
        for method in sign["methods"]
    }
    found = visits[visits["result"].str.startswith("seen")]
    for agent, method, day in zip(found["agent"], found["method"], found["date"], strict=True):
        first, last = weeks[agent, method]
        assert first <= day[5:] <= last, (agent, method, day)
    linked = found.dropna(subset="release_id")
    days = (
        pd.to_datetime(linked["date"]) - pd.to_datetime(releases.loc[linked["release_id"], "date"]).to_numpy()
    )
    assert days.dt.days.min() >= 365
    blind = visits[~visits.index.isin(found.index)]
    spans = [weeks[key] for key in zip(blind["agent"], blind["method"], strict=True)]
    in_time = [first <= day[5:] <= last for (first, last), day in zip(spans, blind["date"], strict=True)]
    assert not all(in_time)  # some crews go when there is nothing to see


def test_visits_name_signs_stages_vouchers_and_what_they_counted_on() -> None:
    visits = _read("visits")
    signs = {
        sign["name"]
        for file in (SAMPLE / "agents").glob("*.toml")
        for sign in tomllib.loads(file.read_text(encoding="utf-8"))["signs"]
    }
    is_found = visits["result"].str.startswith("seen")
    assert set(visits["sign"].dropna()) <= signs
    assert visits.loc[is_found, "sign"].notna().all()
    assert visits.loc[~is_found, "sign"].isna().any()
    assert (visits["life_stage"].notna() == is_found).all()
    assert (visits["voucher"].notna() == (visits["result"] == "seen, voucher kept")).all()
    assert visits["host_cover_pct"].dropna().between(5, 80).all()
    assert 5 <= visits["counted_area_m2"].notna().sum() < is_found.sum()


def test_no_visit_is_older_than_its_release() -> None:
    day = _read("releases").set_index("release_id")["date"]
    linked = _read("visits").dropna(subset="release_id")
    assert (linked["date"].to_numpy() > day.loc[linked["release_id"]].to_numpy()).all()
    assert linked["date"].max() < "2026-11-01"


def test_treatments_lie_before_and_in_the_season(season: dict) -> None:
    treatments = _read("treatments")
    assert len(treatments) == 18
    first, last = season["season"]["start"].isoformat(), season["season"]["end"].isoformat()
    planned = treatments["start"].between(first, last)
    assert planned.sum() >= 5
    assert (treatments.loc[~planned, "end"] <= season["season"]["as_of"].isoformat()).all()
    assert (treatments["start"] < treatments["end"]).all()


def test_bases_and_weeds_lie_inside_the_districts(season: dict) -> None:
    whole = _read("boundaries").to_crs(4326).union_all()
    bases = gpd.points_from_xy(
        [crew["base_longitude_deg"] for crew in season["crews"]],
        [crew["base_latitude_deg"] for crew in season["crews"]],
    )
    assert len(bases) >= 2
    assert all(whole.contains(base) for base in bases)
    assert _read("infestations").representative_point().to_crs(4326).within(whole).all()


def test_law_covers_every_jurisdiction_and_shows_each_case(season: dict) -> None:
    jurisdictions = set(_read("boundaries")["jurisdiction"])
    seen = set()
    for agent in season["season"]["agents"]:
        profile = tomllib.loads((SAMPLE / agent).read_text(encoding="utf-8"))
        assert {law["jurisdiction"] for law in profile["legal_status"]} == jurisdictions
        for law in profile["legal_status"]:
            is_stale = (season["season"]["as_of"] - law["checked_on"]).days > 365
            seen.add("stale" if is_stale else law["status"])
    assert {"allowed", "permit", "forbidden", "stale"} <= seen


def test_elevation_is_a_tiled_thirty_metre_raster() -> None:
    with rasterio.open(SAMPLE / "rasters" / "elevation.tif") as raster:
        assert (raster.dtypes, raster.res, raster.crs.to_epsg()) == (("int16",), (30.0, 30.0), 32612)
        assert raster.block_shapes == [(256, 256)]
        assert raster.tags(ns="IMAGE_STRUCTURE")["PREDICTOR"] == "2"
        values = raster.read(1)
        bounds = raster.bounds
    assert values.min() > 800
    assert 900 < np.ptp(values) < 1_600
    west, south, east, north = _read("boundaries").to_crs(32612).total_bounds
    margins = (west - bounds.left, south - bounds.bottom, bounds.right - east, bounds.top - north)
    assert min(margins) > 1_000


def test_climate_follows_the_ground() -> None:
    months = {}
    for name in ("tmin", "tmax", "precipitation"):
        with rasterio.open(SAMPLE / "rasters" / f"{name}.tif") as raster:
            assert raster.crs.to_epsg() == 4326
            stored = raster.read(masked=True)
            assert not stored.mask.any()
            months[name] = stored.filled() * raster.scales[0] + raster.offsets[0]
            columns, rows = np.meshgrid(np.arange(raster.width) + 0.5, np.arange(raster.height) + 0.5)
            step_deg, west_deg, north_deg = raster.res[0], raster.bounds.left, raster.bounds.top
    places = gpd.GeoSeries(
        gpd.points_from_xy(
            west_deg + columns.ravel() * step_deg, north_deg - rows.ravel() * step_deg, crs=4326
        )
    ).to_crs(32612)
    with rasterio.open(SAMPLE / "rasters" / "elevation.tif") as raster:
        elevation = np.array([one[0] for one in raster.sample(zip(places.x, places.y, strict=True))])
    assert (months["tmax"] > months["tmin"]).all()
    july_max, january_min = months["tmax"][6].ravel(), months["tmin"][0].ravel()
    # Sampled at cell centres, so the fit is loose: the cell holds a mean.
    assert np.corrcoef(elevation, july_max)[0, 1] < -0.9
    assert np.corrcoef(elevation, months["precipitation"].sum(axis=0).ravel())[0, 1] > 0.8
    # Days cool with height faster than nights, and in winter cold air lies in the valleys.
    july_min = months["tmin"][6].ravel()
    assert np.polyfit(elevation, july_max, 1)[0] < np.polyfit(elevation, july_min, 1)[0] < 0
    lowest = elevation < np.percentile(elevation, 20)
    middle = (elevation > np.percentile(elevation, 60)) & (elevation < np.percentile(elevation, 80))
    assert january_min[lowest].mean() < january_min[middle].mean()


def test_climate_cells_have_the_mean_height_of_their_ground() -> None:
    with rasterio.open(SAMPLE / "rasters" / "elevation.tif") as raster:
        ground, bounds = raster.read(1), raster.bounds
    with (
        rasterio.open(SAMPLE / "rasters" / "climate_elevation.tif") as heights,
        rasterio.open(SAMPLE / "rasters" / "tmin.tif") as tmin,
    ):
        assert (heights.transform, heights.shape, heights.crs) == (tmin.transform, tmin.shape, tmin.crs)
        cells = heights.read(1, masked=True)
        assert not cells.mask.any()
        off = []
        for row, column in np.ndindex(heights.shape):
            west, north = heights.transform * (column, row)
            east, south = heights.transform * (column + 1, row + 1)
            edges = gpd.GeoSeries(gpd.points_from_xy([west, east], [south, north]), crs=4326).to_crs(32612)
            (left, right), (low, high) = edges.x, edges.y
            if left < bounds.left or right > bounds.right or low < bounds.bottom or high > bounds.top:
                continue
            window = ground[
                round((bounds.top - high) / 30) : round((bounds.top - low) / 30),
                round((left - bounds.left) / 30) : round((right - bounds.left) / 30),
            ]
            off.append(float(cells[row, column]) - window.mean())
    assert len(off) > 100
    # A cell's edges lie a little askew on the UTM grid, which tells on steep ground.
    assert np.median(np.abs(off)) < 6
    assert np.abs(off).max() < 60


def test_weather_is_fifteen_years_at_one_station_with_three_days_missing() -> None:
    days = pd.read_csv(SAMPLE / "weather" / "quillen_ford.csv", parse_dates=["date"])
    assert set(days["station"]) == {"Quillen Ford"}
    assert set(days["elevation_m"]) == {1000}
    span = pd.date_range("2012-01-01", "2026-10-31")
    assert (days["date"].iloc[0], days["date"].iloc[-1]) == (span[0], span[-1])
    assert days["date"].is_unique
    known = days.dropna(subset=["tmin", "tmax"])
    assert len(known) == len(span) - 3
    assert (known["tmax"] >= known["tmin"]).all()
    # July is warm, January cold, and no two years are alike.
    by_month = known.groupby(known["date"].dt.month)[["tmin", "tmax"]].mean().mean(axis=1)
    assert by_month.idxmax() == 7
    assert by_month.idxmin() in (1, 12)
    spring = known[known["date"].dt.month.isin([4, 5])]
    assert spring.groupby(spring["date"].dt.year)["tmax"].mean().std() > 0.5


def test_both_agents_have_a_window_a_slope_they_like_and_an_elevation_band(season: dict) -> None:
    kinds = []
    for agent in season["season"]["agents"]:
        profile = tomllib.loads((SAMPLE / agent).read_text(encoding="utf-8"))
        assert 0 <= profile["terrain"]["preferred_aspect_deg"]["value"] < 360
        assert profile["terrain"]["elevation_m"]["least"] < 900 < profile["terrain"]["elevation_m"]["most"]
        kinds += [next(iter(profile["timing"][use])) for use in ("collecting", "receptive")]
    assert sorted(kinds) == ["calendar", "heat", "heat", "host_stage"]
    ground = {"slope", "aspect_match", "heat_load", "relative_position"}
    assert ground <= set(season["criteria"]["release"])
    assert "slope" in season["criteria"]["source"]


@pytest.fixture(scope="module")
def tables(sample_run: Path) -> dict[str, pd.DataFrame]:
    return {
        name: pd.read_csv(sample_run / f"{name}.csv", encoding="utf-8-sig")
        for name in ("release_sites", "sources")
    }


@pytest.mark.parametrize("name", ["release_sites", "sources"])
def test_every_site_shows_climate_ground_and_window(tables: dict[str, pd.DataFrame], name: str) -> None:
    table = tables[name]
    assert table["climate_gap"].between(0, 20).all()
    assert set(table["climate_gap_kind"]) == {"regional"}
    same = table["climate_gap_driver"].str.endswith("the same climate")
    drives = table["climate_gap_driver"].str.contains("; that drives the mismatch", regex=False)
    assert (same | drives).all()
    # What follows from a population itself is the same climate, and only that.
    assert (same == (table["climate_gap"] < 5e-5)).all()
    assert table["novelty_note"].str.len().min() > 10
    assert table["slope_deg"].between(0, 45).all()
    assert (table["aspect_deg"].isna() == table["aspect_strength"].isna()).all()
    assert table["aspect_deg"].notna().mean() > 0.9
    assert table["heat_load"].between(0.5, 1.1).all()
    assert table["relative_position_m"].between(-150, 150).all()
    assert table["climate_tmax_correction_degc"].abs().max() > 0.2
    by_agent = table.groupby("agent")["window_kind"].agg(set).to_dict()
    assert by_agent == {
        "ashthorn stem weevil": {"degree-days"},
        "brindlebell leaf beetle": {"host stage" if name == "release_sites" else "calendar"},
    }
    dated = table[table["window_kind"] != "host stage"]
    assert dated["window_opens"].between("2027-05-01", "2027-07-31").all()
    in_order = dated[["window_scout", "window_opens", "window_peaks", "window_closes"]].to_numpy()
    assert (in_order[:, :-1] < in_order[:, 1:]).all()
    by_heat = dated[dated["window_kind"] == "degree-days"]
    assert (by_heat["window_opens_early"] < by_heat["window_opens"]).all()
    assert (by_heat["window_opens"] < by_heat["window_opens_late"]).all()


def test_higher_sources_open_later(tables: dict[str, pd.DataFrame]) -> None:
    for _, sites in tables["sources"].groupby("agent"):
        opens = pd.to_datetime(sites["window_opens"]).dt.day_of_year
        assert np.corrcoef(sites["elevation_m"], opens)[0, 1] > 0.95


def test_starter_is_six_patches_on_ten_by_ten_cells() -> None:
    weeds = gpd.read_file(STARTER / "layers" / "infestations.geojson").to_crs(32612)
    assert len(weeds) == 6
    assert weeds.is_valid.all()
    for file in STARTER.glob("layers/*.tif"):
        with rasterio.open(file) as raster:
            assert raster.shape == (10, 10), file.name
            corners = gpd.GeoSeries(gpd.points_from_xy(*_corners(raster.bounds)), crs=raster.crs)
        hull = corners.to_crs(32612).union_all().convex_hull
        assert weeds.within(hull).all(), file.name


def _corners(bounds: rasterio.coords.BoundingBox) -> tuple[list[float], list[float]]:
    west, south, east, north = bounds
    return [west, west, east, east], [south, north, south, north]


def test_every_name_is_on_the_list_of_invented_names() -> None:
    names = runpy.run_path(str(SAMPLE / "making" / "names.py"))
    managers = [*names["OWNERS"], names["ROADS_OFFICE"], names["WARDENS"]]
    weeds, visits = _read("infestations"), _read("visits")
    assert set(weeds["manager"]) <= {manager.name for manager in managers}
    assert set(weeds["parcel"]) <= {parcel for manager in managers for parcel in manager.parcels}
    assert {word.split()[-1] for word in weeds["name"].dropna()} <= set(names["SITE_SECOND"])
    assert set(visits["agent"]) == set(names["HOSTS"].values())
    assert set(visits["observer"]) <= set(names["OBSERVERS"])
    assert set(_read("requests")["owner"]) <= set(names["ASKERS"])
    assert set(_read("releases")["source_site"]) <= {*names["SOURCES"], "own collection"}


def test_no_word_of_the_real_trade_or_of_a_real_place() -> None:
    texts = {
        file: file.read_text(encoding="utf-8")
        for folder in (SAMPLE, STARTER)
        for pattern in ("**/*.toml", "**/*.md", "**/*.py", "**/*.geojson")
        for file in folder.glob(pattern)
    }
    for layer in ("infestations", "surveyed_areas", "releases", "visits", "treatments"):
        texts[Path(layer)] = _read(layer).drop(columns="geometry").to_csv()
    assert len(texts) > 20
    found = [(file.name, word) for file, text in texts.items() for word in REAL_WORDS if word in text.lower()]
    assert found == []
