"""What `explain` prints is enough to do a site's numbers again, with NumPy and from the printed text.

Only the season's own files are read besides: the daily weather, and for the means over a patch its elevations.
Tolerances are what the printed digits allow.
"""

import datetime as dt
import re

import numpy as np
import pandas as pd
import pytest
import rasterio
import shapely
from rasterio.windows import Window

import geo_scout

pytestmark = pytest.mark.slow
RELEASE_SITE, SOURCE = "ASHT-Q0024", "ASHT-Q0031"
NUMBER = r"[-+]?\d+(?:\.\d+)?"


@pytest.fixture(scope="module")
def result(sample_season):
    return geo_scout.run(sample_season, write=False)


@pytest.fixture(scope="module", params=[RELEASE_SITE, SOURCE])
def text(result, request):
    return geo_scout.explain_result(result, request.param)


@pytest.fixture(scope="module")
def daily(sample_season):
    """Return the station's days, its three missing ones on a straight line as the season allows."""
    path = sample_season.parent / "weather" / "quillen_ford.csv"
    record = pd.read_csv(path, parse_dates=["date"]).set_index("date")[["tmin", "tmax"]]
    return record.reindex(pd.date_range(record.index[0], record.index[-1])).interpolate()


def numbers(pattern, text):
    """Return the numbers of a line, after the words that come before them."""
    found = re.search(rf"^ *{pattern}(.*)$", text, re.MULTILINE)
    assert found, pattern
    return np.array([float(one) for one in re.findall(NUMBER, found[1])])


def block(head, text):
    return next(part for part in text.split("\n\n") if re.match(head, part))


def test_infested_area_is_gross_area_times_cover(text):
    rows = re.findall(
        rf"({NUMBER}) ha gross x ({NUMBER}) % cover \([\w-]+\) = ({NUMBER}) ha",
        block("ASHT-Q\\d+ .*, ash", text),
    )
    total = 0.0
    for gross, cover, infested in np.array(rows, dtype=float):
        assert gross * cover / 100 == pytest.approx(infested, abs=gross * 0.0006)
        total += infested
    [measured] = re.findall(rf"from 0\.2 to 6, at ({NUMBER})", text)
    assert total == pytest.approx(float(measured), abs=2e-4)


def test_the_cell_of_the_patch_has_its_slope_aspect_and_heat_load(text):
    ground = block("The ground", text)
    lines = ground.splitlines()
    start = next(number for number, line in enumerate(lines) if line.endswith("[m]:"))
    z = np.array([line.split() for line in lines[start + 1 : start + 4]], dtype=float)
    # Horn 1981: the middle row and column count twice.
    per_column = ((z[:, 2] - z[:, 0]) @ [1, 2, 1]) / 8
    per_row = ((z[2] - z[0]) @ [1, 2, 1]) / 8
    column_east, column_north, row_east, row_north = numbers("one column on leads ", ground)
    east, north = np.linalg.solve([[column_east, column_north], [row_east, row_north]], [per_column, per_row])
    slope, aspect = np.arctan(np.hypot(east, north)), np.degrees(np.arctan2(-east, -north)) % 360
    said = numbers("slope ", lines[-1].strip())
    assert np.degrees(slope) == pytest.approx(said[0], abs=2e-4)
    assert aspect == pytest.approx(said[1], abs=0.02)
    # McCune & Keon 2002, equation 3, with the aspect folded about the north-east to south-west line.
    latitude = np.radians(float(re.search(rf"latitude ({NUMBER})", ground)[1]))
    folded = np.radians(180 - abs(180 - (aspect - 225) % 360))
    folded = np.pi - folded
    load = (
        0.339
        + 0.808 * np.cos(latitude) * np.cos(slope)
        - 0.196 * np.sin(latitude) * np.sin(slope)
        - 0.482 * np.cos(folded) * np.sin(slope)
    )
    assert load == pytest.approx(said[2], abs=2e-5)


