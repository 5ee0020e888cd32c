"""On which counts rounds come out even, found by working them: multiple, counts, what is over.

Nothing is taken from what a figure is said to be: the rounds are worked one after another on
plain rounds of every count until it is plain on which counts they close.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from .counter import Below, CountError, work_round
from .counter import plain_round as plain_below
from .steps import Repeat, Step

WIDEST = 200
"""The widest repeat looked for, in stitches."""

MOST_STEPS = 1000
"""Steps of one round, those in repeats of so many times as often as they are worked."""

MOST_MADE = 12 * WIDEST
"""Places of one round while looking; more would take too long, and no band has them."""

Rounds = Sequence[Sequence[Step]]


class NoRepeatError(ValueError):
    """Rounds that do not come out even over and over. ``round`` counts from 0."""

    def __init__(self, message: str, round: int = 0) -> None:
        super().__init__(message)
        self.round = round


@dataclass(frozen=True, slots=True)
class Fitted:
    """Rounds come out on ``over`` + k x ``counts[0]`` stitches.

    ``counts`` are per repeat, before the first round and after each; ``over`` are the stitches
    outside the repeats, as many after every round as before the first.
    """

    counts: tuple[int, ...]
    over: int = 0

    @property
    def multiple(self) -> int:
        """Stitches one repeat takes."""
        return self.counts[0]


def around(repeat: Sequence[Step]) -> tuple[Step, ...]:
    """One repeat of a round, over and over to its end."""
    return (Repeat(tuple(repeat)),)


def fitted(rounds: Rounds) -> Fitted:
    """The counts on which whole rounds (each with its repeat to the end) come out.

    NoRepeatError where there are none up to three times ``WIDEST``, where they do not lie evenly
    apart, or where what is outside the repeats changes.
    """
    for place, steps in enumerate(rounds):
        if _length(steps) > MOST_STEPS:
            raise NoRepeatError(f"it is worked in more than {MOST_STEPS:,} steps a repeat", place)
    first, second, third = _three(rounds)
    multiple = second[0] - first[0]
    if third[0] - second[0] != multiple:
        found = ", ".join(str(counts[0]) for counts in (first, second, third))
        raise NoRepeatError(f"the rounds come out on {found} stitches, which is no repeat")
    counts = tuple(b - a for a, b in zip(first, second, strict=True))
    repeats = first[0] // multiple
    over = [count - repeats * each for count, each in zip(first, counts, strict=True)]
    for place, (before, after) in enumerate(pairwise(over)):
        if before != after:
            message = f"it takes {before} stitches outside its repeats and leaves {after}"
            raise NoRepeatError(message, place)
    if tuple(b - a for a, b in zip(second, third, strict=True)) != counts:
        raise NoRepeatError("the rounds do not leave as many from every repeat")
    return Fitted(counts, over[0])


def _three(rounds: Rounds) -> list[tuple[int, ...]]:
    """Counts before and after each round for the first three starts on which all come out."""
    found, furthest = _look(rounds)
    if len(found) == 3 and found[1][0] - found[0][0] <= WIDEST:
        return found
    if not found:
        right = f"it comes out even on no count up to {3 * WIDEST} stitches"
    elif _come_out(rounds, 2 * found[0][0]):
        right = f"the repeat takes {found[0][0]} stitches; a repeat takes at most {WIDEST}"
    else:
        counts = " and ".join(str(counts[0]) for counts in found)
        right = (
            f"it comes out on {counts} stitches only; a repeat to the end of the round "
            '("*...; rep from * around") would be right'
        )
    raise NoRepeatError(right, min(furthest, len(rounds) - 1))


def _look(rounds: Rounds) -> tuple[list[tuple[int, ...]], int]:
    """The first three fits, and how many rounds came out at most on any count.

    A round that cannot be worked at all, or makes too much, would on every larger count.
    """
    found: list[tuple[int, ...]] = []
    furthest = 0
    for start in range(1, 3 * WIDEST + 1):
        try:
            counts = worked_counts(rounds, start)
        except CountError:
            break
        furthest = max(furthest, len(counts) - 1)
        if len(counts) > len(rounds):
            found.append(counts)
        if len(found) == 3:
            break
    return found, furthest


def _come_out(rounds: Rounds, start: int) -> bool:
    try:
        return len(worked_counts(rounds, start)) > len(rounds)
    except CountError:
        return False


def _length(steps: Sequence[Step]) -> int:
    """Steps worked in one go through ``steps``."""
    many = 0
    for step in steps:
        inner = _length(step.steps) * (step.times or 1) if isinstance(step, Repeat) else 0
        many += 1 + inner
    return many


def worked_counts(rounds: Rounds, start: int) -> tuple[int, ...]:
    """Counts from ``start`` plain stitches on, as far as the rounds come out even; CountError
    where one cannot be worked or makes more than ``MOST_MADE``."""
    below: Below = plain_below(start)
    counts = [start]
    for steps in rounds:
        worked = work_round(steps, below)
        if not worked.even or worked.over_in_repeat or not worked.makes:
            break
        if worked.makes > MOST_MADE:
            raise CountError(f"a round of more than {MOST_MADE:,} places")
        below = worked.made
        counts.append(worked.makes)
    return tuple(counts)
