"""The command line: arguments in, exit code out. No science here; rooms load when a command runs."""

from geo_scout.cli.main import commands, main

__all__ = ["commands", "main"]
