"""Reading 100,000 polygons in each format, against the plainest reading there is.

Ours matches columns, reads text, dates and cover, looks for impossible places, wrong kinds, duplicates and invalid
outlines, and brings everything to the season's map. The baseline is pyogrio's own table, with Arrow where pyarrow
is installed, and one call of to_crs. Hashing the inputs and the checks across layers are not part of reading.

Measured on two cores: 0.9 to 1.3 times the baseline; on one core 1.15 to 1.45. The promise is 1.3; the limit leaves
0.3 for a machine that is busy or has one core.
"""

import contextlib
import subprocess
import sys
import time

import geopandas as gpd
import numpy as np
import pandas as pd
import pytest
import shapely

from geo_scout.layers.drafts import geometries
from geo_scout.layers.opening.gdal_settings import untouched_inputs
from geo_scout.layers.places.reference_systems import choose_working_crs, first_points_deg
from geo_scout.layers.vectors import open_draft, settle_draft
from tests.benchmarks.fresh_process import HAS_ARROW, HERE, with_arrow_folder
from tests.reading_seasons import season_of

POLYGONS, REPEATS = 100_000, 3
# Opening a change of reference system takes 0.04 s however few the polygons are; below this it would count.
FEWEST = 30_000
MOST, MARGIN = 1.3, 0.3
CORNERS = 24


def outlines(number):
    """Return blobs and crescents of 0.1 to 50 ha; the crescents are not seen whole from their middle."""
    random = np.random.default_rng(3)
    middles = np.column_stack([random.uniform(-6e5, 0, number), random.uniform(2.6e6, 3e6, number)])
    size_m = np.sqrt(np.exp(random.uniform(np.log(0.1), np.log(50), number)) * 1e4 / np.pi)
    turns = np.linspace(0, 2 * np.pi, CORNERS, endpoint=False)
    blobs = random.uniform(0.6, 1.3, (number, CORNERS))[..., None] * np.stack(
        [np.cos(turns), np.sin(turns)], -1
    )
    half = np.linspace(0, 1.6 * np.pi, CORNERS // 2)
    arc = np.stack([np.cos(half), np.sin(half)], -1)
    crescents = np.broadcast_to(np.concatenate([1.2 * arc, 0.8 * arc[::-1]]), (number, CORNERS, 2))
    is_crescent = (np.arange(number) % 2 == 0)[:, None, None]
    shapes = middles[:, None, :] + size_m[:, None, None] * np.where(is_crescent, crescents, blobs)
    return shapely.polygons(shapes)


def layer(number):
    random = np.random.default_rng(4)
    days = pd.to_datetime("2020-01-01") + pd.to_timedelta(random.integers(0, 2000, number), unit="D")
    return gpd.GeoDataFrame(
        {
            "id": [f"P{n:06d}" for n in range(number)],
            "host": random.choice(["ashthorn", "brindlebell"], number),
            "cover": np.round(random.uniform(1, 95, number), 1),
            "surveyed": days,
            "manager": random.choice(["County", "State", "Private"], number),
            "permission": random.choice(["yes", "no", "unknown"], number),
            "name": [f"Place {n}" for n in range(number)],
            "of_no_use": random.normal(size=number),
        },
        geometry=outlines(number),
        crs=5070,
    )


@pytest.fixture(scope="module")
def frame(scale):
    return layer(max(FEWEST, int(POLYGONS * scale)))


def read(season):
    table = season.settings.layers.infestations
    with untouched_inputs():
        draft = open_draft("infestations", table, season)
        working = choose_working_crs(*first_points_deg(geometries(draft.frame), draft.crs), season)
        settle_draft(draft, working)
    assert not draft.is_stopped
    return draft


@contextlib.contextmanager
def plain_reader(path, crs):
    """Yield a function that has another process read the file plainly once, and says how long it took."""
    command = [sys.executable, "-W", "ignore", str(HERE / "read_plainly.py"), str(path), crs.to_wkt()]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True, "env": with_arrow_folder()}
    with subprocess.Popen(command, **pipes) as other:

        def once():
            other.stdin.write("\n")
            other.stdin.flush()
            return float(other.stdout.readline())

        once()  # imports, and the file into the machine's memory
        yield once


def seconds(work):
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


# A shapefile keeps no times; pyogrio says so while the test writes it.
@pytest.mark.filterwarnings("ignore:Field surveyed created as String field:RuntimeWarning")
@pytest.mark.parametrize("file", ["patches.gpkg", "patches.fgb", "patches.shp", "patches.geojson"])
def test_reading_costs_little_more_than_the_plainest_reading(tmp_path, frame, file):
    path = tmp_path / file
    (frame.to_crs(4326) if file.endswith("geojson") else frame).to_file(path)
    table = {"path": file, "units": {"cover": "percent"}, "columns": {"survey_date": "surveyed"}}
    season = season_of(tmp_path, {"infestations": table}, ("ashthorn", "brindlebell"))
    draft = read(season)
    assert len(draft.frame) == len(frame)

    # One after the other, so that a busy moment of the machine meets both.
    with plain_reader(path, draft.crs) as read_plainly:
        pairs = [(seconds(lambda: read(season)), read_plainly()) for _ in range(REPEATS)]
    ours, plain = (min(times) for times in zip(*pairs, strict=True))
    arrow = "with Arrow" if HAS_ARROW else "without Arrow"
    print(
        f"\n{file}, {len(frame):,} polygons: {ours:.2f} s; plain {arrow} {plain:.2f} s; ratio {ours / plain:.2f}"
    )
    assert ours / plain < MOST + MARGIN
