HOST = {"host": "ashthorn", "cover": 40.0, "survey_date": "2025-01-01"}


def test_exact_duplicates_are_set_aside_and_not_bad(folder, told):
    folder.rules["max_bad_share"] = 0.0
    folder.write(
        "infestations", [folder.square(0), folder.square(1), folder.square(0)], id=["a", "b", "c"], **HOST
    )
    layers = folder.read()
    assert layers.vectors["infestations"]["id"].tolist() == ["a", "b"]
    assert told(layers, "duplicate") == (
        "note: layers.infestations feature c\n"
        "  Set aside: it is the same as row 1, in shape and in every value.\n"
        "  Fix: Take one of the two out of the file."
    )


def test_same_shape_with_another_value_stays(folder, found):
    folder.write("infestations", [folder.square(0)] * 2, manager=["Harl", "Tallow"], **HOST)
    layers = folder.read()
    assert len(layers.vectors["infestations"]) == 2
    assert found(layers, "duplicate") == []


def test_same_id_on_different_features(folder, told):
    folder.write("infestations", [folder.square(n) for n in range(3)], id=["a", "a", "b"], **HOST)
    layers = folder.read()
    assert len(layers.vectors["infestations"]) == 3
    assert told(layers, "id-repeated") == (
        "caution: layers.infestations\n"
        "  features that differ carry the same id: a (rows 1 and 2).\n"
        "  Fix: Give every feature an id of its own."
    )