@pytest.mark.parametrize("site", [RELEASE_SITE, SOURCE])
def test_the_means_over_the_patch_follow_from_its_cells(result, sample_season, site):
    """Each cell counts by the area it shares with the patch: corners and cells cut out one by one."""
    ground = block("The ground", geo_scout.explain_result(result, site))
    patches = result.sites["ashthorn"].patches.to_crs(32612).set_index("site_id")
    shape = patches.geometry[site]
    west, south, east, north = shape.bounds
    with rasterio.open(sample_season.parent / "rasters" / "elevation.tif") as raster:
        first_row, first_column = raster.index(west, north)
        last_row, last_column = raster.index(east, south)
        around = Window.from_slices(
            (first_row - 17, last_row + 18), (first_column - 17, last_column + 18), boundless=True
        )
        z, corner = raster.read(1, window=around).astype(float), raster.window_transform(around)
    rows, columns = (one.ravel() for one in np.mgrid[17 : z.shape[0] - 17, 17 : z.shape[1] - 17])
    west, north = corner * (columns, rows)
    area = shapely.area(shapely.intersection(shapely.box(west, north - 30, west + 30, north), shape))
    rows, columns, area = rows[area > 0], columns[area > 0], area[area > 0]
    assert area.sum() == pytest.approx(shape.area, rel=1e-9)

    nine = {(i, j): z[rows + i, columns + j] for i in (-1, 0, 1) for j in (-1, 0, 1)}
    per_column = sum((2 - abs(i)) * (nine[i, 1] - nine[i, -1]) for i in (-1, 0, 1)) / 8
    per_row = sum((2 - abs(j)) * (nine[1, j] - nine[-1, j]) for j in (-1, 0, 1)) / 8
    column_east, column_north, row_east, row_north = numbers("one column on leads ", ground)
    steps = [[column_east, column_north], [row_east, row_north]]
    east, up_north = np.linalg.solve(steps, np.stack([per_column, per_row]))
    slope, aspect = np.degrees(np.arctan(np.hypot(east, up_north))), np.arctan2(-east, -up_north)
    leans = slope > 0

    assert numbers("slope ", ground)[0] == pytest.approx(np.average(slope, weights=area), rel=2e-4)
    assert numbers("slope ", ground)[2] == pytest.approx(100 * area[slope > 25].sum() / area.sum(), abs=0.02)
    pull = (area * leans * np.exp(1j * aspect)).sum() / (area * leans).sum()
    said = numbers("faces ", ground)
    assert said[0] == pytest.approx(np.degrees(np.angle(pull)) % 360, abs=0.1)
    assert said[1:].tolist() == pytest.approx([abs(pull), np.average(leans, weights=area)], abs=2e-4)
    # 500 m are 17 cells of 30 m in every direction, the cell itself not among them.
    square = [z[r - 17 : r + 18, c - 17 : c + 18] for r, c in zip(rows, columns, strict=True)]
    height = [(35**2 * one.mean() - one[17, 17]) / (35**2 - 1) for one in square]
    above = np.average(z[rows, columns] - np.array(height), weights=area)
    assert numbers("", next(line for line in ground.splitlines() if "from the mean" in line))[0] == (
        pytest.approx(above, abs=0.006)
    )


def test_the_aspect_match_follows_from_the_mean_direction(text):
    aspect, strength, share = numbers("faces ", block("The ground", text))
    preferred = float(re.search(rf"cos\(aspect - ({NUMBER}) deg\)", text)[1])
    [measured] = re.findall(rf"from -0\.5 to 0\.8, at ({NUMBER})", text)
    assert strength * share * np.cos(np.radians(aspect - preferred)) == pytest.approx(
        float(measured), abs=3e-4
    )


