def test_a_name_that_fits_several_agents_is_no_single_one(folder, told, found):
    folder.agents = [("Brackenia alta", "ashthorn"), ("Brackenia lata", "ashthorn"), ("Cardalia", "ashthorn")]
    folder.write("releases", [folder.point()] * 5, release_id=[f"R{n}" for n in range(5)],
                 agent=["brackenia  ALTA", "Brackenia spp.", "Brackenia", "Brack", "Cardalia sp."],
                 date="2020-05-01")  # fmt: skip
    layers = folder.read()
    unclear = found(layers, "agent-unclear")
    assert [one.what.split(";")[0] for one in unclear] == [
        "'Brackenia' fits several agents of this season, Brackenia alta, Brackenia lata",
        "'Brackenia spp.' fits several agents of this season, Brackenia alta, Brackenia lata",
    ]
    assert unclear[0].text() == (
        "caution: layers.releases\n"
        "  'Brackenia' fits several agents of this season, Brackenia alta, Brackenia lata; 1 row (R2) is not used.\n"
        "  Fix: Write which of them it was; a record of two agents is two rows."
    )
    assert [one.what.split("'")[1] for one in found(layers, "agent-unknown")] == ["Brack", "Cardalia sp."]
    assert layers.vectors["releases"]["agent"].tolist()[0] == "Brackenia alta"
