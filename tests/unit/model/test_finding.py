from geo_scout.model.finding import Finding


def test_what_hides_or_reorders_text_is_written_out():
    finding = Finding(
        "value-unreadable",
        "caution",
        "visits",
        "V\x1b[1m",
        "date 'gate\N{RIGHT-TO-LEFT OVERRIDE}kcab'",
        "\x00",
    )
    assert finding.text() == (
        "caution: layers.visits feature V\\u001B[1m\n  date 'gate\\u202Ekcab'\n  Fix: \\u0000"
    )
