import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geo_scout.errors import InputMistakes
from geo_scout.model.draft import (
    ColumnGuess,
    FoundColumn,
    FoundRaster,
    FoundVector,
    Inspection,
    LayerGuess,
    NameGuess,
    SettingGuess,
    Unused,
)
from geo_scout.season import read_season
from geo_scout.season.draft import (
    compose_draft,
    refuse_before_reading,
    refuse_nothing_found,
    unanswered_season,
    write_draft,
)

TEXT = st.text(st.characters(exclude_categories=["Cs"]), min_size=1)


def column(name: str, *values: str) -> FoundColumn:
    counts = {value: values.count(value) for value in values}
    return FoundColumn(name, values, counts, 0.0, 0.0, 0.0, is_whole=False)


def weeds(
    path: Path, host: str = "WEED", evidence: str = "the name means 'weed'", **more: object
) -> LayerGuess:
    vector = FoundVector(
        path, "", "polygons", 2, "EPSG:32612", None, (column(host, "ashthorn"), column("EXTRA"))
    )
    columns = (ColumnGuess("host", host, 0.9, evidence),)
    return LayerGuess("infestations", 0.8, (evidence,), vector=vector, columns=columns, **more)  # type: ignore[arg-type]


def found(*layers: LayerGuess, **more: object) -> Inspection:
    return Inspection(layers, (), hosts=(NameGuess("ashthorn", 2),), **more)  # type: ignore[arg-type]


def test_the_draft_says_what_was_guessed_and_why(tmp_path: Path) -> None:
    unit = SettingGuess("units.cover", "percent", "the name says percent")
    draft = compose_draft(found(weeds(tmp_path / "maps/weeds.shp", settings=(unit,))), tmp_path / "draft")
    assert (
        "[layers.infestations]\n"
        "# Recognised with a score of 0.80: the name means 'weed'.\n"
        'path = "../maps/weeds.shp"\n'
        "# Coordinate reference system: EPSG:32612, as the file says.\n"
        "columns.host = \"WEED\"                     # 0.90: the name means 'weed'\n"
        "# Not used: EXTRA.\n"
        'units.cover = "percent"                   # guessed: the name says percent\n'
    ) in draft.texts["season.toml"]


def test_open_blanks_never_pass_for_an_answer(tmp_path: Path) -> None:
    """A draft that nobody answered cannot be run: each needed question shows up among the mistakes."""
    (tmp_path / "weeds.shp").touch()
    settings = (
        SettingGuess("units.cover", "?", "", "Which unit?", ("percent", "share"), is_needed=True),
        SettingGuess("date_format", "?", "", "Day first?", ("%d/%m/%Y (day first)",), is_needed=True),
        SettingGuess("crs", "?", "", "Which system?", (), is_needed=True),
    )
    draft = compose_draft(found(weeds(tmp_path / "weeds.shp", settings=settings)), tmp_path / "draft")
    path = write_draft(draft, tmp_path / "draft")
    with pytest.raises(InputMistakes) as raised:
        read_season(path)
    keys = {mistake.key for mistake in raised.value.mistakes}  # type: ignore[attr-defined]
    assert {
        "layers.infestations.units.cover",
        "layers.infestations.date_format",
        "layers.infestations.crs",
    } <= keys
    assert {"crews[1].name", "crews[1].base_longitude_deg", "[establishment]", "name", "host"} <= keys


def test_stand_ins_let_the_layers_be_looked_at_and_make_up_no_unit(tmp_path: Path) -> None:
    settings = (
        SettingGuess("units.cover", "?", "", "Which unit?", ("share",), is_needed=True),
        SettingGuess("date_format", "?", "", "Day first?", ("%d/%m/%Y (day first)",), is_needed=True),
        SettingGuess("columns.cover", "?", "", "Which column?", ("A", "B"), is_needed=True),
        SettingGuess("point_area_ha", None, "", "How large?"),
    )
    draft = compose_draft(
        found(weeds(tmp_path / "weeds.shp", settings=settings), middle_deg=(-109.5, 47.1)), tmp_path
    )
    season = unanswered_season(draft, tmp_path)
    assert season is not None
    table = season.settings.layers.infestations
    assert (table.units, table.date_format, table.columns, table.point_area_ha) == (
        {},
        "%d/%m/%Y",
        {"host": "WEED"},
        None,
    )
    assert season.settings.crews[0].base_longitude_deg == -109.5
    assert [agent.host for agent in season.agents] == ["ashthorn"]


