"""Which repeats suit a count, and the nearest counts that suit a repeat: whole numbers only."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from .nudge import nudge_limit
from .piece import Piece

FURTHEST = 10_000
"""Counts above this are no round of crochet; the search for a count that suits ends there."""


@dataclass(frozen=True, slots=True)
class Multiple:
    """What a repeat wants: N = remainder (mod stitches + t x give) for a t in ``gives`` (both
    ends included), over at least two repeats; an even number of them where ``pairs``."""

    stitches: int
    remainder: int = 0
    give: int = 0
    gives: tuple[int, int] = (0, 0)
    pairs: bool = False

    def at(self, t: int) -> int:
        """Stitches of one repeat with t plain stitches of give."""
        return self.stitches + t * self.give

    def give_of(self, stitches: int) -> int | None:
        """The t of ``gives`` at which one repeat has so many stitches; None where there is none."""
        low, high = self.gives if self.give else (0, 0)
        return next((t for t in range(low, high + 1) if self.at(t) == stitches), None)

    def fitting(self, count: int) -> Iterator[tuple[int, int]]:
        """``(t, repeats)`` for every t at which the count comes out even."""
        low, high = self.gives if self.give else (0, 0)
        for t in range(low, high + 1):
            repeats, rest = divmod(count - self.remainder, self.at(t))
            if rest == 0 and repeats >= 2 and not (self.pairs and repeats % 2):
                yield t, repeats

    def suits(self, count: int) -> bool:
        """Whether the count comes out even."""
        return any(True for _ in self.fitting(count))


def suits_all(wishes: Sequence[Multiple], count: int) -> bool:
    """Whether a count serves every one of the repeats."""
    return all(wish.suits(count) for wish in wishes)


def nearest(wishes: Sequence[Multiple], count: int) -> tuple[int | None, int | None]:
    """The nearest counts below and above (never the count itself) that serve all the repeats;
    None where there is none up to FURTHEST."""
    below = next((n for n in range(count - 1, 0, -1) if suits_all(wishes, n)), None)
    above = next((n for n in range(count + 1, FURTHEST + 1) if suits_all(wishes, n)), None)
    return below, above


def usual_nudge(count: int) -> int:
    """The largest nudge that is usual on a count: 5 % of it, and 6 stitches."""
    return nudge_limit(Piece(()), count)
