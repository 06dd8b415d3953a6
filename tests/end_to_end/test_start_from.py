"""A stranger's folder of unlike files becomes a running season by answering the printed questions only."""

import csv
import hashlib
import json
import re
import runpy
from pathlib import Path

import numpy as np
import pytest
import rasterio
from rasterio.transform import from_origin

import geo_scout as package

pytestmark = pytest.mark.slow
UNLIKE = runpy.run_path(str(Path(__file__).resolve().parents[1] / "unlike_files.py"))
PATCHES, write_unlike_files = UNLIKE["PATCHES"], UNLIKE["write_unlike_files"]
# Ten acres: 10 x 43,560 square feet of 0.3048 m, both exact by definition.
TEN_ACRES_HA = 10 * 43_560 * 0.3048**2 / 10_000
ANSWERS = {
    # question's start: pairs of printed text and what to write for it
    "Does '06/03/2025' in 'SURV_DATE' start with the day": [('"?"', '"%m/%d/%Y"')],
    "Where does a crew start in the morning": [("# ", ""), ("NAME", "Orrin yard"), ("= N", "= {}")],
    "What is the chance that one release of 'Ashthorn stem weevil'": [
        ("# ", ""),
        ("= N", "= 0.5"),
        ("SOURCE", "ours"),
    ],
    "What is the chance that one release of 'Brindlebell leaf beetle'": [
        ("# ", ""),
        ("= N", "= 0.4"),
        ("SOURCE", "ours"),
    ],
}
BASE_DEG = {"base_longitude_deg": "-109.6", "base_latitude_deg": "47.1"}


def digests(folder: Path) -> dict[str, str]:
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in files
    }


def printed_questions(text: str) -> list[dict[str, str]]:
    """Return the questions as a reader sees them: number, need, text, file, lines."""
    found = []
    for part in re.split(r"\n\n(?=\d+\. \()", text)[1:]:
        part = part.split("\n\nWrote ")[0]
        lines = [line[7:] for line in part.splitlines() if line.startswith("       ")]
        words = " ".join(line.strip() for line in part.splitlines() if not line.startswith("       "))
        match = re.fullmatch(r"(\d+)\. \(([a-z ]+)\) (.*) (\S+\.toml) line (\d+), .*", words)
        assert match is not None, words
        found.append(
            dict(zip(("number", "need", "text", "file", "line"), match.groups(), strict=True))
            | {"lines": "\n".join(lines)}
        )
    return found


def answer(line: str, pairs: list[tuple[str, str]]) -> str:
    """Return one printed line answered: each text replaced once, the key's own number for a brace."""
    for old, new in pairs:
        line = line.removeprefix(old) if old == "# " else line.replace(old, new, 1)
    key = line.split(" =")[0]
    return line.replace("{}", BASE_DEG.get(key, ""))


@pytest.fixture
def unlike(tmp_path: Path) -> Path:
    return write_unlike_files(tmp_path / "My files, 2027")


