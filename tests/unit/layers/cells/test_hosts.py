def test_hosts_are_spelt_as_the_profile_does(folder):
    names = ["  Ashthorn ", "ASHTHORN", "ashthorn"]
    folder.write("infestations", [folder.square(n) for n in range(3)], host=names, cover=1.0)
    assert folder.read().vectors["infestations"]["host"].tolist() == ["ashthorn"] * 3


def test_other_hosts_are_kept_aside_with_one_note(folder, told):
    folder.rules["max_bad_share"] = 0.0
    hosts = ["ashthorn", "brindlebell", "brindlebell", "mat sedge"]
    folder.write("infestations", [folder.square(n) for n in range(4)], host=hosts, cover=1.0)
    layers = folder.read()
    assert layers.vectors["infestations"]["row"].tolist() == [1]
    assert told(layers, "other-hosts") == (
        "note: layers.infestations\n"
        "  3 features of weeds that no agent of this season lives on are kept aside: brindlebell (2), "
        "mat sedge (1).\n"
        "  Fix: Nothing; they are used when an agent's profile names them as host."
    )


def test_no_host_at_all_stops(folder, told):
    folder.write("infestations", [folder.square()], host="ash thorn", cover=1.0)
    layers = folder.read()
    assert not layers.has("infestations")
    assert told(layers, "no-host") == (
        "stop: layers.infestations\n"
        "  there is no infestation of 'ashthorn'; the weeds in the file are: ash thorn.\n"
        "  Fix: Write the host in the agent's profile as the file does. Did you mean 'ash thorn'?"
    )


def test_one_of_two_hosts_absent_is_a_caution(folder, told):
    folder.agents.append(("leaf beetle", "brindlebell"))
    folder.write("infestations", [folder.square()], host="ashthorn", cover=1.0)
    layers = folder.read()
    assert layers.has("infestations")
    assert told(layers, "host-absent") == (
        "caution: layers.infestations\n"
        "  there is no infestation of 'brindlebell', the host of an agent of this season.\n"
        "  Fix: Check the spelling in the agent's profile."
    )


def test_blank_host_is_bad(folder, told):
    folder.write("infestations", [folder.square(0), folder.square(1)], host=["ashthorn", " "], cover=1.0)
    assert told(folder.read(), "blank-value") == (
        "caution: layers.infestations feature row 2\n"
        "  Set aside: host is blank.\n"
        "  Fix: Fill the cell in, or take the row out."
    )


def test_surveys_of_other_hosts_are_kept_aside_and_blank_is_every_host(folder):
    folder.write(
        "surveyed_areas",
        [folder.square(n) for n in range(3)],
        host=["Ashthorn", "brindlebell", None],
        survey_date="2025-01-01",
    )
    assert folder.read().vectors["surveyed_areas"]["host"].tolist() == ["ashthorn", ""]