def test_months_are_brought_to_the_sites_elevation_and_give_the_variables(text):
    climate = block("Climate and height", text)
    own, cells = numbers("elevation ", climate)
    at_site = {}
    for name in ("tmin", "tmax"):
        of_cells = numbers(rf"{name} of the cells, January to December \[degC\]: ", climate)
        colder = numbers(rf"{name} colder for each km up \[degC\]: ", climate)
        at_site[name] = numbers(rf"{name} at the site's elevation \[degC\]: ", climate)
        assert len(of_cells) == len(colder) == len(at_site[name]) == 12
        np.testing.assert_allclose(of_cells - colder * (own - cells) / 1000, at_site[name], atol=0.012)
    rain = numbers(r"precipitation of the cells, January to December \[mm\]: ", climate)
    said = dict(re.findall(rf"(bio\d\d) ({NUMBER})", climate))
    assert at_site["tmax"].max() == pytest.approx(float(said["bio05"]), abs=0.0051)
    assert at_site["tmin"].min() == pytest.approx(float(said["bio06"]), abs=0.0051)
    assert rain.sum() == pytest.approx(float(said["bio12"]), abs=12 * 0.0051)


def populations_of(text):
    """Return the printed climates by name (several may share one), and the covariance."""
    release = block("ASHT-Q\\d+ as a release site", text)
    rows = re.findall(rf"^ {{6}}(.+): ({NUMBER}) ({NUMBER}) ({NUMBER})$", release, re.MULTILINE)
    covariance = numbers(r"covariance over \d+ climate cells: ", release).reshape(3, 3)
    return [row[0] for row in rows], np.array([row[1:] for row in rows], dtype=float), covariance


def site_climate(text):
    said = dict(re.findall(rf"(bio\d\d) ({NUMBER})", block("Climate and height", text)))
    return np.array([float(said["bio05"]), float(said["bio06"]), np.log1p(float(said["bio12"]))])


def test_the_climate_gap_follows_from_the_printed_climates_and_covariance(text):
    names, climates, covariance = populations_of(text)
    apart = site_climate(text) - climates
    square = np.einsum("ij,jk,ik->i", apart, np.linalg.inv(covariance), apart)
    best = int(square.argmin())
    said = re.search(
        rf"best-matching climate: (.+), of (\d+) with a climate; Mahalanobis distance ({NUMBER})", text
    )
    assert (names[best], len(names)) == (said[1], int(said[2]))
    # Six digits of a covariance whose variables go together leave two or three of the distance.
    assert np.sqrt(square[best]) == pytest.approx(float(said[3]), abs=0.004)
    [gap] = re.findall(rf"from 0\.2 to 2\.5, at ({NUMBER})", text)
    assert float(said[3]) / np.sqrt(2) == pytest.approx(float(gap), abs=5e-5)


def test_the_driver_is_the_variable_with_the_largest_share(result):
    text = geo_scout.explain_result(result, RELEASE_SITE)
    names, climates, covariance = populations_of(text)
    [name] = re.findall(r"best-matching climate: (.+), of \d+", text)
    apart = site_climate(text) - climates[names.index(name)]
    share = apart * np.linalg.solve(covariance, apart)
    share /= share.sum()
    assert share.argmax() == 2
    drier = np.expm1(site_climate(text)[2]) - np.expm1(climates[names.index(name), 2])
    assert f"from {name}: the year {-drier:.0f} mm drier; that drives the mismatch" in text
    assert (share[0] < 0) == (f"partly offset by the warmest month {apart[0]:.1f} degC hotter" in text)


def test_the_similarity_is_that_of_elith_and_others(text):
    """MESS (Elith et al. 2010): twice the share of populations below, or above, whichever is less."""
    assert "compared to 0.01 degC and 0.1 mm" in text
    _, climates, _ = populations_of(text)

    def rounded(climate):
        return np.column_stack([climate[:, :2].round(2), np.expm1(climate[:, 2]).round(1)])

    below = 100 * (rounded(climates) < rounded(site_climate(text)[None, :])).mean(axis=0)
    inside = np.where(below <= 50, 2 * below, 2 * (100 - below))
    said = re.search(rf"similarity ({NUMBER}) \(MESS\) by (bio\d\d)", text)
    assert inside.min() == pytest.approx(float(said[1]), abs=0.06)
    assert said[2] == ("bio05", "bio06", "bio12")[int(inside.argmin())]


