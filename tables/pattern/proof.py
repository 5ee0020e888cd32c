"""The pattern's text read back and counted before it is shown.

The text goes through the reader's front door, as anybody's pattern would, and every round it
has is worked stitch by stitch on the round that the text before it made. Only a figure that the
pattern says is not written out is taken at its word.
"""

from __future__ import annotations

from collections.abc import Sequence

from evenround.solver import InternalCheckError
from evenround.tables.rounds.counter import Below, CountError, plain_round, work_round
from evenround.tables.rounds.pattern import Pattern, RoundText
from evenround.tables.rounds.reader import read_pattern
from evenround.tables.rounds.steps import Step

from .written import WrittenPattern


def prove(pattern: WrittenPattern, text: str, counts: Sequence[int], start: int | None) -> None:
    """Read ``text`` in the pattern's terms and hold every round to ``counts``.

    ``start`` are the chains a piece without a crown begins on. Raises InternalCheckError where
    a round is missing, unread, does not come out, or makes or prints another count.
    """
    read = read_pattern(text, pattern.terms)
    if read.chain_said:
        raise InternalCheckError("the pattern reads as if opening chains counted; none does")
    open_rounds = {n for r in pattern.rounds if r.steps is None for n in range(r.first, r.last + 1)}
    said = _by_number(read)
    below = Below(()) if start is None else plain_round(start, "ch")
    for number, count in enumerate(counts, 1):
        if number in open_rounds:
            below = plain_round(count)
            continue
        below = _worked(number, count, said, below)
    if extra := set(said) - set(range(1, len(counts) + 1)):
        raise InternalCheckError(f"round {min(extra)} is read, but the piece has {len(counts)}")


def _by_number(read: Pattern) -> dict[int, RoundText]:
    """Every round of the text by its number, folded ones opened."""
    found: dict[int, RoundText] = {}
    for each in read.rounds:
        if each.first is None:
            raise InternalCheckError(f"a round without a number is read: {each.text}")
        for number in range(each.first, (each.last or each.first) + 1):
            if number in found:
                raise InternalCheckError(f"round {number} is read twice")
            found[number] = each
    return found


def _worked(number: int, count: int, said: dict[int, RoundText], below: Below) -> Below:
    """The round worked on ``below`` as the text says; what it makes."""
    each = said.get(number)
    if each is None:
        raise InternalCheckError(f"round {number} is not read")
    try:
        worked = work_round(_steps(number, each, said), below)
    except CountError as error:
        raise InternalCheckError(f"round {number}: {error}") from None
    if not worked.comes_to(count):
        raise InternalCheckError(
            f"round {number} as read uses {worked.uses} of {worked.has} and makes "
            f"{worked.makes}, not {count}: {each.text}"
        )
    printed = each.printed[0] if each.printed else ()
    if not printed or printed[0].number != count:
        found = printed[0].number if printed else "nothing"
        raise InternalCheckError(f"round {number} prints {found}, not {count}: {each.text}")
    return worked.made


def _steps(number: int, each: RoundText, said: dict[int, RoundText]) -> tuple[Step, ...]:
    """What a round works; "as an earlier round" looked up there."""
    if each.as_rounds is not None:
        earlier = said.get(each.as_rounds[0])
        if earlier is not None and earlier.as_rounds is None and earlier.steps is not None:
            return earlier.steps[0]
    if each.steps is None or each.unread is not None:
        why = each.unread.why if each.unread is not None else "it says nothing"
        raise InternalCheckError(f"round {number} cannot be read back ({why}): {each.text}")
    return each.steps[0]
