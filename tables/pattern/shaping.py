"""Rounds that add or drop stitches, as steps: in sectors, shifted, or spread with unequal gaps.

The gaps come from ``solver.recount.spread``. A shifted
round has its first increase half a sector later, so that the increases of neighbouring rounds
do not stand in line and no polygon shows; what is left over the join is the rest of the sector,
so that the gap there is as wide as the others.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from evenround.solver import InternalCheckError
from evenround.solver.recount import spread
from evenround.tables.rounds.steps import (
    Into,
    Repeat,
    Several,
    Step,
    Stitch,
    Together,
    Work,
)


def even_round(stitch: Stitch) -> tuple[Step, ...]:
    """One in each."""
    return (Work(stitch, None),)


def change_round(stitch: Stitch, count: int, change: int, *, shift: bool) -> tuple[Step, ...]:
    """The steps that turn ``count`` places into ``count + change``, evenly spread.

    ``shift``: begin with half a gap, so that nothing stands at the join. Raises
    InternalCheckError where more are dropped than two in one can drop.
    """
    if change == 0:
        return even_round(stitch)
    if change < 0:
        return _decreases(stitch, count, -change, shift=shift)
    each, extra = divmod(count + change, count)
    if extra == 0:
        return (Into((Several(stitch, each),), None),)
    return _changes(
        stitch, spread(count, extra), Into((Several(stitch, each + 1),)), 1, each, shift=shift
    )


def _decreases(stitch: Stitch, count: int, fewer: int, *, shift: bool) -> tuple[Step, ...]:
    if 2 * fewer > count:
        raise InternalCheckError(f"{count} stitches cannot lose {fewer} in one round")
    return _changes(stitch, spread(count, fewer), Together(stitch), 2, 1, shift=shift)


def _changes(
    stitch: Stitch, gaps: Sequence[int], change: Step, uses: int, each: int, *, shift: bool
) -> tuple[Step, ...]:
    """A change in every gap, the rest of the gap plain (``each`` stitches in a place).

    Unshifted rounds begin with the change of an increase; a decrease follows its plain
    stitches. Shifted ones begin with half the plain stitches of the first gap.
    """
    plain = [gap - uses for gap in gaps]
    if not shift:
        increases = isinstance(change, Into)
        return _folded([_unit(stitch, n, change, each, first=increases) for n in plain])
    # half a gap and its change stand before the repeat, the other half after it
    before = (plain[0] + 1) // 2
    after = plain[0] - before
    units = [_unit(stitch, n, change, each) for n in (before, *plain[1:])]
    if after == 0:
        return _folded(units)
    return (*units[0], *_folded(units[1:], after), *_plain(stitch, after, each))


def _unit(
    stitch: Stitch, n: int, change: Step, each: int, *, first: bool = False
) -> tuple[Step, ...]:
    """A gap: its plain stitches and its change, which may stand first."""
    plain = _plain(stitch, n, each)
    return (change, *plain) if first else (*plain, change)


def _plain(stitch: Stitch, n: int, each: int) -> tuple[Step, ...]:
    """``each`` stitches in each of n places; nothing for none."""
    if n == 0:
        return ()
    return (Work(stitch, n) if each == 1 else Into((Several(stitch, each),), n),)


def _folded(units: Sequence[tuple[Step, ...]], left: int = 0) -> tuple[Step, ...]:
    """Units in order, written as the shortest repeat there is.

    What fills the round is one repeat to the end, or until ``left`` places are left; what does
    not come out even is a repeat of so many times and the rest written out.
    """
    if not units:
        return ()
    period = _period(units)
    times, over = divmod(len(units), period)
    block = _runs(units[:period])
    if times == 1:
        return _runs(units)
    if over == 0:
        return (Repeat(block, None, left),)
    if any(isinstance(step, Repeat) for step in block):
        return _runs(units)  # no brackets inside brackets
    return (Repeat(block, times), *_runs(units[period * times :]))


def _period(units: Sequence[tuple[Step, ...]]) -> int:
    """The shortest block that, over and over, gives the units (the last one may be cut)."""
    for period in range(1, len(units) // 2 + 1):
        if all(units[i] == units[i - period] for i in range(period, len(units))):
            return period
    return len(units)


def _runs(units: Sequence[tuple[Step, ...]]) -> tuple[Step, ...]:
    """Units one after the other, equal neighbours as a repeat in brackets."""
    out: list[Step] = []
    starts = [0, *(i for i in range(1, len(units)) if units[i] != units[i - 1]), len(units)]
    for low, high in pairwise(starts):
        unit, times = units[low], high - low
        if times == 1:
            out += unit
        else:
            out.append(Repeat(unit, times))
    return tuple(out)