def test_the_host_around_is_the_sum_of_what_is_listed(text):
    around = block("Around the patch", text)
    scale = float(re.search(rf"exp\(-km / ({NUMBER})\)", around)[1])
    rows = np.array(
        re.findall(rf": ({NUMBER}) ha at ({NUMBER}) km x ({NUMBER}) = ({NUMBER}) ha", around), dtype=float
    )
    assert len(rows) == 8
    # A distance printed to 0.0001 km is 0.00005 km off at most: that over the scale, times the value.
    np.testing.assert_allclose(np.exp(-rows[:, 1] / scale), rows[:, 2], rtol=0.5e-4 / scale, atol=1e-6)
    np.testing.assert_allclose(rows[:, 0] * rows[:, 2], rows[:, 3], atol=2e-4)
    rest, total = (float(re.search(rf"{word}.* ({NUMBER}) ha", around)[1]) for word in ("together", "in all"))
    assert rows[:, 3].sum() + rest == pytest.approx(total, abs=6e-4)
    [measured] = set(re.findall(rf"from 0 to 25, at ({NUMBER})", text))
    assert total == pytest.approx(float(measured), abs=1e-4)


def on_curve(words, at):
    """Return the value of a measure on a printed curve."""
    limits = [float(one) for one in re.findall(NUMBER, words)]
    shape, way = words.split()[:2]
    if shape == "steps":  # "1 below 8, 0.6 from 8, 0.3 from 15": level and limit by turns
        levels, places = [limits[0], *limits[2::2]], limits[3::2]
        return levels[sum(at >= place for place in places)]
    if shape == "s_shaped":
        share = np.clip((at - limits[0]) / (limits[1] - limits[0]), 0, 1)
        up = 2 * share**2 if share < 0.5 else 1 - 2 * (1 - share) ** 2
        return float(up if way == "rising" else 1 - up)
    if shape == "plateau":
        return float(np.interp(at, limits, [0, 1, 1, 0]))
    return float(np.interp(at, limits, [0, 1] if shape == "rising" else [1, 0]))


@pytest.mark.parametrize("role", ["collection source", "release site"])
def test_curves_weights_and_points_give_the_score(text, role):
    part = block(rf"ASHT-Q\d+ as a {role}", text)
    rows = re.findall(
        rf"^    ((?:rising|falling|plateau|s_shaped|steps) .+), at ({NUMBER}): ({NUMBER}) x ({NUMBER}) = ({NUMBER})$",
        part,
        re.MULTILINE,
    )
    assert len(rows) == (5 if role == "collection source" else 12)
    for curve, at, value, weight, points in rows:
        assert on_curve(curve, float(at)) == pytest.approx(float(value), abs=3e-6)
        assert float(value) * float(weight) == pytest.approx(float(points), abs=2e-6)
    assert sum(float(row[3]) for row in rows) == pytest.approx(1, abs=1e-5)
    [score] = numbers("Score ", part)
    assert sum(float(row[4]) for row in rows) == pytest.approx(score, abs=1e-5)


def test_groups_and_shares_inside_them_give_the_weights(text):
    """The judgements of the sample agree so well that the column means give their eigenvector to 1 / 200."""
    part = block(r"ASHT-Q\d+ as a release site", text)
    rows = re.findall(rf"^  (\w+) ({NUMBER}): ((?:\w+ {NUMBER}(?:, )?)+)$", part, re.MULTILINE)
    assert [name for name, _, _ in rows] == ["host", "climate_and_ground", "need", "reach"]
    matrix = np.array([[1, 1, 2, 3], [1, 1, 2, 3], [1 / 2, 1 / 2, 1, 2], [1 / 3, 1 / 3, 1 / 2, 1]])
    expected = (matrix / matrix.sum(axis=0)).mean(axis=1)
    np.testing.assert_allclose([float(weight) for _, weight, _ in rows], expected, atol=5e-3)
    for _, weight, members in rows:
        shares = [float(one) for one in re.findall(rf"\w+ ({NUMBER})", members)]
        assert sum(shares) == pytest.approx(float(weight), abs=3e-6)
    ratio, most, eigenvalue = numbers("judgements: consistency ratio ", part)[:3]
    assert ratio == pytest.approx((eigenvalue - 4) / 3 / 0.90, abs=1e-4)
    assert ratio <= most == 0.10


