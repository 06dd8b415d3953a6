def test_classes_and_rules_have_to_meet(folder, told):
    folder.rules["land_classes"] = {"crop": "forbid", "reserves": "ask"}
    folder.write(
        "land_classes", [folder.square(n) for n in range(3)], **{"class": ["Crop", "reserve", "wet meadow"]}
    )
    layers = folder.read()
    assert layers.vectors["land_classes"]["class"].tolist() == ["crop", "reserve", "wet meadow"]
    assert told(layers, "class-without-rule") == (
        "note: layers.land_classes\n"
        "  these classes have no rule and so no effect: reserve, wet meadow.\n"
        '  Fix: For each: [rules] land_classes = {reserve = "forbid"}, "ask" or "prefer".'
    )
    assert told(layers, "class-absent") == (
        "caution: layers.land_classes\n"
        "  rules.land_classes names 'reserves', but no land of the layer has this class.\n"
        "  Fix: Write it as the layer does. Did you mean 'reserve'?"
    )


def test_blank_jurisdiction_is_kept_with_a_caution(folder, told):
    folder.write(
        "boundaries",
        [folder.square(0), folder.square(1)],
        district=["Upper", "Lower"],
        jurisdiction=["Quill", None],
    )
    layers = folder.read()
    assert layers.vectors["boundaries"]["jurisdiction"].tolist() == ["Quill", ""]
    assert told(layers, "blank-value") == (
        "caution: layers.boundaries\n"
        "  jurisdiction is blank for 1 feature (row 2).\n"
        "  Fix: Fill the cells in; until then it is unknown there."
    )
