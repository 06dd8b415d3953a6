import pytest
from click.testing import CliRunner

from geo_scout.cli.main import commands
from geo_scout.cli.shell import say


@pytest.mark.parametrize("err", [False, True])
def test_a_text_cannot_steer_the_terminal(capsys, err):
    say("a\x1b[31mb\N{RIGHT-TO-LEFT OVERRIDE}c\nd", err=err)
    out, told = capsys.readouterr()
    assert (told if err else out) == "a\\u001B[31mb\\u202Ec\nd\n"


@pytest.mark.parametrize(
    ("name", "said"),
    [(" ", "the name is empty"), ("", "the name is empty"), ("a\nb", "a line break or another control")],
)
@pytest.mark.parametrize("command", ["run", "check"])
def test_a_name_no_folder_should_have_is_refused(command, name, said):
    told = CliRunner().invoke(commands, [command, "season.toml", "--outputs", name])
    assert told.exit_code == 2
    assert said in told.output
