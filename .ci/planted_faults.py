"""Plants one fault at a time in a copy of the package; each must break a test that watches it.

python .ci/planted_faults.py [word in the fault's name]
"""

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import SimpleQueue
from typing import TypeVar

ROOT = Path(__file__).resolve().parents[1]
AT_ONCE = 2
Outcome = TypeVar("Outcome")


@dataclass(frozen=True)
class Fault:
    """One line of the package made wrong, and the tests that must notice."""

    name: str
    file: str
    right: str
    wrong: str
    tests: str


FAULTS = (
    Fault(
        "east and north swapped in a distance",
        "formulas/geodesy.py",
        "_WGS84.inv(start1, start2, end1, end2)",
        "_WGS84.inv(start2, start1, end2, end1)",
        "tests/published/test_geodesic_distance.py",
    ),
    Fault(
        "feet read as metres",
        "layers/rasters/bands.py",
        "M_PER_FT = 0.3048",
        "M_PER_FT = 1.0",
        "tests/unit/layers",
    ),
    Fault(
        "acres as square feet",
        "layers/cells/units.py",
        '"acre": 4046.8564224',
        '"acre": 43560.0',
        "tests/unit/layers",
    ),
    Fault(
        "missing cells read as zero",
        "model/layers.py",
        "np.where(missing | ~np.isfinite(quantity), np.nan, quantity)",
        "np.where(missing | ~np.isfinite(quantity), 0.0, quantity)",
        "tests/published/test_zonal_means.py",
    ),
    Fault(
        "a degree of longitude as long as one of latitude",
        "formulas/terrain_ground.py",
        "column[0] * east_m",
        "column[0] * north_m",
        "tests/unit/zones/test_terrain.py",
    ),
    Fault(
        "aspects from grid north",
        "formulas/terrain_ground.py",
        "- per_row * steps.column_north_m",
        "- 0.0 * steps.column_north_m",
        "tests/unit/zones/test_terrain.py",
    ),
    Fault(
        "the southern heat load folded as the northern",
        "formulas/terrain_heat_load.py",
        "np.where(latitude < 0, WARMEST_SOUTH_DEG",
        "np.where(latitude < 0, WARMEST_NORTH_DEG",
        "tests/unit/formulas/test_terrain_heat_load.py",
    ),
    Fault(
        "ground beyond the raster at height zero",
        "zones/halo_blocks.py",
        "values = np.full((rows[1] - rows[0], columns[1] - columns[0]), np.nan)",
        "values = np.zeros((rows[1] - rows[0], columns[1] - columns[0]))",
        "tests/unit/zones/test_terrain.py",
    ),
    Fault(
        "a falling curve reversed",
        "formulas/value_curves.py",
        "return rising(-np.asarray(measure, dtype=np.float64), -end, -full)",
        "return rising(np.asarray(measure, dtype=np.float64), full, end)",
        "tests/unit/formulas/test_value_curves.py",
    ),
    Fault(
        "a refusal no longer excludes",
        "exclusions/menu.py",
        "    exclude_refused,\n",
        "",
        "tests/unit/exclusions",
    ),
    Fault(
        "the ideal is taken from sites left out as well",
        "ranking/combine.py",
        "score[may_rank] = ideal_closeness(values[may_rank], weights)",
        "score[may_rank] = ideal_closeness(values, weights)[may_rank]",
        "tests/unit/ranking",
    ),
    Fault(
        "an order of importance upside down",
        "ranking/weigh.py",
        "place_of |= dict.fromkeys(together, place)",
        "place_of |= dict.fromkeys(together, -place)",
        "tests/unit/ranking",
    ),
    Fault(
        "a falling S that rises",
        "model/criteria.py",
        "return found[::-1] if falls else found",
        "return found",
        "tests/unit/ranking",
    ),
    Fault(
        "what was not measured counts its best",
        "ranking/score.py",
        "np.nan_to_num(lowest, nan=0.0)",
        "np.nan_to_num(highest, nan=1.0)",
        "tests/unit/ranking",
    ),
    Fault(
        "a find in the first year confirms",
        "evidence/populations.py",
        " & is_late_enough",
        "",
        "tests/unit/evidence/test_populations.py",
    ),
    Fault(
        "the older survey wins",
        "sites/current.py",
        "newer = taker_day[winner] > day[loser]",
        "newer = taker_day[winner] < day[loser]",
        "tests/unit/sites",
    ),
    Fault(
        "the climate gap of one place, not of two",
        "formulas/climate_match.py",
        "dtype=np.float64) / np.sqrt(2.0))",
        "dtype=np.float64) / 1.0)",
        "tests/published/test_climate_gap.py",
    ),
    Fault(
        "climate: sigma of one variable too many",
        "formulas/sigma_dissimilarity.py",
        "gammainc(dimensions / 2,",
        "gammainc((dimensions + 1) / 2,",
        "tests/published/test_sigma_dissimilarity.py",
    ),
    Fault(
        "climate: novelty that counts equal values as smaller",
        "formulas/novelty.py",
        'side="left"',
        'side="right"',
        "tests/published/test_novelty.py",
    ),
    Fault(
        "climate: minima that fall with height as maxima do",
        "formulas/elevation_correction.py",
        "for rate in (rates.tmin_degc_per_km, rates.tmax_degc_per_km)",
        "for rate in (rates.tmax_degc_per_km, rates.tmax_degc_per_km)",
        "tests/unit/zones/test_downscale.py",
    ),
    Fault(
        "timing: the heat of the mean day for the mean heat of days",
        "formulas/degree_days/normals.py",
        "low, high = tmin + node * of_day, tmax + node * of_day",
        "low, high = tmin + 0 * node, tmax + 0 * node",
        "tests/published/test_normals_route.py",
    ),
    Fault(
        "timing: an intermediate cutoff that falls below the vertical one",
        "formulas/degree_days/daily.py",
        "else np.maximum(heat - over, vertical)",
        "else np.maximum(heat - over, 0.0)",
        "tests/published/test_degree_day_reference.py",
    ),
    Fault(
        "a formula reaches the spreadsheet",
        "outputs/csv_tables.py",
        'FORMULA_STARTS = frozenset("=+-@\\t\\r\\n")',
        'FORMULA_STARTS = frozenset("@")',
        "tests/unit/outputs/test_csv_tables.py",
    ),
    Fault(
        "text reaches the page as markup",
        "outputs/map/static/text.js",
        "    node.append(...children.filter((child) => child !== null && child !== undefined));",
        "    for (const child of children) {"
        " if (typeof child === 'string') node.insertAdjacentHTML('beforeend', child);"
        " else if (child) node.append(child); }",
        "tests/browser/test_hostile_text.py::test_all_of_them_in_one_season",
    ),
    Fault(
        "no year wears down a population",
        "formulas/presence.py",
        "stays = alone * np.asarray(persistence, dtype=np.float64) * (1.0 - comes)",
        "stays = alone * (1.0 - comes)",
        "tests/published/test_presence.py",
    ),
    Fault(
        "a visit in vain forgets what was known before",
        "formulas/presence.py",
        "rest = 1.0 - before * seen",
        "rest = 1.0 - seen",
        "tests/published/test_presence.py",
    ),
    Fault(
        "a visit out of season counts",
        "evidence/signs.py",
        "(too_young | misdated | ~seen_then)] = 0.0",
        "too_young] = 0.0",
        "tests/properties/test_presence.py",
    ),
    Fault(
        "a position less sure narrows the range",
        "evidence/arrivals.py",
        "doubt_km = (1 - level)",
        "doubt_km = (level - 1)",
        "tests/properties/test_presence.py",
    ),
    Fault(
        "a lost population keeps release sites out",
        "evidence/records.py",
        'populations[~populations["is_lost"]].reset_index',
        "populations.reset_index",
        "tests/unit/evidence/test_states.py",
    ),
    Fault(
        "an old catch grows",
        "formulas/supply.py",
        "np.exp2(-age / halving_years)",
        "np.exp2(age / halving_years)",
        "tests/published/test_supply.py",
    ),
    Fault(
        "a visit displaces the wrong site",
        "planning/choosing.py",
        "hurdle = np.where(sites.unseen[:, np.newaxis] >= inner, outer, inner)",
        "hurdle = np.where(sites.unseen[:, np.newaxis] >= inner, inner, outer)",
        "tests/published/test_visit_value.py",
    ),
    Fault(
        "scouts are sent where permission was refused",
        "planning/candidates.py",
        '"permission-refused", "land-forbidden"',
        '"land-forbidden"',
        "tests/unit/planning/test_scouting_lists.py",
    ),
    Fault(
        "visits that say nothing count as revisits",
        "evidence/rates.py",
        "could_be_seen = found | ~(found_share == 0)",
        "could_be_seen = found | np.isfinite(found_share)",
        "tests/unit/evidence/test_rates.py",
    ),
    Fault(
        "a backtest that sees surveys made after the release",
        "layers/hindsight.py",
        'np.asarray(dates.to_numpy().astype("datetime64[D]") <= day, dtype=bool)',
        'np.asarray(dates.to_numpy().astype("datetime64[D]") <= day + 400, dtype=bool)',
        "tests/properties/test_backtest.py",
    ),
    Fault(
        "a backtest that sees the release it asks about",
        "layers/hindsight.py",
        'np.asarray(dates.to_numpy().astype("datetime64[D]") < day, dtype=bool)',
        'np.asarray(dates.to_numpy().astype("datetime64[D]") <= day, dtype=bool)',
        "tests/unit/layers/test_hindsight.py",
    ),
    Fault(
        "a visit that could have missed the agent counts as failure",
        "evidence/release_outcomes.py",
        'telling["missed_share"].to_numpy() <= MISSED_AT_MOST_SHARE',
        'telling["missed_share"].to_numpy() < 1.0',
        "tests/unit/evidence/test_release_outcomes.py",
    ),
    Fault(
        "a chance fitted on the releases it is for",
        "learning/splits.py",
        "chance[out] = fit(value[~out], outcome[~out], value[out])",
        "chance[out] = fit(value, outcome, value[out])",
        "tests/unit/learning/test_splits.py",
    ),
)


