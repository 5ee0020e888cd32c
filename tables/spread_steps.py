"""A spread as steps of a round, folded into the shortest repeats, and in words.

The words are read again and the steps counted before anybody sees them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from evenround.solver.recount import InternalCheckError

from .rounds.counter import plain_round, work_round
from .rounds.pattern import Terms
from .rounds.steps import Into, Repeat, Step, Stitch, Together, Work, increase
from .spread import Spread, runs

Unit = tuple[Step, ...]
LONGEST_BLOCK = 60
"""Gaps in a repeat; a maker follows no longer one."""


def spread_steps(spread: Spread, stitch: Stitch) -> tuple[Step, ...]:
    """The round or row that works the spread."""
    change: Step = increase(stitch) if spread.changes > 0 else Together(stitch)
    before, last = spread.plain[:-1], spread.plain[-1]
    units = [(*_plain(stitch, n), change) for n in before]
    # a row has no "around": a repeat to its very end is said with a number
    left = last if last or not spread.flat else None
    return (*_folded(units, left), *_plain(stitch, last))


def _plain(stitch: Stitch, n: int) -> Unit:
    return (Work(stitch, n),) if n else ()


def _folded(units: Sequence[Unit], left: int | None) -> tuple[Step, ...]:
    """Units in order, always the repeat that covers most; one that runs to the last unit goes
    to the end of the round, or until ``left`` stitches are left (None: so many times)."""
    out: list[Step] = []
    at = 0
    while at < len(units):
        period, times = _longest(units, at)
        to_end = at + period * times == len(units) and left is not None
        if times > 1 and not to_end and _nests(units[at : at + period]):
            period, times = 1, _alike_from(units, at)  # no brackets inside brackets
            to_end = at + times == len(units) and left is not None
        block = units[at : at + period]
        # "around" behind plain stitches would be read as those over and over too
        lone = period == 1 and len(block[0]) == 1 and bool(out)
        at += period * times
        if to_end and lone and isinstance(block[0][0], Together):
            before = out.pop() if out[-1] == block[0][0] else None
            out.append(Repeat(block[0], times + (before is not None)))
        else:
            out += _repeated(block, times, left if to_end and not lone else None)
    return _joined(out)


def _longest(units: Sequence[Unit], at: int) -> tuple[int, int]:
    """The block from ``at`` that covers most units by being repeated: its length, how often."""
    best = (1, 1)
    for period in range(1, min(LONGEST_BLOCK, (len(units) - at) // 2) + 1):
        same = at + period
        while same < len(units) and units[same] == units[same - period]:
            same += 1
        times = (same - at) // period
        if times > 1 and period * times > best[0] * best[1]:
            best = (period, times)
    return best


def _nests(block: Sequence[Unit]) -> bool:
    """Whether a block has a repeat of so many times in it."""
    return any(isinstance(step, Repeat) for step in _in_runs(block))


def _alike_from(units: Sequence[Unit], at: int) -> int:
    """How many equal units stand from ``at`` on."""
    end = at + 1
    while end < len(units) and units[end] == units[at]:
        end += 1
    return end - at


def _repeated(block: Sequence[Unit], times: int, left: int | None) -> tuple[Step, ...]:
    inside = _in_runs(block)
    if times == 1:
        return inside
    if len(inside) == 1 and not isinstance(inside[0], Repeat):
        return (_many(inside[0], None if left == 0 else times),)
    return (Repeat(inside, times) if left is None else Repeat(inside, None, left),)


def _many(step: Step, times: int | None) -> Step:
    """A change with nothing between: in each of so many stitches (None: in each there is)."""
    assert isinstance(step, Into | Together)
    return replace(step, times=times)


def _in_runs(units: Sequence[Unit]) -> tuple[Step, ...]:
    """Units one after the other, equal neighbours as a repeat of so many times."""
    out: list[Step] = []
    for low, high in runs(units):
        unit = units[low]
        if high - low == 1:
            out += unit
        elif len(unit) == 1:
            out.append(_many(unit[0], high - low))
        else:
            out.append(Repeat(unit, high - low))
    return _joined(out)


def _joined(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Changes that follow one another, said once: 2 in each of the next 2."""
    out: list[Step] = []
    for step in steps:
        last = out[-1] if out else None
        if _alike(last, step):
            out[-1] = _many(step, _added(last, step))
        else:
            out.append(step)
    return tuple(out)


def _added(last: Step | None, step: Step) -> int | None:
    """How often two changes that follow one another; None where they go to the end."""
    assert isinstance(last, Into | Together) and isinstance(step, Into | Together)
    if last.times is None or step.times is None:
        return None
    return last.times + step.times


def _alike(last: Step | None, step: Step) -> bool:
    """Two changes that differ in nothing but how often."""
    if not isinstance(last, Into | Together) or not isinstance(step, Into | Together):
        return False
    return last.times is not None and replace(last, times=step.times) == step


def spread_words(spread: Spread, stitch: Stitch, terms: Terms) -> str:
    """The round in words in ``terms``, read back and counted.

    Raises InternalCheckError where the words do not say what the numbers do.
    """
    from .rounds.reader import read_steps
    from .rounds.writer import write_steps

    words = write_steps(spread_steps(spread, stitch), terms)
    worked = work_round(read_steps(words, terms), plain_round(spread.stitches))
    if not worked.comes_to(spread.result):
        raise InternalCheckError(
            f"{words!r} makes {worked.makes} of {worked.has} stitches, not {spread.result}"
        )
    return words
