"""How every command talks to the shell: what it prints, shows while it works, and takes as a folder."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import click

from geo_scout.model.visible_text import printable

AUDIENCES = ("crew", "board", "public")


class OutputsFolder(click.Path):
    """A folder to write into; a name that is empty, or would break the line it is told in, is refused."""

    def convert(self, value: Any, param: click.Parameter | None, context: click.Context | None) -> Any:
        """Return the path, or fail with what is wrong with the name."""
        if not str(value).strip():
            self.fail("the name is empty; name a folder.", param, context)
        if any(letter in str(value) for letter in "\t\n\r") or printable(str(value)) != str(value):
            self.fail("the name holds a line break or another control character.", param, context)
        return super().convert(value, param, context)


@contextmanager
def progress() -> Iterator[Callable[[str], None]]:
    """Show the steps on a terminal; stay silent in a file or a pipe."""
    from rich.console import Console
    from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    console = Console(stderr=True)
    columns = (SpinnerColumn(), TextColumn("{task.description}"), TimeElapsedColumn())
    with Progress(*columns, console=console, disable=not console.is_terminal) as bars:
        tasks: list[Any] = []

        def listen(step: str) -> None:
            if tasks:
                bars.update(tasks[-1], total=1, completed=1)
            tasks.append(bars.add_task(step, total=None))

        yield listen
        if tasks:
            bars.update(tasks[-1], total=1, completed=1)


def say(text: str, *, err: bool = False) -> None:
    """Print a text; what layers hold must not steer the terminal or hide other words."""
    click.echo(printable(text), err=err)