def test_stand_ins_stand_nowhere_in_what_is_written(tmp_path: Path) -> None:
    draft = compose_draft(found(weeds(tmp_path / "weeds.shp")), tmp_path)
    assert not any("stand-in" in text or "prior_share = 0.5" in text for text in draft.texts.values())


def test_without_infestations_their_file_is_asked_for_and_nothing_is_looked_at(tmp_path: Path) -> None:
    raster = FoundRaster(tmp_path / "dem.tif", 1, ("",), ("",), "EPSG:4326", False, 0.0, 1.0, 2.0)
    layer = LayerGuess("elevation", 0.9, ("1 band",), rasters=(raster,))
    given = Inspection((layer,), (Unused(tmp_path / "old.shp", "", "it was not recognised."),))
    draft = compose_draft(given, tmp_path / "draft")
    assert unanswered_season(draft, tmp_path / "draft") is None
    first = draft.questions[0]
    assert (first.need, first.lines) == (
        "needed",
        ('path = "?"                                # question 1',),
    )
    assert "for example ../old.shp" in first.answer


def test_twelve_files_are_listed_and_a_second_layer_of_a_file_is_named(tmp_path: Path) -> None:
    months = tuple(
        FoundRaster(tmp_path / f"tmin {month}.tif", 1, ("",), ("",), "EPSG:4326", False, 0.0, 1.0, 2.0)
        for month in range(1, 13)
    )
    layers = (weeds(tmp_path / "weeds.shp"), LayerGuess("tmin", 0.9, ("12 files",), rasters=months))
    data = tomllib.loads(compose_draft(found(*layers), tmp_path).texts["season.toml"])
    assert data["layers"]["tmin"]["paths"] == [f"tmin {month}.tif" for month in range(1, 13)]


def test_land_classes_are_listed_without_a_rule(tmp_path: Path) -> None:
    classes = (NameGuess("wet land", 3), NameGuess("42", 1))
    draft = compose_draft(found(weeds(tmp_path / "w.shp"), land_classes=classes), tmp_path)
    question = next(one for one in draft.questions if one.place == "[rules]")
    assert question.lines == ('# land_classes = {"wet land" = "?", 42 = "?"}  # question 2',)
    assert question.need == "may stay open"


def test_treatments_of_other_names_are_said_to_do_nothing(tmp_path: Path) -> None:
    vector = FoundVector(
        tmp_path / "t.shp", "", "polygons", 2, "EPSG:4326", None, (column("ACTION", "Mowing", "burn"),)
    )
    layer = LayerGuess(
        "treatments", 0.9, ("polygons",), vector=vector, columns=(ColumnGuess("kind", "ACTION", 1.0, "x"),)
    )
    text = compose_draft(found(weeds(tmp_path / "w.shp"), layer), tmp_path).texts["season.toml"]
    assert "These words in the column do nothing: 'burn'." in text.replace("\n# ", " ")


@given(name=TEXT, host=TEXT, agent=TEXT, evidence=TEXT, land=TEXT)
def test_whatever_the_files_say_the_draft_can_be_read(
    name: str, host: str, agent: str, evidence: str, land: str
) -> None:
    """Hostile names come back as they were, as values, and never as keys or lines of their own."""
    layer = weeds(Path("maps/weeds.shp"), name, evidence)
    given_names = Inspection(
        (layer,), (), hosts=(NameGuess(host, 1),), agents=(NameGuess(agent, 1, host, evidence),), land_classes=(NameGuess(land, 1),),
    )  # fmt: skip
    draft = compose_draft(given_names, Path("draft"))
    read = {file: tomllib.loads(text) for file, text in draft.texts.items() if file.endswith(".toml")}
    season = read.pop("season.toml")
    assert set(season) == {"format", "season", "layers", "crews", "rules"}
    assert season["layers"]["infestations"].get("columns", {}) in ({"host": name}, {})
    assert list(read.values()) == [{"format": 1, "name": agent, "host": host}]
    assert unanswered_season(draft, Path("draft")) is not None