def test_a_folder_of_unlike_files_runs_after_answering_the_needed_questions(geo_scout, unlike, tmp_path):
    before = digests(unlike)
    done = geo_scout("start", "new season", "--from", unlike, cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    folder = tmp_path / "new season"
    questions = printed_questions(done.stdout)
    needed = [question for question in questions if question["need"] == "needed"]
    assert [question["text"].startswith(start) for question, start in zip(needed, ANSWERS, strict=True)] == [
        True
    ] * 4
    assert f"Answer the needed questions first: {', '.join(one['number'] for one in needed)}." in done.stdout

    # Before they are answered the season does not run, and says where it misses what.
    early = geo_scout("run", folder / "season.toml", cwd=tmp_path)
    assert early.returncode == 2
    assert "Traceback" not in early.stderr
    assert all(word in early.stderr for word in ("crews", "prior_share", "date_format"))

    for question, pairs in zip(needed, ANSWERS.values(), strict=True):
        path = folder / question["file"]
        text = path.read_text(encoding="utf-8")
        for line in question["lines"].splitlines():
            assert text.count(line) == 1, line
            text = text.replace(line, answer(line, pairs))
        path.write_text(text, encoding="utf-8", newline="\n")
    ran = geo_scout("run", folder / "season.toml", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    assert digests(unlike) == before

    with (folder / "outputs/release_sites.csv").open(encoding="utf-8-sig", newline="") as stream:
        sites = list(csv.DictReader(stream))
    assert len(sites) == len(PATCHES)
    assert any(site["rank"] == "1" for site in sites)
    by_id = {site["site_id"]: site for site in sites}
    for number, (longitude_deg, latitude_deg, weed, cover_pct, day, permission) in enumerate(PATCHES, 1):
        site = by_id[f"{weed[:4].upper()}-P{number:02d}"]
        # The state plane's scale differs from 1 by up to a few parts in ten thousand.
        assert float(site["gross_ha"]) == pytest.approx(TEN_ACRES_HA, rel=2e-3)
        assert float(site["infested_ha"]) == pytest.approx(TEN_ACRES_HA * cover_pct / 100, rel=2e-3)
        month, day_of_month, year = day.split("/")
        assert site["survey_date"] == f"{year}-{month}-{day_of_month}"
        assert site["permission"] == (permission.lower() or "unknown")
        # The patch's middle lies half of 660 feet from its corner, about 100 m.
        assert float(site["longitude_deg"]) == pytest.approx(longitude_deg, abs=0.004)
        assert float(site["latitude_deg"]) == pytest.approx(latitude_deg, abs=0.003)
    with (folder / "outputs/sources.csv").open(encoding="utf-8-sig", newline="") as stream:
        confirmed = {row["site_id"] for row in csv.DictReader(stream) if row["rank"]}
    assert confirmed == {"ASHT-P01", "BRIN-P05"}


def test_unlike_files_are_recognised_with_their_columns(unlike, tmp_path):
    season_file = package.start(tmp_path / "draft", from_files=[unlike])
    text = season_file.read_text(encoding="utf-8")
    assert re.findall(r"^\[layers\.(\w+)\]$", text, re.MULTILINE) == [
        "infestations", "releases", "visits", "boundaries", "elevation", "tmin", "tmax", "precipitation",
    ]  # fmt: skip
    assert 'path = "../My files, 2027/Weed maps/noxious weeds.shp"\n' in text
    months = [f'"../My files, 2027/klima Ö/tmin_{month:02d}.tif",' for month in range(1, 13)]
    assert re.findall(r'^ +(".*tmin_.*",)$', text, re.MULTILINE) == months
    for line in (
        'columns.cover = "CANOPY_PCT"', 'columns.area = "ACRES"', 'columns.host = "WEED"', 'columns.agent = "Bioagent"',
        'columns.release_id = "REL_NO"', 'columns.latitude_deg = "Latitude"', 'date_format = "%m/%d/%Y"',
        'columns.jurisdiction = "STATE_NAME"', 'units.area = "acre"', 'crs = "EPSG:4326"',
    ):  # fmt: skip
        assert re.search(f"^{re.escape(line)} +#", text, re.MULTILINE), line


def write_weeds(folder: Path) -> None:
    features = [
        {
            "type": "Feature",
            "properties": {"patch": f"Q{number}", "weed": "ashthorn", "canopy": cover, "depth": 5},
            "geometry": {"type": "Polygon", "coordinates": [square(47.0 + number)]},
        }
        for number, cover in ((1, 0.05), (2, 0.4))
    ]
    folder.mkdir()
    (folder / "weeds.geojson").write_text(
        json.dumps({"type": "FeatureCollection", "features": features}), encoding="utf-8"
    )
    (folder / "plan.docx").write_bytes(b"PK")


def square(south: float) -> list[list[float]]:
    return [[-109.6, south], [-109.5, south], [-109.5, south + 0.1], [-109.6, south + 0.1], [-109.6, south]]


FOUND = """\
Your files were only read; nothing was copied or changed. Paths start from the draft's folder.

infestations: ../maps/weeds.geojson (score 0.88)
  polygons, 2 rows; its name says 'weed'; has host; also canopy; EPSG:4326, as the file says
    id = patch  (1.00: the name means 'patch'; every value is different)
    host = weed  (1.00: the name means 'weed'; 1 name, such as 'ashthorn')
    cover = canopy  (1.00: the name means 'canopy'; its cells are numbers from 0.05 to 0.4)
    units.cover = "share"  (numbers from 0.05 to 0.4, with decimals: too low for percent)
    not used: depth

Weeds: ashthorn (2)

Not used
  ../maps/plan.docx: a document cannot be read as a layer.
"""
ASKED = """\
8 questions are open; 4 of them must be answered before the season can run. The answers go into the files in
'draft'.

1. (needed) Where does a crew start in the morning? No file can tell. Repeat the block for each crew.
   season.toml line 52, [[crews]]: take the # away, write the crew's name for NAME and degrees for N (west
   and south are negative).
       # name = "NAME"                           # question 1
       # base_longitude_deg = N                  # question 1
       # base_latitude_deg = N                   # question 1

2. (needed) Which agent is this season for? No file names one. Copy this profile for each further agent.
   agents/agent.toml line 7, at the top: take the # away and write the agent's name for NAME.
       # name = "NAME"                           # question 2

3. (needed) Which weed does this agent live on? Write its name as the infestations do.
   agents/agent.toml line 9, at the top: take the # away and write ashthorn for WEED.
       # host = "WEED"                           # question 3

4. (needed) What is the chance that one release of this agent establishes, from 0 to 1, before any visit?
   The profile cannot be used without it. Take it from your own records or the literature.
   agents/agent.toml line 14, at the top: take the # away, write your number for N and where it comes from
   for SOURCE.
       # establishment.prior_share = {value = N, source = "SOURCE"}  # question 4

5. (may stay open) What else is known of this agent? A line that stays a comment leaves something off:
   without years_to_confirm every find confirms a population, without years_to_harvest no source is too
   young, without first_detectable_years a visit counts from the first day on, without persistence_share a
   population stays for good, without km_per_yr and max_spread_km no spread is counted, without
   largest_gap_km it crosses what max_spread_km says, without number_per_release no source fills any.
   agents/agent.toml line 21, at the top: take the # away where you know a value, write it for N and where
   it comes from for SOURCE.
       # establishment.years_to_confirm = {value = N, source = "SOURCE"}  # question 5
       # establishment.years_to_harvest = {value = N, source = "SOURCE"}  # question 5
       # establishment.first_detectable_years = {value = N, source = "SOURCE"}  # question 5
       # establishment.persistence_share = {value = N, source = "SOURCE"}  # question 5
       # spread.km_per_yr = {value = N, source = "SOURCE"}  # question 5
       # spread.max_spread_km = {value = N, source = "SOURCE"}  # question 5
       # spread.largest_gap_km = {value = N, source = "SOURCE"}  # question 5
       # release.number_per_release = {value = N, source = "SOURCE"}  # question 5

6. (may stay open) What can a source of this agent yield? Without hours_on_site (person-hours at one
   source), max_take (most you allow to be taken), halving_years (after which a catch counts half) and
   widening_per_yr (how much less sure it is with each year) the supply is unknown.
   agents/agent.toml line 33, at the top: take the # away where you know a value, write it for N and where
   it comes from for SOURCE.
       # collecting.hours_on_site = {value = N, source = "SOURCE"}  # question 6
       # collecting.max_take = {value = N, source = "SOURCE"}  # question 6
       # collecting.halving_years = {value = N, source = "SOURCE"}  # question 6
       # collecting.widening_per_yr = {value = N, source = "SOURCE"}  # question 6

7. (may stay open) What can be seen of this agent, when, and how often does a visit find it where it lives?
   Without a sign a visit that found nothing changes no chance. Repeat the block for each stage or damage;
   found_share is meant for effort_hours of looking, never the share of releases found again.
   agents/agent.toml line 41, at the top: take the # away and write each value; the methods as the visits
   write them.
       # [[signs]]                               # question 7
       # name = "WHAT TO LOOK FOR"               # question 7
       # methods = ["METHOD"]                    # question 7
       # first_day = "MM-DD"                     # question 7
       # last_day = "MM-DD"                      # question 7
       # found_share = {value = N, low = N, high = N, source = "SOURCE"}  # question 7
       # effort_hours = N                        # question 7
       # wrong_share = N                         # question 7

8. (may stay open) What does the law say of releasing or moving this agent? Until you say so, every output
   prints STOP AND ASK.
   agents/agent.toml line 52, at the top: take the # away, write allowed, permit, forbidden, moratorium or
   unknown for each ?, who says so, and the day you looked it up.
       # [[legal_status]]                        # question 8
       # jurisdiction = "NAME"                   # question 8
       # status = "?"                            # question 8
       # authority = "WHO SAYS SO"               # question 8
       # checked_on = YYYY-MM-DD                 # question 8
"""
WROTE = """
Wrote draft/season.toml. Answer the needed questions first: 1, 2, 3, 4.
Then: geo-scout check draft/season.toml
"""


def test_the_output_of_a_small_folder_whole(geo_scout, tmp_path):
    write_weeds(tmp_path / "maps")
    done = geo_scout("start", "draft", "--from", "maps", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    found, rest = done.stdout.split(
        "\nWhat check says so far, with stand-ins for the answers that are open\n"
    )
    checked, asked = rest.split("\n\n8 questions")
    assert found == FOUND
    assert "no survey date is known for 2 infestations (Q1, Q2);" in checked
    assert f"8 questions{asked}" == ASKED + WROTE
    assert (tmp_path / "draft/draft_notes.txt").read_text(encoding="utf-8") == f"{FOUND}\n{ASKED}"
    for part in ASKED.split("\n\n")[1:]:
        # Each line stands where the question says.
        file, line = re.search(r"(\S+\.toml) line (\d+)", part.replace("\n   ", " ")).groups()
        lines = (tmp_path / "draft" / file).read_text(encoding="utf-8").splitlines()
        shown = [text[7:] for text in part.splitlines() if text.startswith("       ")]
        assert lines[int(line) - 1 :][: len(shown)] == shown


WEATHER_ROWS = "Station,Long,Lat,Elev,Day,Low,High\n" + "".join(
    f"Ford,-109.52,47.11,1000,2024-07-{day:02d},{48 + day},{80 + day}\n" for day in range(1, 29)
)
NORMAL_ROWS = "month,tmin_c,tmax_c\n" + "".join(
    f"{month},{month - 9},{month + 9}\n" for month in range(1, 13)
)


def test_weather_and_climate_are_drafted_and_what_they_do_not_say_is_asked(geo_scout, tmp_path):
    maps = tmp_path / "maps"
    write_weeds(maps)
    (maps / "ford.csv").write_text(WEATHER_ROWS, encoding="utf-8")
    (maps / "normals 1991-2020.csv").write_text(NORMAL_ROWS, encoding="utf-8")
    with rasterio.open(
        maps / "extremes.tif", "w", driver="GTiff", dtype="float32", count=2, height=3, width=3, crs="EPSG:4326",
        transform=from_origin(-109.7, 49.5, 0.3, 1.0),
    ) as file:  # fmt: skip
        file.write(np.stack([np.full((3, 3), -38.5), np.full((3, 3), 37.0)]).astype("float32"))
    done = geo_scout("start", "draft", "--from", "maps", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    path = tmp_path / "draft/season.toml"
    text = path.read_text(encoding="utf-8")
    assert re.findall(r"^\[layers\.(\w+)\]$", text, re.MULTILINE) == [
        "infestations", "extremes", "weather", "station_normals",
    ]  # fmt: skip
    for line in ('columns.date = "Day"', 'columns.elevation_m = "Elev"', 'period = "1991-2020"'):
        assert re.search(f"^{re.escape(line)} +#", text, re.MULTILINE), line
    asked = {one["lines"].split("  #")[0].rstrip(): one for one in printed_questions(done.stdout)}
    bands = 'bands = ["?", "?"]'
    assert (asked[bands]["need"], asked['units.temperature = "?"']["need"]) == ("needed", "needed")
    assert "lowest temperature of the year or the highest" in asked[bands]["text"]
    assert asked['units.temperature = "degc"']["need"] == "to confirm"

    pairs = [
        (bands, 'bands = ["annual_extreme_min_degc", "annual_extreme_max_degc"]'),
        ('units.temperature = "?"', 'units.temperature = "degf"'),
        *((f"# {key} = ", f"{key} = ") for key in ("name", *BASE_DEG)),
        *((f"{key} = N", f"{key} = {number}") for key, number in BASE_DEG.items()),
    ]
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8", newline="\n")
    profile = tmp_path / "draft/agents/agent.toml"
    answered = profile.read_text(encoding="utf-8")
    for old, new in (('# name = "NAME"', 'name = "weevil"'), ('# host = "WEED"', 'host = "ashthorn"'),
                     ("# establishment.prior_share = {value = N,", "establishment.prior_share = {value = 0.5,")):  # fmt: skip
        assert answered.count(old) == 1, old
        answered = answered.replace(old, new)
    profile.write_text(answered, encoding="utf-8", newline="\n")
    checked = geo_scout("check", "draft/season.toml", cwd=tmp_path)
    assert (checked.returncode, checked.stderr) == (0, "")


LISTED = """\
Ref;Weed;Lat;Long;Q7;%Cover;Date seen;Tenant
P1;ashthorn;47,10;-109,60;2,5;12,5;45000;Lowe
P2;ashthorn;47,12;-109,62;10;40;45031;Council
P3;ashthorn;47,14;-109,64;1;80;45000;Lowe
"""
WAYPOINTS = """\
<?xml version='1.0'?><gpx version='1.1' creator='x' xmlns='http://www.topografix.com/GPX/1/1'>
<wpt lat='47.1' lon='-109.6'><time>2015-11-01T02:00:00Z</time><name>REL00</name><desc>200</desc></wpt></gpx>
"""
SEEN = """\
<?xml version='1.0' encoding='UTF-8'?><kml xmlns='http://www.opengis.net/kml/2.2'><Document>{}</Document></kml>
"""
MARK = (
    "<Placemark><name>VIS{0}</name><ExtendedData><Data name='agent'><value>weevil</value></Data><Data name='date'>"
    "<value>2026-02-1{0}</value></Data><Data name='found'><value>{1}</value></Data></ExtendedData>"
    "<Point><coordinates>-109.6{0},47.1{0},0</coordinates></Point></Placemark>"
)


def test_columns_under_odd_names_are_asked_about_and_the_answers_count(geo_scout, tmp_path):
    maps = tmp_path / "maps"
    maps.mkdir()
    (maps / "sites.csv").write_text(LISTED, encoding="cp1252")
    (maps / "releases.gpx").write_text(WAYPOINTS, encoding="utf-8")
    marks = "".join(MARK.format(number, word) for number, word in enumerate(("yes", "no")))
    (maps / "visits.kml").write_text(SEEN.format(marks), encoding="utf-8")
    done = geo_scout("start", "draft", "--from", "maps", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    plain = " ".join(done.stdout.split())
    assert "it looks most like releases ('name' as release_id, 'time' as date), but lacks agent" in plain
    assert "visit_id = Name" in plain
    assert "state none" not in plain
    answers = {
        '# columns.area = "Q7"': 'columns.area = "Q7"',
        '# units.area = "?"': 'units.area = "acre"',
        "# point_area_ha = N": "point_area_ha = 0.1",
        '# name = "NAME"': 'name = "yard"',
        '# establishment.prior_share = {value = N, source = "SOURCE"}': "establishment.prior_share = 0.5",
    } | {f"# {key} = N": f"{key} = {number}" for key, number in BASE_DEG.items()}
    for question in printed_questions(done.stdout):
        path = tmp_path / "draft" / question["file"]
        text = path.read_text(encoding="utf-8")
        for line in question["lines"].splitlines():
            text = text.replace(line, answers.pop(line.split("  #")[0].rstrip(), line))
        path.write_text(text, encoding="utf-8", newline="\n")
    assert answers == {}
    ran = geo_scout("run", "draft/season.toml", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    with (tmp_path / "draft/outputs/release_sites.csv").open(encoding="utf-8-sig", newline="") as stream:
        sites = {row["site_id"]: row for row in csv.DictReader(stream)}
    # An acre is 43,560 square feet of 0.3048 m; 45,000 is 2023-03-15, and 31 days later is 15 April.
    expected = {"P1": (2.5, 0.125, "2023-03-15"), "P2": (10, 0.4, "2023-04-15"), "P3": (1, 0.8, "2023-03-15")}
    for name, (acres, cover, day) in expected.items():
        site = sites[f"ASHT-{name}"]
        assert float(site["infested_ha"]) == pytest.approx(acres * cover * TEN_ACRES_HA / 10, abs=6e-5), name
        assert site["survey_date"] == day
    assert sites["ASHT-P1"]["manager"] == "Lowe"


def test_nothing_is_ever_overwritten(geo_scout, unlike, tmp_path):
    (tmp_path / "draft").mkdir()
    (tmp_path / "draft/season.toml").write_bytes(b"mine")
    done = geo_scout("start", "draft", "--from", unlike, cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        "error: draft/season.toml\n"
        "  there is a file with this name already. Nothing was written.\n"
        "  Fix: choose a new folder; geo-scout never overwrites.\n"
    )
    assert digests(tmp_path / "draft") == {"season.toml": hashlib.sha256(b"mine").hexdigest()}


def test_a_name_that_leads_nowhere_is_said_before_anything_is_read(geo_scout, unlike, tmp_path):
    done = geo_scout(
        "start", "draft", "--from", "My files, 2027/monitering.gpkg", "nothing here", cwd=tmp_path
    )
    assert done.returncode == 2
    assert done.stderr == (
        "error: --from\n"
        "  there is no file 'My files, 2027/monitering.gpkg'.\n"
        "  Fix: did you mean 'My files, 2027/monitoring.gpkg'?\n"
        "error: --from\n"
        "  there is no file 'nothing here'.\n"
        "  Fix: check the name.\n"
    )
    assert not (tmp_path / "draft").exists()


def test_files_without_a_layer_among_them_give_words_and_no_draft(geo_scout, tmp_path):
    (tmp_path / "odd").mkdir()
    (tmp_path / "odd/noise.gpkg").write_bytes(bytes(range(256)) * 10)
    (tmp_path / "odd/empty.shp").touch()
    done = geo_scout("start", "draft", "--from", "odd", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        "error: --from\n"
        "  no file was recognised as a layer, so nothing was written.\n"
        "  ../odd/noise.gpkg: it is no map, table or raster that can be read, or it is damaged.\n"
        "  ../odd/empty.shp: the file is empty.\n"
        "  Fix: give the files or the folder with your weed map, releases, visits and rasters.\n"
    )
    assert not (tmp_path / "draft").exists()


def test_layers_without_the_option_are_not_taken_for_anything(geo_scout, tmp_path):
    done = geo_scout("start", "draft", "weeds.shp", cwd=tmp_path)
    assert done.returncode == 2
    assert "write --from before your layers: geo-scout start draft --from weeds.shp" in done.stderr
    assert not (tmp_path / "draft").exists()


def test_the_sample_runs_from_its_bare_files(geo_scout, sample_season, tmp_path):
    """Its own layers, recognised and answered, rank the same patches as the sample's season file."""
    sample = sample_season.parent
    done = geo_scout(
        "start",
        "draft",
        "--from",
        *(sample / name for name in ("layers", "rasters", "weather")),
        cwd=tmp_path,
    )
    assert done.returncode == 0
    for question in printed_questions(done.stdout):
        path = tmp_path / "draft" / question["file"]
        text = path.read_text(encoding="utf-8")
        for line in question["lines"].splitlines():
            assert text.count(line) == 1 or "legal_status" in question["lines"], line
            if question["need"] == "needed" or "point_area_ha" in line:
                pairs = [("# ", ""), ("NAME", "yard"), ("= N", "= {}"), ('"?"', '"ha"')]
                if "point_area_ha" in line:
                    pairs = [("# ", ""), ("= N", "= 0.05")]
                if "prior_share" in line:
                    pairs = [("# ", ""), ("= N", "= 0.6"), ("SOURCE", "ours")]
                text = text.replace(line, answer(line, pairs))
        path.write_text(text, encoding="utf-8", newline="\n")
    ran = geo_scout("run", "draft/season.toml", cwd=tmp_path)
    assert ran.returncode == 0, ran.stderr
    with (tmp_path / "draft/outputs/release_sites.csv").open(encoding="utf-8-sig", newline="") as stream:
        drafted = {row["site_id"]: row for row in csv.DictReader(stream)}
    ours = {row["site_id"]: row for row in _release_sites(package.run(sample_season, write=False))}
    # Both use the default join_m of 100 m, so the same patches come out, with the same ground.
    assert set(drafted) == set(ours)
    for site_id, row in drafted.items():
        assert float(row["gross_ha"]) == pytest.approx(ours[site_id]["gross_ha"], abs=0.06), site_id


def _release_sites(result):
    frames = [result.frame(agent.name, "release") for agent in result.season.agents]
    return [row for frame in frames for row in frame.to_dict("records")]


RELEASES_TO_JOIN = """\
release_id,agent,date,number,lon,lat
R1,stem weevil,2022-06-10,200,-109.55,48.05
R2,stem weevil,2022-06-11,150,-109.55,49.05
R3,stem-weevil,2022-06-12,200,-109.52,48.02
"""
# 0.0004 degrees of latitude are 44 m, within 30 m and 30 m.
VISITS_TO_JOIN = """\
agent,eventDate,result,samplingEffort,how many,lon,lat
stem weevil,2023-06-20/2023-06-21,found,90 min,12,-109.55,48.0504
stem weevil,2023-06-22,not found,1.5 person hours,0,-109.55,49.05
stem weevill,2023-06-23,found,2 h,12,-109.55,49.051
"""


def test_records_with_near_names_and_without_ids_get_one_profile_and_a_distance(geo_scout, tmp_path):
    maps = tmp_path / "maps"
    write_weeds(maps)
    (maps / "releases.csv").write_text(RELEASES_TO_JOIN, encoding="utf-8")
    (maps / "visits.csv").write_text(VISITS_TO_JOIN, encoding="utf-8")
    done = geo_scout("start", "draft", "--from", "maps", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert [path.name for path in (tmp_path / "draft/agents").iterdir()] == ["stem_weevil.toml"]
    asked = " ".join(done.stdout.split())
    assert (
        "(to confirm) Are these one agent, and which spelling is right: 'stem weevil' (4 rows), 'stem weevill' "
        "(1 row) and 'stem-weevil' (1 row)?"
    ) in asked
    assert "(may stay open) Are visits to be joined to releases by place? 2 visits name no release" in asked
    text = (tmp_path / "draft/season.toml").read_text(encoding="utf-8")
    assert re.search(r"^# link_m = 50 +# question \d+$", text, re.MULTILINE)
    assert re.search(r'^columns.effort_hours = "samplingEffort"', text, re.MULTILINE)
    visits = text[text.index("[layers.visits]") :]
    assert not re.search(r'^columns.(visit_id|release_id) = "how many"', visits, re.MULTILINE)
    assert "no visit has a visit_id, so each is called by its row: row 2, row 3, row 4." in asked
    assert "date is an interval in 1 row (row 2), such as 2023-06-20/2023-06-21" in asked