def test_the_rank_lies_between_the_scores_before_and_after(result):
    for site, role in ((RELEASE_SITE, "release site"), (SOURCE, "collection source")):
        part = block(rf"{site} as a {role}", geo_scout.explain_result(result, site))
        [score] = numbers("Score ", part)
        rank, count = (int(one) for one in re.search(r"Rank (\d+) of (\d+) ranked", part).groups())
        before = re.search(rf"before it \S+ with ({NUMBER})", part)
        after = re.search(rf"after it \S+ with ({NUMBER})", part)
        assert (before is None) == (rank == 1)
        assert (after is None) == (rank == count)
        assert before is None or float(before[1]) >= score
        assert after is None or float(after[1]) <= score


def single_sine(low, high, base):
    """Return a day's heat above a base: a whole sine wave from low to high."""
    middle, half = (low + high) / 2, (high - low) / 2
    if low >= base:
        return middle - base
    if high <= base:
        return 0.0
    angle = np.arcsin((base - middle) / half)
    return ((middle - base) * (np.pi / 2 - angle) + half * np.cos(angle)) / np.pi


def days_of_years(days, base, wanted):
    """Return when a sum is reached in each year, in days after 1 January without 29 February, in a plain loop."""
    found = []
    for year, rows in days.groupby(days.index.year):
        total = 0.0
        for day, low, high in rows.itertuples():
            heat = single_sine(low, high, base)
            if total + heat >= wanted:
                at = (day - pd.Timestamp(year, 1, 1)).days + (wanted - total) / heat
                found.append(at - (at >= 60 and day.is_leap_year))
                break
            total += heat
    return np.array(found)


@pytest.mark.parametrize("use", ["Collecting", "Receptive"])
def test_the_window_follows_from_the_daily_weather(text, daily, use):
    part = text[text.index(f"{use} window") :]
    part = part[: part.index("in 2026 the sum")]
    base = float(re.search(rf"degree-days above ({NUMBER}) degC by single sine, from 01-01", part)[1])
    sums = dict(re.findall(rf"(scout|opens|peaks|closes) ({NUMBER})(?:,|$)", part.splitlines()[1]))
    tmin, tmax = (
        float(re.search(rf"{name} ({NUMBER})[, ]", part.split("from Quillen Ford: ")[1])[1])
        for name in ("tmin", "tmax")
    )
    here = daily.add([tmin, tmax])
    start = dt.date(2027, 1, 1)
    assert len(sums) == (4 if use == "Collecting" else 3)
    for moment, wanted in sums.items():
        *said, middle = numbers(rf"  {moment}: ", part)
        expected = days_of_years(here, base, float(wanted))
        np.testing.assert_allclose(said, expected, atol=0.0051)
        assert middle == pytest.approx(np.median(expected), abs=0.0051)
        date = start + dt.timedelta(days=int(np.median(expected)))
        assert f"{moment} {date}" in part
        if moment == "opens":
            early, late = (start + dt.timedelta(days=int(day)) for day in np.quantile(expected, [0.1, 0.9]))
            assert f"opens in one year of ten by {early}, in nine of ten by {late}" in part


def test_a_calendar_window_is_the_profiles_day_moved_by_height(result):
    """Opens on 28 May at 1000 m, and 3 days later for every 100 m up; fractions of a day are cut off."""
    text = geo_scout.explain_result(result, "BRIN-Q0170")
    part = text[text.index("Collecting window") :]
    days = dict(re.findall(r"(opens|peaks|closes) (\d\d-\d\d)", part.splitlines()[1]))
    at, later = (float(one) for one in re.search(rf"for ({NUMBER}) m, ({NUMBER}) days later", part).groups())
    own = numbers("elevation ", block("Climate and height", text))[0]
    assert set(days) == {"opens", "peaks", "closes"}
    for moment, day in days.items():
        moved = pd.Timestamp(f"2027-{day}") + pd.Timedelta(days=later * (own - at) / 100)
        assert f"{moment} {moved:%Y-%m-%d}" in part


