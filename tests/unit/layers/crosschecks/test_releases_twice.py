def test_one_release_under_two_ids(folder, found):
    # 0.0002 degrees of latitude are 22 m, 0.001 are 111 m.
    head = ["release_id", "agent", "date", "number", "longitude_deg", "latitude_deg"]
    one = ["stem weevil", "2022-05-01", "200", "-110.0"]
    records = [
        ["R1", *one, "47.0"],
        ["R2", *one, "47.0002"],
        ["another day", "stem weevil", "2022-05-02", "200", "-110.0", "47.0001"],
        ["another number", "stem weevil", "2022-05-01", "150", "-110.0", "47.0001"],
        ["another agent", "leaf beetle", "2022-05-01", "200", "-110.0", "47.0001"],
        ["elsewhere", *one, "47.001"],
        ["alike", *one, "47.0"],
    ]
    folder.write_table("releases", [head, *records])
    layers = folder.read()
    told = found(layers, "release-twice")
    assert [(one.feature, one.what.split(":")[0]) for one in told] == [
        ("R2", "it may be release R1 once more"),
        ("alike", "it may be release R2 once more"),
    ]
    assert told[0].what.endswith(
        "the same agent, day and number, 22 m apart, and the two positions may be 60 m off."
    )
    assert [one.what for one in found(layers, "record-repeated")] == [
        "1 record is in the file more than once, alike in place and in every value but the id: R1 = alike."
    ]
