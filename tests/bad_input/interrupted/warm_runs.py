"""A process that has loaded everything and runs the command line in forks of itself, each at once under way.

It reads one request a line: the words of the command, its folder, the files for its streams and, if it is to halt,
at which call of the system. It answers with the process number, and on an empty request with the exit code.
Halting makes no use of the program's own code: Python announces each opening, renaming and removing of a file.
"""

import gc
import json
import os
import sys
import time
from pathlib import Path
from typing import Any

import geo_scout.pipeline
from geo_scout.cli import main

READY, GO = "ready", "go"


def halt_at(event: str, part: str, count: int, folder: Path) -> None:
    """Halt before the so-many-th call of a kind whose first path holds a part, until the file ``go`` is there."""
    seen = 0

    def heard(name: str, given: tuple[Any, ...]) -> None:
        nonlocal seen
        if name != event or not given or part not in str(given[0]):
            return
        seen += 1
        if seen != count:
            return
        (folder / READY).touch()
        while not (folder / GO).exists():
            time.sleep(0.002)

    sys.addaudithook(heard)


def run(request: dict[str, Any]) -> None:
    os.chdir(request["folder"])
    for number, name in ((1, "out"), (2, "err")):
        os.dup2(os.open(request[name], os.O_CREAT | os.O_TRUNC | os.O_WRONLY), number)
    sys.argv = ["geo-scout", *request["words"]]
    if request["halt"]:
        halt_at(*request["halt"], Path(request["folder"]))
    Path("begun").touch()
    code: Any = 0
    try:
        main()
    except SystemExit as left:
        code = left.code
    sys.stdout.flush()
    os._exit(code or 0)


def serve() -> None:
    sys.stdout.write("loaded\n")
    sys.stdout.flush()
    gc.freeze()  # what is loaded is shared by the forks, not copied
    started = 0
    for line in sys.stdin:
        request = json.loads(line)
        if request:
            started = os.fork()
            if not started:
                run(request)
            answer = started
        else:
            answer = os.waitstatus_to_exitcode(os.waitpid(started, 0)[1])
        sys.stdout.write(f"{answer}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    # What loads when it is first needed is loaded by a whole run.
    geo_scout.pipeline.run(sys.argv[1], outputs=sys.argv[2])
    serve()
