"""The command line: files, terminal, exit codes. Knows tables and solver; nothing knows it."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from typing import NoReturn

__all__ = ["main", "start"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run ``evenround`` with these arguments (default: the process's own); the exit code.

    Codes: 0 done; 1 done in part; 2 bad input; 3 no proof in time; 4 impossible; 5 an internal
    check failed.
    """
    # A short process that imports much and keeps all of it: looking for garbage while it imports
    # costs a tenth of its time and finds none.
    gc.set_threshold(100_000, 50, 50)
    from .app import run

    return run(sys.argv[1:] if arguments is None else list(arguments))


def start() -> NoReturn:
    """The installed command: run, then leave at once.

    Everything is written and closed by then; taking half a thousand imported modules apart one
    by one, as the interpreter does on its way out, took a quarter of the whole run.
    """
    if sys.stderr is None:  # closed; else a message on it would go to standard output
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115
    code = main()
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError, AttributeError):  # AttributeError: None, closed
            stream.flush()
    os._exit(code)