def passes(tests: str, copy: Path) -> bool:
    """Return whether the tests pass in the copy."""
    options = "-q -x -n 0 -p no:cacheprovider --hypothesis-profile unshrunk"
    done = subprocess.run(
        # Without the marks of pyproject.toml, which leave slow tests out.
        [sys.executable, "-m", "pytest", *options.split(), "-m", "", *tests.split()],
        cwd=copy,
        env=os.environ | {"PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode not in (0, 1):
        message = f"the tests did not run: {tests}\n{done.stdout}{done.stderr}"
        raise SystemExit(message)
    return done.returncode == 0


def breaks(fault: Fault, copy: Path) -> bool:
    """Return whether the tests fail with the fault planted."""
    path = copy / "geo_scout" / fault.file
    source = path.read_text(encoding="utf-8")
    if source.count(fault.right) != 1:
        message = (
            f"{fault.name}: {fault.file} holds the right line {source.count(fault.right)} times, not once"
        )
        raise SystemExit(message)
    path.write_text(source.replace(fault.right, fault.wrong), encoding="utf-8")
    try:
        return not passes(fault.tests, copy)
    finally:
        path.write_text(source, encoding="utf-8")


def copy_project(copy: Path) -> Path:
    """Copy what the tests need into a folder of its own."""
    for name in ("geo_scout", "tests", "sample_layers"):
        shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__", "outputs.*"))
    for name in ("pyproject.toml", "README.md", "DEVELOPERS.md"):
        shutil.copy(ROOT / name, copy / name)
    return copy


def in_a_copy(work: Callable[[Path], Outcome], copies: SimpleQueue[Path]) -> Outcome:
    """Do a piece of work in a copy that nobody else uses."""
    copy = copies.get()
    try:
        return work(copy)
    finally:
        copies.put(copy)


def main() -> None:
    """Plant every fault, two at a time in copies of their own, and say which were noticed."""
    wanted = " ".join(sys.argv[1:])
    chosen = [fault for fault in FAULTS if wanted in fault.name]
    every = sorted({fault.tests for fault in chosen})
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(AT_ONCE) as pool:
        copies: SimpleQueue[Path] = SimpleQueue()
        for number in range(AT_ONCE):
            copies.put(copy_project(Path(folder) / str(number)))
        whole = pool.map(lambda tests: in_a_copy(lambda copy: passes(tests, copy), copies), every)
        for tests, passed in zip(every, whole, strict=True):
            if not passed:
                message = f"{tests} fails with no fault planted"
                raise SystemExit(message)
        noticed = pool.map(lambda fault: in_a_copy(lambda copy: breaks(fault, copy), copies), chosen)
        missed = []
        for fault, is_noticed in zip(chosen, noticed, strict=True):
            print(f"{'noticed' if is_noticed else 'MISSED '}  {fault.name}", flush=True)
            missed += [] if is_noticed else [fault.name]
    if missed:
        message = f"{len(missed)} planted faults broke no test"
        raise SystemExit(message)


if __name__ == "__main__":
    main()
