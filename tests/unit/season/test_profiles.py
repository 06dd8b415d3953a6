"""Shipped profiles hold published values and nothing else; the numbers here are copied from the publications."""

import pytest

from geo_scout.errors import InputMistakes
from geo_scout.model.setting import Sourced, Table
from geo_scout.season import read_profile, read_shipped_profiles, read_shipped_text

PROFILES = {profile.name: profile for profile in read_shipped_profiles()}


def sourced(table: Table, path: str = "") -> list[tuple[str, Sourced]]:
    """Return every value of a profile that carries a source, by key."""
    found = []
    for key in type(table).model_fields:
        value = getattr(table, key)
        if isinstance(value, Sourced):
            found.append((f"{path}{key}", value))
        elif isinstance(value, Table):
            found += sourced(value, f"{path}{key}.")
    return found


def test_the_agents_are_these():
    assert sorted(PROFILES) == [
        "Agasicles hygrophila",
        "Aphthona North Dakota practice",
        "Aphthona lacertosa",
        "Aphthona nigriscutis",
        "Cyphocleonus achates",
        "Diorhabda carinulata",
        "Galerucella calmariensis",
    ]


@pytest.mark.parametrize("name", sorted(PROFILES))
def test_every_value_has_a_source(name):
    profile = PROFILES[name]
    values = sourced(profile)
    assert len(values) >= 2
    assert [key for key, value in values if not value.source.strip()] == []
    for use in (profile.timing.collecting, profile.timing.receptive):
        for table in (use.heat, use.calendar, use.host_stage):
            assert table is None or table.source.strip()
    assert all(one.source.strip() for one in profile.timing.published)
    assert profile.legal_status == []


# Base, unit, upper threshold, sums; from the publication each comment names.
HEAT = {
    # Skinner, Ragsdale, Hansen, Chandler & Moon 2004, Environmental Entomology 33:147-154: first 326, median 461.
    "Aphthona lacertosa": (7.5, "degc", None, {"opens": 326.0, "peaks": 461.0}),
    # The same: first 322, median 433.
    "Aphthona nigriscutis": (9.3, "degc", None, {"opens": 322.0, "peaks": 433.0}),
    # North Dakota State University, Crop & Pest Report of 16 June 2016: scout 1,000, collect 1,200-1,600, degF.
    "Aphthona North Dakota practice": (
        44.0,
        "degf",
        None,
        {"scout": 1000.0, "opens": 1200.0, "closes": 1600.0},
    ),
    # Summary of McAvoy & Kok 2004, BioControl 49:467: 50 and 100 degF; egg-laying begins at 180, peaks at 461.
    "Galerucella calmariensis": (50.0, "degf", 100.0, {"opens": 180.0, "peaks": 461.0}),
}


@pytest.mark.parametrize("name", sorted(PROFILES))
def test_heat_windows_are_as_published(name):
    heat = PROFILES[name].timing.collecting.heat
    if name not in HEAT:
        assert heat is None
        return
    base, unit, upper, sums = HEAT[name]
    assert (heat.base.value, heat.unit) == (base, unit)
    assert (None if heat.upper is None else heat.upper.value) == upper
    given = {
        key: value.value
        for key in type(heat.sums).model_fields
        if (value := getattr(heat.sums, key)) is not None
    }
    assert given == sums
    assert PROFILES[name].timing.receptive.heat is None


def test_starts_and_methods_say_whose_choice_they_are():
    for name in HEAT:
        heat = PROFILES[name].timing.collecting.heat
        assert heat.start == ("03-01" if name.endswith("practice") else "01-01")
        assert "our choice" in heat.source


def test_the_calendar_of_cyphocleonus_is_within_the_published_months():
    """Adults mid-July to mid-September, peak mid-August, in Montana: Montana State University MT199915AG."""
    window = PROFILES["Cyphocleonus achates"].timing.collecting.calendar
    assert (window.scout, window.opens, window.peaks, window.closes) == (None, "07-15", "08-15", "09-15")
    assert window.days_per_100m is None


def test_the_critical_daylength_of_diorhabda_is_14_h_39_min():
    """Bean, Dudley & Keller 2007, Environmental Entomology 36:15: 14 h 39 min in the field; 39 / 60 = 0.65."""
    critical = {name: profile.timing.critical_daylength_hours for name, profile in PROFILES.items()}
    assert critical.pop("Diorhabda carinulata").value == 14.65
    assert set(critical.values()) == {None}


