"""Which earlier patches a patch comes from; shares of squares of one hectare."""

import geopandas as gpd
import shapely

from geo_scout.sites.ancestry import find_predecessors


def patches(frames, *rows, host="ashthorn"):
    return gpd.GeoDataFrame(
        {"site_id": [name for name, _ in rows], "host": host},
        geometry=[shape for _, shape in rows],
        crs=frames.PLANE,
    )


def test_kept_new_renamed_merged_and_split(frames):
    square = frames.square
    previous = patches(
        frames,
        ("A-1", square(0)),
        ("A-2", square(1000)),
        ("A-3", square(2000)),
        ("A-4", square(2120)),
        ("A-5", square(3000, 0, 300)),
    )
    now = patches(
        frames,
        ("A-1", square(0)),  # kept
        ("A-9", square(1010)),  # renamed: nine tenths of it were A-2
        ("A-3", square(2000, 0, 220)),  # merged
        ("A-5", square(3000)),  # split: keeps the id
        ("A-5.2", square(3200)),
        ("A-7", square(5000)),  # new
    )
    assert list(find_predecessors(now, previous)) == ["", "A-2", "A-3; A-4", "", "A-5", ""]


def test_overlap_below_a_tenth_of_the_smaller_is_no_descent(frames):
    previous = patches(frames, ("A-1", frames.square(0)))
    just_below, just_above = frames.square(90.1, 0, 500), frames.square(89.9, 0, 500)
    assert list(find_predecessors(patches(frames, ("B", just_below)), previous)) == [""]
    assert list(find_predecessors(patches(frames, ("B", just_above)), previous)) == ["A-1"]


def test_patches_of_another_host_are_no_ancestors(frames):
    now, previous = patches(frames, ("A-1", frames.square(0))), patches(frames, ("B-1", frames.square(0)))
    assert list(find_predecessors(now, previous.assign(host="toadflax"))) == [""]


def test_no_earlier_run_and_empty_tables(frames):
    now = patches(frames, ("A-1", frames.square(0)))
    assert list(find_predecessors(now, None)) == [""]
    assert list(find_predecessors(now, now[:0])) == [""]
    assert list(find_predecessors(now[:0], now)) == []


def test_an_earlier_outline_that_crosses_itself_is_mended(frames):
    bow_tie = shapely.Polygon([(0, 0), (100, 100), (100, 0), (0, 100)])
    previous = patches(frames, ("A-1", bow_tie))
    assert list(find_predecessors(patches(frames, ("A-2", frames.square(0))), previous)) == ["A-1"]