def test_a_draft_is_written_whole_or_not_at_all(tmp_path: Path) -> None:
    draft = compose_draft(found(weeds(tmp_path / "w.shp")), tmp_path / "x")
    (tmp_path / "x/agents").mkdir(parents=True)
    (tmp_path / "x/agents/agent.toml").write_bytes(b"mine")
    with pytest.raises(InputMistakes, match="there is a file with this name already"):
        write_draft(draft, tmp_path / "x")
    assert [path.name for path in (tmp_path / "x").iterdir()] == ["agents"]


def test_what_is_in_the_way_or_not_there_is_said_first(tmp_path: Path) -> None:
    (tmp_path / "draft_notes.txt").touch()
    with pytest.raises(InputMistakes, match="draft_notes"):
        refuse_before_reading(tmp_path, [])
    with pytest.raises(InputMistakes, match="there is no file"):
        refuse_before_reading(tmp_path / "new", [tmp_path / "gone.shp"])


def test_nothing_found_is_told_with_every_reason(tmp_path: Path) -> None:
    unused = tuple(Unused(tmp_path / f"{number}.bin", "", "no layer.") for number in range(7))
    with pytest.raises(InputMistakes) as raised:
        refuse_nothing_found(Inspection((), unused), tmp_path)
    assert str(raised.value) == (
        "error: --from\n"
        "  no file was recognised as a layer, so nothing was written.\n"
        "  0.bin, 1.bin, 2.bin, 3.bin, 4.bin and 2 more: no layer.\n"
        "  Fix: give the files or the folder with your weed map, releases, visits and rasters."
    )


def test_a_column_that_may_be_meant_is_asked_about_and_counts_only_once_taken_up(tmp_path: Path) -> None:
    offered = SettingGuess(
        "columns.area", "EXTRA", "", "Is 'EXTRA' the area?", ("ha", "acre"), more=(("units.area", "?"),), is_offered=True
    )  # fmt: skip
    draft = compose_draft(found(weeds(tmp_path / "weeds.shp", settings=(offered,))), tmp_path / "draft")
    [question] = [one for one in draft.questions if one.text == "Is 'EXTRA' the area?"]
    assert (question.need, question.answer) == (
        "may stay open",
        "if so, take the # away from each line and write ha or acre for the ?",
    )
    assert [line.split("  ")[0] for line in question.lines] == [
        '# columns.area = "EXTRA"',
        '# units.area = "?"',
    ]
    table = tomllib.loads(draft.texts["season.toml"])["layers"]["infestations"]
    assert table["columns"] == {"host": "WEED"}
    assert "units" not in table


def test_one_question_can_stand_over_two_columns(tmp_path: Path) -> None:
    swapped = SettingGuess(
        "columns.host", "EXTRA", "", "Are they exchanged?", more=(("columns.name", "WEED"),)
    )
    draft = compose_draft(found(weeds(tmp_path / "weeds.shp", settings=(swapped,))), tmp_path / "draft")
    table = tomllib.loads(draft.texts["season.toml"])["layers"]["infestations"]
    assert table["columns"] == {"host": "EXTRA", "name": "WEED"}


def test_a_distance_that_would_join_visits_is_an_open_question(tmp_path: Path) -> None:
    draft = compose_draft(found(weeds(tmp_path / "w.shp"), could_join=(1, 50.0)), tmp_path / "draft")
    [question] = [one for one in draft.questions if one.place == "[records]"]
    assert (question.need, question.lines[0][:13]) == ("may stay open", "# link_m = 50")
    assert "1 visit names no release, though an earlier one of the agent lies there" in question.text
    without = compose_draft(found(weeds(tmp_path / "w.shp")), tmp_path / "draft")
    assert "[records]" not in without.texts["season.toml"]


def test_names_that_may_be_one_agent_get_one_profile(tmp_path: Path) -> None:
    agents = (NameGuess("stem weevil", 4, alike=(("stem-weevil", 1),)), NameGuess("leaf beetle", 2))
    draft = compose_draft(found(weeds(tmp_path / "w.shp"), agents=agents), tmp_path / "draft")
    profiles = [name for name in draft.texts if name.startswith("agents/")]
    assert profiles == ["agents/stem_weevil.toml", "agents/leaf_beetle.toml"]
    assert "Agents: stem weevil (4; nearly the same: 'stem-weevil' 1), leaf beetle (2)" in draft.found_text
