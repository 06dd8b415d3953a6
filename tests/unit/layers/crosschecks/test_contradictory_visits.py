def test_a_result_and_a_count_that_contradict_each_other(folder, found):
    folder.write("visits", [folder.point()] * 6, visit_id=["none", "some", "right", "blank", "nobody", "left"],
                 agent="stem weevil", date=[f"2022-07-0{day}" for day in range(1, 7)],
                 result=["found", "not found", "found", "found", "not found", "not found"],
                 count=[0, 12, 3, None, 0, None])  # fmt: skip
    layers = folder.read()
    [none], [some] = found(layers, "visit-found-none"), found(layers, "visit-counted-not-found")
    assert none.text() == (
        "caution: layers.visits feature none\n"
        "  the result is found, and the count is 0; it counts as a find.\n"
        "  Fix: Correct the result or the count; leave the count blank where only a sign was seen."
    )
    assert some.text() == (
        "caution: layers.visits feature some\n"
        "  the result is not found, and the count is 12; it counts as a visit that found nothing.\n"
        "  Fix: Correct the result or the count."
    )
    visits = layers.vectors["visits"]
    assert visits["found"].tolist() == [True, False, True, True, False, False]
    assert visits["count"].tolist()[:3] == [0.0, 12.0, 3.0]
