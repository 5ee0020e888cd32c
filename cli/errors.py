"""How a command ends: exit codes and the one way to refuse.

0 done; 1 done in part; 2 bad input; 3 no proof in time; 4 impossible; 5 an internal check failed.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from enum import IntEnum
from pathlib import Path

_quiet = False


class Exit(IntEnum):
    """Exit codes of every command."""

    DONE = 0
    IN_PART = 1
    BAD_INPUT = 2
    NO_PROOF = 3
    IMPOSSIBLE = 4
    INTERNAL = 5


class RefusalError(Exception):
    """A command cannot go on; the text is the whole message, the code how it ends."""

    def __init__(self, message: str, code: Exit = Exit.BAD_INPUT):
        super().__init__(message)
        self.code = code


def say(message: str) -> None:
    """A message on stderr; a closed stderr is nobody's fault."""
    if sys.stderr is None:  # closed before we began; print would take stdout instead
        return
    try:
        print(message, file=sys.stderr, flush=True)
    except (OSError, ValueError):
        return


def be_quiet(wanted: bool) -> None:
    """Whether notes are kept back, as ``--quiet`` asks; errors never are."""
    global _quiet
    _quiet = wanted


def quiet() -> bool:
    """Whether only errors are wanted on stderr."""
    return _quiet


def note(message: str) -> None:
    """What is good to know and no error, on stderr; nothing with ``--quiet``."""
    if not _quiet:
        say(message)


def ending(work: Callable[[], int]) -> int:
    """Run a command's work; every failure becomes one message on stderr and an exit code."""
    try:
        return work()
    except RefusalError as refusal:
        say(f"evenround: {refusal}")
        return refusal.code
    except KeyboardInterrupt:
        say("evenround: stopped")
        return 130
    except Exception as error:
        return _unexpected(error)


def _unexpected(error: Exception) -> int:
    """A failed check of the solver's, or what nobody foresaw: one line, and where it happened."""
    where = _where(error)
    say(f"evenround: an internal check failed: {type(error).__name__}: {error}{where}")
    return Exit.INTERNAL


def _where(error: Exception) -> str:
    """The innermost line, for whoever has to mend it."""
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    if trace is None:
        return ""
    return f" ({Path(trace.tb_frame.f_code.co_filename).name}, line {trace.tb_lineno})"
