def test_loss_kinds_that_no_treatment_has(folder, told):
    folder.records = {"loss_kinds": ["Herbicide", "mowed"]}
    folder.write("treatments", [folder.square()] * 2, treatment_id=["T1", "T2"], kind=["herbicide", "mowing"],
                 start="2025-07-01")  # fmt: skip
    assert told(folder.read(), "loss-kind-unused") == (
        "caution: layers.treatments\n"
        "  records.loss_kinds names 'mowed', and no treatment is of that kind; its kinds are herbicide, mowing.\n"
        "  Fix: Correct it under [records], or the kind in the layer."
    )
