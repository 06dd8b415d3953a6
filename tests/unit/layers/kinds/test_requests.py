def test_status_purpose_and_future(folder, found):
    folder.write(
        "requests",
        [folder.point(n) for n in range(3)],
        request_id=["Q1", "Q2", "Q3"],
        status=["OPEN", "dealt with", "open"],
        purpose=["supplement", "", ""],
        agent=["", "Stem Weevil", ""],
        date=["2026-03-14", None, "2026-12-01"],
    )
    layers = folder.read()
    frame = layers.vectors["requests"]
    assert frame["status"].tolist() == ["open", "dealt with"]
    assert frame["purpose"].tolist() == ["supplement", "new"]
    assert frame["agent"].tolist() == ["", "stem weevil"]
    assert [finding.feature for finding in found(layers, "dated-later")] == ["Q3"]
