"""The pattern for all sizes read back and counted, size by size, before it is shown.

As ``proof`` does for one size: through the reader's front door, every round worked stitch by
stitch on the one before. Each size must find its own rounds, numbered from 1 without a gap by
the labels as they are written, each making and printing what the size's tally has.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import TypeVar

from evenround.solver import InternalCheckError
from evenround.solver.tally import Tally
from evenround.tables.rounds.counter import Below, CountError, plain_round, work_round
from evenround.tables.rounds.pattern import Pattern, RoundText
from evenround.tables.rounds.reader import read_pattern

from .sizes_page import rounds_text
from .sizes_written import SizesPattern

_Value = TypeVar("_Value")
_NUMBERS = re.compile(r"\bRnds?\s+(?P<first>\d+(?:-\d+)?)(?:\s*\((?P<more>[\d\s,-]+)\))?")


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
    for number, each in _numbered(read, name):
        done += 1
        where = f"size {name}, round {done}"
        if number != done:
            raise InternalCheckError(f"{where} is numbered {number}: {each.label}")
        if done > len(counts):
            raise InternalCheckError(f"{where} is read, but the piece has {len(counts)}")
        if done in unwritten:
            below = plain_round(counts[done - 1])
            continue
        below = _worked(where, each, name, read, counts[done - 1], below)
    if done < len(counts):
        raise InternalCheckError(f"size {name}, round {done + 1} is not read")


def _numbered(read: Pattern, name: str) -> Iterator[tuple[int, RoundText]]:
    """The rounds of a size in the order of the text, with the number each has in it."""
    for each in read.rounds:
        if each.sizes is not None and name not in each.sizes:
            continue
        found = _NUMBERS.search(each.label)
        if found is None:
            raise InternalCheckError(f"a round without a number is read: {each.text}")
        numbers = [found["first"], *re.split(r",\s*", found["more"] or "")]
        own = _own([n for n in numbers if n], each, name, read)
        first, _, last = own.partition("-")
        for number in range(int(first), int(last or first) + 1):
            yield number, each


def _own(values: Sequence[_Value], each: RoundText, name: str, read: Pattern) -> _Value:
    """A size's value among those of a round: the only one, or the one at its place among the
    sizes the round is for."""
    if len(values) == 1:
        return values[0]
    among = read.sizes if each.sizes is None else each.sizes
    if len(values) != len(among):
        raise InternalCheckError(f"{len(values)} values for {len(among)} sizes: {each.label}")
    return values[among.index(name)]


def _worked(
    where: str, each: RoundText, name: str, read: Pattern, count: int, below: Below
) -> Below:
    """The round worked on ``below`` as the text says to this size; what it makes."""
    if each.steps is None or each.unread is not None or not each.printed:
        why = each.unread.why if each.unread is not None else "it says too little"
        raise InternalCheckError(f"{where} cannot be read back ({why}): {each.text}")
    try:
        worked = work_round(_own(each.steps, each, name, read), below)
    except CountError as error:
        raise InternalCheckError(f"{where}: {error}") from None
    if not worked.even or worked.over_in_repeat or worked.makes != count:
        raise InternalCheckError(
            f"{where} as read uses {worked.uses} of {worked.has} and makes {worked.makes}, not "
            f"{count}: {each.text}"
        )
    printed = _own(each.printed, each, name, read)
    if not printed or printed[0].number != count:
        found = printed[0].number if printed else "nothing"
        raise InternalCheckError(f"{where} prints {found}, not {count}: {each.text}")
    return worked.made
