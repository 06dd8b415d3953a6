def test_rules_without_a_layer_of_land(folder, told, found):
    folder.rules["land_classes"] = {"crop": "forbid", "reserve": "ask"}
    assert told(folder.read(), "rule-without-layer") == (
        "caution: layers.land_classes\n"
        "  rules.land_classes names 'crop', 'reserve', but the season has no layer of land classes: nothing is "
        "forbidden, asked about or preferred.\n"
        "  Fix: Add [layers.land_classes]."
    )
    folder.write("land_classes", [folder.square(), folder.square(1)], **{"class": ["crop", "reserve"]})
    assert found(folder.read(), "rule-without-layer") == []
