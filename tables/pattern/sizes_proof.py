"""The pattern for all sizes read back and counted, size by size, before it is shown.

As ``proof`` does for one size: through the reader's front door, every round worked stitch by
stitch on the one before. Each size must find its own rounds as the audit would, numbered from 1
without a gap, each making and printing what the size's tally has.
"""

from __future__ import annotations

from collections.abc import Sequence

from evenround.solver import InternalCheckError
from evenround.solver.tally import Tally
from evenround.tables.audit.expand import Given, rounds_of
from evenround.tables.rounds.counter import Below, CountError, plain_round, work_round
from evenround.tables.rounds.pattern import Pattern
from evenround.tables.rounds.reader import read_pattern

from .sizes_page import rounds_text
from .sizes_written import SizesPattern


def prove_sizes(pattern: SizesPattern, tallies: Sequence[Tally], text: str | None = None) -> None:
    """Read the pattern's rounds (or ``text`` in their place) and hold each size to its tally.

    Raises InternalCheckError where a size or one of its rounds is missing, unread, numbered
    otherwise, does not come out, or makes or prints another count.
    """
    read = read_pattern(rounds_text(pattern) if text is None else text, pattern.terms)
    if read.chain_said:
        raise InternalCheckError("the pattern reads as if opening chains counted; none does")
    if read.sizes != pattern.marks:
        raise InternalCheckError(f"the sizes read back as {read.sizes}, not {pattern.marks}")
    for size, tally in enumerate(tallies):
        _prove(pattern, read, size, tally)


def _prove(pattern: SizesPattern, read: Pattern, size: int, tally: Tally) -> None:
    """One size, from its first round to its last."""
    name = pattern.marks[size]
    unwritten = {
        number
        for r in pattern.patterns[size].rounds
        if r.steps is None
        for number in range(r.first, r.last + 1)
    }
    below = Below(()) if tally.crown is not None else plain_round(tally.start, "ch")
    counts, done = tally.round_counts, 0
    for given in rounds_of(read, name):
        done += 1
        where = f"size {name}, round {done}"
        if given.number != done:
            raise InternalCheckError(f"{where} is numbered {given.number}: {given.source.label}")
        if done > len(counts):
            raise InternalCheckError(f"{where} is read, but the piece has {len(counts)}")
        if done in unwritten:
            below = plain_round(counts[done - 1])
            continue
        below = _worked(where, given, counts[done - 1], below)
    if done < len(counts):
        raise InternalCheckError(f"size {name}, round {done + 1} is not read")


def _worked(where: str, given: Given, count: int, below: Below) -> Below:
    """The round worked on ``below`` as the text says to this size; what it makes."""
    text = given.source.text
    if given.steps is None or not given.printed:
        raise InternalCheckError(
            f"{where} cannot be read back ({given.why or 'it says too little'}): {text}"
        )
    try:
        worked = work_round(given.steps, below)
    except CountError as error:
        raise InternalCheckError(f"{where}: {error}") from None
    if not worked.comes_to(count):
        raise InternalCheckError(
            f"{where} as read uses {worked.uses} of {worked.has} and makes {worked.makes}, not "
            f"{count}: {text}"
        )
    if given.printed[0].number != count:
        raise InternalCheckError(f"{where} prints {given.printed[0].number}, not {count}: {text}")
    return worked.made
