def test_two_agents_of_nearly_the_same_name(folder, told):
    folder.agents = [("stem weevil", "ashthorn"), ("leaf beetle", "ashthorn"), ("stem-weevil", "ashthorn")]
    assert told(folder.read(), "agents-alike") == (
        "caution: layers.infestations\n"
        "  the agents 'stem weevil' and 'stem-weevil' of this season may be one: their names are nearly the same, "
        "and each has records and sites of its own.\n"
        "  Fix: If they are one, write the same name in all layers and take one profile out of [season] agents; "
        "if not, nothing."
    )


def test_agents_of_different_names_are_not_told(folder, found):
    folder.agents = [("stem weevil", "ashthorn"), ("seed weevil", "ashthorn")]
    assert found(folder.read(), "agents-alike") == []
