"""The command line: files, terminal, exit codes. Knows tables and solver; nothing knows it."""

from __future__ import annotations

import sys
from collections.abc import Sequence

__all__ = ["main"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run ``evenround`` with these arguments (default: the process's own); the exit code.

    Codes: 0 done; 1 done in part; 2 bad input; 3 no proof in time; 4 impossible; 5 an internal
    check failed.
    """
    from .app import run

    return run(sys.argv[1:] if arguments is None else list(arguments))
