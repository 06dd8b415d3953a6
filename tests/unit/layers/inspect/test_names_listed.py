import pytest

from geo_scout.layers.inspect.kinds_guessed import guess_layer
from geo_scout.layers.inspect.names_listed import list_agents, list_names, middle_of, places_of
from geo_scout.model.draft import NameGuess


@pytest.fixture
def layers(table):
    """Two weeds west and east of each other; agents whose names say nothing of their host."""
    weeds = table(
        "weeds.shp",
        {"weed": ["Ashthorn", "ashthorn ", "brindlebell"], "cover": ["5", "50", "40"]},
        middles_deg=((-109.60, 47.10), (-109.61, 47.11), (-109.40, 47.10)),
        shapes="polygons",
    )
    releases = table(
        "releases.shp",
        {
            "release_id": ["a", "b", "c", "d"],
            "agent": ["Bronze weevil", "bronze weevil", "Bronze weevil", "Grey moth"],
            "date": ["2024-05-06"] * 4,
        },
        middles_deg=((-109.605, 47.10), (-109.60, 47.12), (-109.62, 47.10), (-109.41, 47.10)),
    )
    return {"infestations": guess_layer("infestations", weeds), "releases": guess_layer("releases", releases)}


def test_names_are_counted_whatever_their_capitals(layers):
    assert [(one.name, one.rows) for one in list_names([layers["infestations"]], "host")] == [
        ("Ashthorn", 2),
        ("brindlebell", 1),
    ]


def test_the_nearest_weed_at_the_releases_is_the_host(layers):
    hosts = list_names([layers["infestations"]], "host")
    assert list_agents(layers, hosts) == (
        NameGuess("Bronze weevil", 3, "Ashthorn", "it is the nearest weed at 3 of 3 releases"),
        NameGuess("Grey moth", 1, "brindlebell", "it is the nearest weed at 1 of 1 release"),
    )


def test_the_name_of_the_weed_in_the_agents_goes_before_the_place(layers, table):
    releases = table(
        "releases.shp",
        {"release_id": ["a", "b"], "agent": ["Brindlebell beetle"] * 2, "date": ["2024-05-06"] * 2},
        middles_deg=((-109.60, 47.10), (-109.60, 47.10)),
    )
    found = {**layers, "releases": guess_layer("releases", releases)}
    (agent,) = list_agents(found, list_names([layers["infestations"]], "host"))
    assert (agent.host, agent.evidence) == ("brindlebell", "the agent's name holds 'brindlebell'")


def test_an_agent_without_a_name_or_a_place_that_tells_has_no_host(layers):
    hosts = list_names([layers["infestations"]], "host")
    nowhere = {"infestations": layers["infestations"]}
    assert list_agents(nowhere, hosts) == ()
    releases = layers["releases"]
    assert places_of(releases).shape == (4, 2)
    assert list_agents({"releases": releases}, hosts)[0].host == ""


def test_the_only_weed_is_everybodys_host(layers):
    hosts = list_names([layers["infestations"]], "host")[:1]
    assert list_agents(layers, hosts)[0].evidence == "it is the only weed in the files"


def test_places_of_a_table_come_from_its_columns(table):
    found = table(
        "r.csv",
        {"id": ["a", "b"], "lat": ["47°06'N", "47°30'N"], "lon": ["109°30'W", "109°30'W"]},
        shapes="no shapes", crs="", bounds=None,
    )  # fmt: skip
    layer = guess_layer("releases", found)
    assert middle_of([layer]) == (-109.5, 47.3)
    assert middle_of([]) is None


def test_names_that_may_be_one_agent_stand_with_the_commonest(table):
    releases = table(
        "releases.shp",
        {
            "release_id": list("abcdef"),
            "agent": [
                "stem weevil",
                "stem weevil",
                "stem-weevil",
                "leaf beetle",
                "stem weevill",
                "stem-weevil",
            ],
            "date": ["2024-05-06"] * 6,
        },
    )
    [weevil, beetle] = list_agents({"releases": guess_layer("releases", releases)}, ())
    assert (weevil.name, weevil.rows) == ("stem weevil", 2)
    assert weevil.alike == (("stem-weevil", 2), ("stem weevill", 1))
    assert (beetle.name, beetle.alike) == ("leaf beetle", ())