def test_values_without_a_window_are_as_published():
    published = {name: [one.value for one in profile.timing.published] for name, profile in PROFILES.items()}
    assert published == {
        # Laboratory study in New Zealand (title and abstract).
        "Agasicles hygrophila": ["13.3 degC", "27 to 30 degC, 19 to 20 days"],
        "Aphthona lacertosa": [],
        "Aphthona North Dakota practice": [],
        # Abstract of a field model, Wyoming, Montana and Minnesota 1991-99.
        "Aphthona nigriscutis": ["898.5 degree-days (degC)", "1189.2 degree-days (degC)"],
        # Biology of Cyphocleonus achates, 1999.
        "Cyphocleonus achates": ["726 to 1144 degree-days"],
        # Lewis et al. 2003, Biological Control 27:101; Jamison et al. 2018.
        "Diorhabda carinulata": ["12.5 degC", "234.2 and 91.3 degree-days (degC)", "15 degC"],
        # Summary of McAvoy & Kok 2004 and McAvoy, Kok & Mays 1997.
        "Galerucella calmariensis": ["755 and 1616 degree-days (degF)"],
    }


def test_numbers_per_release_and_the_share_that_takes_are_as_published():
    """Agweek (North Dakota programme); Utah Weed Supervisors Association; Schwarzländer et al. 2018: 63.2 %."""
    sizes = {
        name: profile.release.number_per_release.value
        for name, profile in PROFILES.items()
        if profile.release.number_per_release
    }
    assert sizes == {
        "Aphthona North Dakota practice": 3000,
        "Aphthona lacertosa": 3000,
        "Aphthona nigriscutis": 3000,
        "Cyphocleonus achates": 75,
        "Galerucella calmariensis": 250,
    }
    assert {profile.establishment.prior_share.value for profile in PROFILES.values()} == {0.632}


def test_a_name_is_found_whatever_its_capitals():
    assert read_profile(" APHTHONA lacertosa ").name == "Aphthona lacertosa"
    assert read_shipped_text("aphthona Lacertosa").startswith("# Aphthona lacertosa")


@pytest.mark.parametrize("written", ["aphthona lacertose", "APHTHONA_LACERTOSA", "lacertosa"])
def test_an_unknown_name_is_told_the_nearest(written):
    for read in (read_profile, read_shipped_text):
        with pytest.raises(InputMistakes) as raised:
            read(written)
        assert str(raised.value).endswith(
            "no profile of this name comes with geo_scout.\n  Fix: did you mean 'Aphthona lacertosa'?"
        )
        assert raised.value.mistakes[0].code == "file-missing"


def test_a_name_like_none_is_told_where_names_are_listed():
    with pytest.raises(InputMistakes, match="Fix: give a path, or a name that geo-scout agents lists"):
        read_profile("xyzzy.toml")


def test_a_saved_copy_reads_like_the_shipped_one(tmp_path, monkeypatch):
    for name in PROFILES:
        (tmp_path / "copy.toml").write_text(read_shipped_text(name), encoding="utf-8")
        monkeypatch.chdir(tmp_path)
        assert read_profile("copy.toml") == PROFILES[name]


def test_sums_are_needed_except_for_learning(tmp_path):
    text = (
        read_shipped_text("Aphthona lacertosa")
        .replace("opens = {value = 326", "# ")
        .replace("peaks = {value = 461", "# ")
    )
    (tmp_path / "own.toml").write_text(text, encoding="utf-8")
    with pytest.raises(InputMistakes, match="this window has no heat sum"):
        read_profile(str(tmp_path / "own.toml"))
    assert read_profile(str(tmp_path / "own.toml"), sums_needed=False).timing.collecting.heat is not None


def test_what_is_seen_when_adults_begin_to_emerge_begins_the_scouting_of_north_dakota():
    """Emergence begins with prairie rose and yarrow (Department of Trust Lands); collecting at 1,200 degree-days."""
    stage = PROFILES["Aphthona North Dakota practice"].timing.collecting.host_stage
    assert "begin to bloom" in stage.scout
    assert stage.opens == ""


def test_sums_of_egg_laying_say_that_they_are():
    window = PROFILES["Galerucella calmariensis"].timing.collecting.heat
    assert "The dates are those of egg-laying" in window.source
    assert window.sums.closes is None


def test_only_diorhabda_has_a_standing_caution():
    cautions = {name: profile.caution for name, profile in PROFILES.items() if profile.caution}
    assert list(cautions) == ["Diorhabda carinulata"]
    assert "permits to move it between states are no longer issued" in cautions["Diorhabda carinulata"]
