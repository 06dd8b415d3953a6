import re
import runpy
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PASTE = runpy.run_path(str(ROOT / "tests" / "architecture" / "paste_readme.py"))
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_readme_says_what_the_program_says():
    """Run python tests/architecture/paste_readme.py when this fails."""
    assert PASTE["pasted"](README) == README


def test_readme_opens_with_the_job_in_one_paragraph():
    title, paragraph = README.split("\n\n")[:2]
    assert title == "# geo_scout"
    assert "collection sources" in paragraph
    assert "release sites" in paragraph


def test_there_are_two_commands_and_ci_calls_the_second():
    commands = re.findall(r"<!-- (?:first|test) command -->\n```sh\n(.+)\n```", README)
    assert len(commands) == 2
    assert all(command.startswith("python3 -m venv .venv && ") for command in commands)
    assert "<!-- test command -->" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_every_link_and_picture_is_there():
    targets = re.findall(r"\]\(([^)#]+)\)", README)
    assert targets
    assert [target for target in targets if not (ROOT / target).exists()] == []


def test_every_dependency_is_explained_to_contributors():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    names = [re.split(r"[<>=\[]", line)[0] for line in project["dependencies"]]
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert [name for name in names if f"`{name}`" not in text] == []


def test_top_level_holds_what_was_agreed():
    agreed = {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "geo_scout",
        "notebooks",
        "tests",
        "sample_layers",
    }
    clutter = {"build", "dist"}
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")} - clutter
    assert {name for name in found if not name.endswith(".egg-info")} == agreed
