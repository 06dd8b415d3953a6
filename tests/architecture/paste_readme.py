"""Pastes into README.md what the program itself says; run it after changing settings, layers or commands.

python tests/architecture/paste_readme.py
"""

import re
from pathlib import Path

from click.testing import CliRunner

from geo_scout.cli import commands
from geo_scout.model.cautions import STANDING_CAUTIONS
from geo_scout.season.reference import layers_markdown, reference_markdown

README = Path(__file__).resolve().parents[2] / "README.md"


def help_text() -> str:
    """Return the help of the program and of each command, as a shell shows it at 80 columns."""
    runner = CliRunner()
    calls = [[], *([name] for name in commands.commands)]
    shown = []
    for call in calls:
        text = runner.invoke(commands, [*call, "--help"], prog_name="geo-scout", terminal_width=80).output
        shown.append(f"$ {' '.join(['geo-scout', *call, '--help'])}\n{text.rstrip()}")
    return "```text\n" + "\n\n".join(shown) + "\n```"


def parts() -> dict[str, str]:
    """Return what belongs between each pair of marks."""
    return {
        "help": help_text(),
        "settings": reference_markdown().strip(),
        "layers": layers_markdown().strip(),
        "cautions": "\n".join(f"- {caution}" for caution in STANDING_CAUTIONS),
    }


def pasted(readme: str) -> str:
    """Return the README with every part pasted afresh."""
    for name, text in parts().items():
        marks = re.compile(rf"(<!-- pasted: {name} -->\n).*?(<!-- end -->)", re.DOTALL)
        readme, count = marks.subn(lambda match, text=text: f"{match[1]}{text}\n{match[2]}", readme)
        if count != 1:
            message = f"README.md has {count} places for {name}"
            raise ValueError(message)
    return readme


if __name__ == "__main__":
    README.write_text(pasted(README.read_text(encoding="utf-8")), encoding="utf-8", newline="\n")