def stated(words, what):
    """Return the best of a chance that is printed after some words; None where they are not there."""
    found = re.search(rf"{words} ({NUMBER})", what)
    return None if found is None else float(found[1])


def test_the_chance_that_the_agent_is_there_is_the_chain_of_its_steps(result):
    redone = set()
    for agent in result.season.agents:
        evidence = result.evidence[agent.name]
        for site_id in sorted({site_id for site_id in evidence.visits["site_id"] if site_id}):
            text = block(f"Is {agent.name} there", geo_scout.explain_result(result, site_id))
            steps = re.findall(
                rf"^  ([-\d]+): (.*) -> ({NUMBER}) \({NUMBER} to {NUMBER}\)$", text, re.MULTILINE
            )
            assert steps, site_id
            chance = arrived = 0.0
            for _, what, printed in steps:
                before = chance
                kind = what.split()[0]
                if kind == "release":
                    chance = max(chance, arrived + (1 - arrived) * stated("prior", what))
                elif "did not find it and" in what:
                    kind = "silent"
                elif "did not find it" in what:
                    kind = "in vain"
                    found = stated("it finds it with", what)
                    chance = chance * (1 - found) / (1 - chance * found)
                    arrived *= chance / before
                elif kind == "visit":
                    found, wrong = stated("it finds it with", what), stated("by mistake with", what)
                    chance = max(chance, stated("it starts from", what) or 0.0)
                    chance = chance * found / (chance * found + (1 - chance) * min(wrong, found))
                elif kind == "lost:":
                    chance = arrived = 0.0
                else:
                    kind = "year"
                    hazard = stated("it arrives with", what) or 0.0
                    stays = stated("stays with", what) or 1.0
                    chance, arrived = (
                        stays * (chance - arrived) * (1 - hazard) + arrived + (1 - arrived) * hazard,
                        arrived + (1 - arrived) * hazard,
                    )
                # Each step is done from the printed chance before it; four digits of each number it uses, and
                # arrivals are carried on.
                assert chance == pytest.approx(float(printed), abs=5e-4), (site_id, what)
                chance = float(printed)
                redone.add(kind)
    assert redone >= {"release", "silent", "in vain", "visit", "lost:", "year"}


@pytest.mark.parametrize("site_id", ["ASHT-Q0023", "BRIN-Q0153"])
def test_the_supply_is_the_newest_catch_aged_and_capped(result, sample_run, site_id):
    """Rate x hours x 2^(-age / halving), over and times widening^age, each at most max_take; releases by size."""
    found = re.search(
        rf"({NUMBER}) per person-hour x ({NUMBER}) h x 2\^\(-({NUMBER}) / ({NUMBER})\) = ({NUMBER}) agents "
        rf"\(({NUMBER}) to ({NUMBER}): over and times ({NUMBER})\^{NUMBER}, each at most ({NUMBER}), max_take\)\n"
        rf"  at ({NUMBER}) a release: ({NUMBER}) releases \(({NUMBER}) to ({NUMBER})\), ({NUMBER}) person-hours",
        geo_scout.explain_result(result, site_id),
    )
    numbers = [float(one) for one in found.groups()]
    rate, hours, age, halving, best, low, high, widening, most, size, *releases, each = numbers
    aged = rate * hours * 2 ** (-age / halving)
    assert best == pytest.approx(min(aged, most), abs=0.06)
    assert low == pytest.approx(min(aged / widening**age, most), abs=0.06)
    assert high == pytest.approx(min(aged * widening**age, most), abs=0.06)
    assert releases == pytest.approx([best / size, low / size, high / size], abs=0.006)
    assert each == pytest.approx(size / (rate * 2 ** (-age / halving)), abs=0.06)
    table = pd.read_csv(sample_run / "sources.csv", encoding="utf-8-sig").set_index("site_id")
    assert table.loc[site_id, ["supply", "supply_low", "supply_high"]].tolist() == pytest.approx(
        [best, low, high], abs=0.6
    )
