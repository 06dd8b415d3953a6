import numpy as np


def test_future_treatments_are_kept_and_blank_end_is_the_start(folder):
    folder.write(
        "treatments", [folder.square(0)], treatment_id="T1", kind="Herbicide", start="2027-05-01", end=None
    )
    layers = folder.read()
    frame = layers.vectors["treatments"]
    assert frame["kind"].tolist() == ["herbicide"]
    assert frame["end"].tolist() == frame["start"].tolist()
    assert frame["start"].iloc[0] == np.datetime64("2027-05-01")
    assert layers.findings == ()


def test_backward_dates_are_set_aside(folder, told):
    folder.write(
        "treatments",
        [folder.square(0), folder.square(1)],
        treatment_id=["T1", "T2"],
        kind="mowing",
        start=["2025-05-01", "2025-05-01"],
        end=["2025-04-01", "2025-05-02"],
    )
    layers = folder.read()
    assert layers.vectors["treatments"]["treatment_id"].tolist() == ["T2"]
    assert told(layers, "dates-backwards") == (
        "caution: layers.treatments feature T1\n"
        "  Set aside: it ends on 2025-04-01, before it starts on 2025-05-01.\n"
        "  Fix: Correct the dates."
    )


def test_kind_without_effect_is_said(folder, told):
    folder.write("treatments", [folder.square(0)], treatment_id="T1", kind="mowin", start="2025-05-01")
    layers = folder.read()
    assert layers.vectors["treatments"]["kind"].tolist() == ["mowin"]
    assert told(layers, "kind-unknown") == (
        "caution: layers.treatments\n"
        "  kind 'mowin' is not in rules.treatment_kinds (herbicide, mowing, grazing), so nothing is left out for 1 treatment (T1).\n"
        "  Fix: Add it to treatment_kinds, or correct it. Did you mean 'mowing'?"
    )
