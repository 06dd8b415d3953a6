import pytest

from geo_scout.cli.main import _say


@pytest.mark.parametrize("err", [False, True])
def test_a_text_cannot_steer_the_terminal(capsys, err):
    _say("a\x1b[31mb\N{RIGHT-TO-LEFT OVERRIDE}c\nd", err=err)
    out, told = capsys.readouterr()
    assert (told if err else out) == "a\\u001B[31mb\\u202Ec\nd\n"
