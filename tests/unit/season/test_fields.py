"""What the file may hold, as read from the models."""

from geo_scout.model.agent import AgentProfile
from geo_scout.model.season import SeasonSettings
from geo_scout.model.setting import Table
from geo_scout.season.fields import Slot, plain_path, slot_at
from geo_scout.season.walk import homes_of
from geo_scout.season.wording import KeyPath


def slot(model: type[Table], *path: str | int) -> Slot:
    found = slot_at(model, path)
    assert found is not None
    return found


def test_limits_and_units_are_found_inside_sourced_values() -> None:
    prior = slot(AgentProfile, "establishment", "prior_share", "value")
    assert (prior.kind, prior.least, prior.most, prior.unit, prior.is_needed) == (
        "number",
        0,
        1,
        "share",
        True,
    )
    spread = slot(AgentProfile, "spread", "max_spread_km")
    assert (spread.above, spread.most, spread.is_sourced, spread.is_needed) == (0, 1000, True, False)
    assert slot(AgentProfile, "release", "number_per_release").kind == "whole number"


def test_the_unit_of_a_curve_is_that_of_its_measure() -> None:
    assert slot(SeasonSettings, "criteria", "release", "host_area", "curve", "from").unit == "ha"
    assert slot(SeasonSettings, "criteria", "source", "crew_distance", "curve", "full_to").unit == "km"
    assert slot(AgentProfile, "known_populations", 0, "climate", "bio12").unit == "mm"


def test_unknown_places_are_none() -> None:
    assert slot_at(SeasonSettings, ("rules", "zzz")) is None
    assert slot_at(SeasonSettings, ("rules", "join_m", "deeper")) is None
    assert slot_at(AgentProfile, ("establishment", "prior_share", "valu")) is None
    assert slot_at(SeasonSettings, ("crews", "name")) is None


def test_value_is_dropped_only_where_a_source_may_stand() -> None:
    sourced: KeyPath = ("establishment", "prior_share", "value")
    assert plain_path(AgentProfile, sourced) == ("establishment", "prior_share")
    of_the_user: KeyPath = ("rules", "land_classes", "value")
    assert plain_path(SeasonSettings, of_the_user) == of_the_user


def test_a_stray_key_belongs_where_its_kind_of_value_fits() -> None:
    assert homes_of("top_n", 5, SeasonSettings) == ["[ranking]"]
    assert homes_of("top_n", "five", SeasonSettings) == []
    assert homes_of("path", "x.gpkg", SeasonSettings) == ["[layers.NAME]"]
    assert homes_of("base_latitude_deg", 47.1, SeasonSettings) == ["[[crews]]"]
    assert homes_of("format", 1, SeasonSettings) == ["the top of the file"]
