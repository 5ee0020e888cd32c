"""A pattern laid out for one size: every round by itself, with its steps and printed counts.

"Rnds 6-14" become nine rounds, "as Rounds 6-7" the steps of those, "next round" a number; rounds
of other sizes are left out. Counts are not looked at here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TypeVar

from evenround.tables.rounds.pattern import Pattern, Printed, RoundText
from evenround.tables.rounds.steps import Step

MOST_ROUNDS = 20_000
"""More rounds than this in one size are no piece of crochet; the rest is not counted."""


@dataclass(frozen=True, slots=True)
class Given:
    """One round as given: ``steps`` None where it cannot be counted (``why`` says why).
    ``order`` is its place in the text: the entry's index and its number; ``within`` how many
    rounds of the entry come before it, which is alike in sizes that number for themselves."""

    label: str
    number: int
    source: RoundText
    steps: tuple[Step, ...] | None
    printed: tuple[Printed, ...]
    order: tuple[int, int]
    why: str = ""
    within: int = 0

    @property
    def instruction(self) -> tuple[int, int]:
        """The entry's index and the round within it: the same in every size."""
        return self.order[0], self.within

    @property
    def over(self) -> int | None:
        """How many places it is worked over, where that is not the whole round."""
        return self.source.over


def sizes_of(pattern: Pattern) -> tuple[str | None, ...]:
    """The sizes to count: their names, or None once for a pattern in one size."""
    return pattern.sizes or (None,)


def rounds_of(pattern: Pattern, size: str | None) -> list[Given]:
    """Every round of a size in order; at most ``MOST_ROUNDS``."""
    given: list[Given] = []
    for given_round in _all_rounds(pattern, size):
        if len(given) == MOST_ROUNDS:
            break
        given.append(given_round)
    return given


def _all_rounds(pattern: Pattern, size: str | None) -> Iterator[Given]:
    known: dict[int, Given] = {}
    number = 0
    for index, source in enumerate(pattern.rounds):
        if source.sizes is not None and size is not None and size not in source.sizes:
            continue
        first = number + 1 if source.first is None else source.first
        last = max(first, first if source.last is None else source.last)
        first, last = _for_size(pattern, source, source.ranges, size) or (first, last)
        before = number
        if source.until and source.as_rounds is not None:  # each of them once
            last = first + source.as_rounds[1] - source.as_rounds[0]
        for number in range(first, last + 1):
            given = _given(pattern, source, size, known, (index, number), first)
            if number < last and not _each_prints(source, known, given.printed):
                given = replace(given, printed=())
            if not source.until or source.first == number:
                known[number] = given
            yield given
        if source.until:  # nobody knows how many: a round of its own number at most
            number = before if source.first is None else first


def _each_prints(source: RoundText, known: dict[int, Given], printed: tuple[Printed, ...]) -> bool:
    """Whether a count is that of every round of an entry. One behind rounds that repeat others is
    of the last, unless those have the same count themselves: "Rep Rnds 2-3 once more (54)"."""
    if source.as_rounds is None:
        return True
    low, high = source.as_rounds
    return all(known[n].printed == printed for n in range(low, high + 1) if n in known)


def _given(
    pattern: Pattern,
    source: RoundText,
    size: str | None,
    known: dict[int, Given],
    order: tuple[int, int],
    first: int,
) -> Given:
    number = order[1]
    steps, why = _steps(pattern, source, size, known, number - first)
    printed = _for_size(pattern, source, source.printed, size) or ()
    return Given(
        label_of(source, number), number, source, steps, printed, order, why, number - first
    )


def _steps(
    pattern: Pattern, source: RoundText, size: str | None, known: dict[int, Given], at: int
) -> tuple[tuple[Step, ...] | None, str]:
    if source.as_rounds is not None:
        low, high = source.as_rounds
        wanted = low + at % (max(low, high) - low + 1)
        if wanted not in known:
            return None, f"it repeats round {wanted}, which does not stand before it"
        if known[wanted].steps is None:
            return None, f"it repeats round {wanted}, which was not read"
        return known[wanted].steps, ""
    if source.steps is None:
        return None, source.unread.why if source.unread is not None else "it was not understood"
    return _for_size(pattern, source, source.steps, size), ""


_Value = TypeVar("_Value")


def _for_size(
    pattern: Pattern, source: RoundText, values: tuple[_Value, ...], size: str | None
) -> _Value | None:
    """The value of a size: the only one, or the one at the size's place; where a round for some
    sizes gives one for each of those, at its place among them."""
    if not values:
        return None
    if len(values) == 1 or size is None:
        return values[0]
    among = pattern.sizes
    if source.sizes is not None and len(source.sizes) == len(values) != len(pattern.sizes):
        among = source.sizes
    at = among.index(size)
    return values[at] if at < len(values) else values[-1]


_RANGE = re.compile(r"(\d+)(?:st|nd|rd|th)?\s*(?:-|\u2013|\u2014|to|and|&|,)\s*\D{0,12}?\d+", re.I)
_MANY = re.compile(r"\b(rounds|rnds|rows)\b", re.I)
_NAMED = re.compile(
    r"(?:\d+(?:st|nd|rd|th)\s+(?:rnd|round|row)s?|next\s+(?:rnd|round|row)s?"
    r"|(?<![a-z])(?:rnds?|rounds?|rows?|r)\s*\.?\s*\d+.*)",
    re.I,
)
_TRIMMED = " |:.,-\u2013\u2014)("


def label_of(source: RoundText, number: int) -> str:
    """The label of one round in the pattern's own word: "Rnds 6-14" -> "Rnd 6", "5)" -> "Rnd
    5", "Size 4 only - 9th round" -> "9th round"."""
    if source.until and source.first is None:
        return source.label
    found = _NAMED.search(source.label)
    label = (found[0] if found else source.label).strip(_TRIMMED)
    if label.count("(") > label.count(")"):
        label = label[: label.rindex("(")].strip(_TRIMMED)  # an aside such as "(increase)"
    if not any(mark.isalpha() for mark in label) or source.ranges:
        return f"Rnd {number}"
    if source.last is None or source.last == source.first:
        return label
    single = _MANY.sub(lambda word: word[0][:-1], label)
    single, ranges = _RANGE.subn(str(number), single, count=1)
    return single.strip(_TRIMMED) if ranges else f"Rnd {number}"
