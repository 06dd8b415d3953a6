"""Wall clock and seconds per step: the one output outside the promise of identical bytes."""

import datetime as dt
import json
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path


class RunLog:
    """The steps of one run as they happen.

    Parameters
    ----------
    listen
        Called with the name of each step when it starts, for a progress bar.
    """

    def __init__(self, listen: Callable[[str], None] = lambda _: None) -> None:
        self._listen = listen
        self._started = dt.datetime.now(dt.UTC)
        self.seconds: dict[str, float] = {}

    @contextmanager
    def step(self, name: str) -> Iterator[None]:
        """Time one step."""
        self._listen(name)
        start = time.perf_counter()
        try:
            yield
        finally:
            self.seconds[name] = self.seconds.get(name, 0.0) + time.perf_counter() - start

    def write(self, path: Path) -> None:
        """Write the log as JSON."""
        log = {
            "started": self._started.isoformat(timespec="seconds"),
            "ended": dt.datetime.now(dt.UTC).isoformat(timespec="seconds"),
            "seconds": {name: round(seconds, 3) for name, seconds in self.seconds.items()},
        }
        path.write_text(json.dumps(log, indent=2) + "\n", encoding="utf-8", newline="\n")
