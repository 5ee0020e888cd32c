"""Increases or decreases spread over a round or a row as evenly as whole numbers allow.

The gaps come from ``solver.recount.spread``. A decrease
is one stitch of the new round made of two of the old one, so decreases are spread over the
stitches that will be there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from evenround.solver.recount import spread

MOST_STITCHES = 10_000
"""More than any round has; a limit so that an answer stays readable."""


class SpreadError(ValueError):
    """Numbers that cannot be spread; the text is for the person who gave them."""


@dataclass(frozen=True, slots=True)
class Spread:
    """``changes`` (negative: decreases) spread over ``stitches``.

    ``plain`` has the plain stitches before each change and, last, after them all. ``flat``: in a
    row, not round the join; ``shift``: half a gap at both ends.
    """

    stitches: int
    changes: int
    flat: bool
    shift: bool
    plain: tuple[int, ...]

    @property
    def uses(self) -> int:
        """Stitches of the round below one change takes."""
        return 1 if self.changes > 0 else 2

    @property
    def result(self) -> int:
        """Stitches afterwards."""
        return self.stitches + self.changes

    @property
    def on(self) -> tuple[tuple[int, ...], ...]:
        """The stitches of the round below, from 1, that each change is worked on."""
        found, at = [], 0
        for plain in self.plain[:-1]:
            at += plain
            found.append(tuple(range(at + 1, at + self.uses + 1)))
            at += self.uses
        return tuple(found)

    @property
    def gaps(self) -> tuple[int, ...]:
        """Stitches of the round below from one change to the next, the change at the end with
        them. In the round they go over the join: the first is that before the first change. In
        a row the first is from the edge and the last, plain, to the other edge."""
        runs = [plain + self.uses for plain in self.plain[:-1]]
        if self.flat:
            return (*runs, self.plain[-1])
        return (runs[0] + self.plain[-1], *runs[1:])


def spread_out(stitches: int, changes: int, *, flat: bool = False, shift: bool = False) -> Spread:
    """``changes`` increases (negative: decreases) spread over ``stitches``.

    In the round the last change stands before the join and the longer gaps come first; with
    ``shift`` every change stands half a gap earlier, so that half a gap is at either side of the
    join. ``flat``, a row, has a whole gap at both ends, with ``shift`` half a gap. SpreadError
    where the numbers make no sense.
    """
    _check(stitches, changes)
    many = abs(changes)
    there = stitches if changes > 0 else stitches - many
    groups = many + 1 if flat and not shift else many
    gaps = spread(there, groups)
    if groups > many:
        plain = [*(gap - 1 for gap in gaps[:-1]), gaps[-1]]
    else:
        half = gaps[0] // 2 if shift else 0
        plain = [gaps[0] - 1 - half, *(gap - 1 for gap in gaps[1:]), half]
    return Spread(stitches, changes, flat, shift, tuple(plain))


def _check(stitches: int, changes: int) -> None:
    if not 1 <= stitches <= MOST_STITCHES:
        raise SpreadError(
            f"STITCHES: found {stitches:,}; a whole number from 1 to {MOST_STITCHES:,} "
            "would be right"
        )
    if changes == 0:
        raise SpreadError(
            "CHANGES: found 0; how many increases, or with a minus how many decreases"
        )
    if changes > stitches:
        raise SpreadError(
            f"CHANGES: found {changes:,} increases; at most one in each stitch, and there are "
            f"{stitches:,}"
        )
    if -2 * changes > stitches:
        raise SpreadError(
            f"CHANGES: found {-changes:,} decreases; each takes two stitches, and there are "
            f"{stitches:,}"
        )


def runs(values: Sequence[object]) -> list[tuple[int, int]]:
    """Where equal neighbours stand: (first, after the last), in order."""
    starts = [0, *(i for i in range(1, len(values)) if values[i] != values[i - 1])]
    return list(pairwise([*starts, len(values)])) if values else []
