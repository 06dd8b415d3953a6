import dataclasses

import pytest

from geo_scout.layers import read_layers

SIGN = {
    "methods": ["sweep net"],
    "first_day": "06-01",
    "last_day": "08-31",
    "found_share": {"value": 0.6, "source": "invented"},
    "effort_hours": {"value": 1.0, "source": "invented"},
}


@pytest.fixture
def read_with(folder):
    def read(*names):
        folder.write("visits", [folder.point()] * 4, visit_id=["V1", "V2", "V3", "V4"], agent="stem weevil",
                     date="2022-07-01", result="found",
                     sign=["Adults on  stems", "adult on stems", "Adult on stems", None])  # fmt: skip
        season = folder.season()
        agent = type(season.agents[0]).model_validate(
            {
                "format": 1,
                "name": "stem weevil",
                "host": "ashthorn",
                "establishment": {"prior_share": 0.4},
                "signs": [SIGN | {"name": name} for name in names],
            }
        )
        return read_layers(dataclasses.replace(season, agents=(agent,)))

    return read


def test_a_sign_that_the_profile_does_not_have(read_with, told):
    assert told(read_with("adults on stems", "exit holes"), "sign-unknown") == (
        "caution: layers.visits\n"
        "  sign 'adult on stems' is none of the profile of 'stem weevil' (adults on stems, exit holes); 2 visits "
        "(V2, V3) go by the method alone.\n"
        "  Fix: Write one of its signs, or add the sign to the profile. Did you mean 'adults on stems'?"
    )


def test_a_profile_without_signs_knows_no_unknown_ones(read_with, found):
    assert found(read_with(), "sign-unknown") == []
