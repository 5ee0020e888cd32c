"""Figures that are left standing open at the join: their repeat does not come out even.

An increase round that leaves a few stitches over is a matter of reading; a shell, a fan or a
mesh that does so has a gap or a squeezed figure at the join, whatever is printed. Here the places
that a repeat takes are told from the round itself and the nearest counts that suit are tried.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from evenround.tables.rounds.counter import Below, CountError, work_round

from .bands import Bands, Order, by_size, family, inherit, label_for
from .findings import Fault, Finding
from .mend import nearest_counts
from .rows import Row, Sized
from .settle import cut_by_join, figure_of
from .wording import several


def unclosed(sized: Sequence[Sized], told: Bands) -> Bands:
    """Every round whose figure is left open at the join, size by size, those aside that were told
    already. A round on the same count, or right after one left open, only inherits it."""
    known = {(fault.size, order) for order, fault in told.faults}
    bands = Bands()
    found: dict[Order, list[Open]] = {}
    for one in sized:
        last: Row | None = None
        for row in one.rows:
            takes = _open_repeat(row)
            if takes and (one.size, row.given.order) not in known:
                found.setdefault(row.given.instruction, []).append(Open(one, row, takes, last))
                last = row
            elif not _same(last, row):
                last = None
    at: dict[tuple[str | None, Order], int] = {}
    for _, opened in sorted(found.items(), key=lambda pair: pair[0]):
        fresh = [each for each in opened if not _inherits(bands, at, each)]
        for each in fresh:
            order = each.row.given.order
            at[each.one.size, order] = len(bands.faults)
            bands.faults.append((order, _fault(each)))
        if fresh:
            bands.findings.append(_finding(fresh, sized))
    return bands


@dataclass(frozen=True)
class Open:
    """A round of one size whose figure is left open; ``last`` is the open round right before."""

    one: Sized
    row: Row
    takes: int
    last: Row | None

    @property
    def has(self) -> int:
        """Places of the round below."""
        return _has(self.row)

    @property
    def left(self) -> int:
        """Places that the text keeps behind the repeat."""
        repeat = figure_of(self.row.steps)
        return 0 if repeat is None else repeat.left

    @property
    def over(self) -> int:
        """Places over at the join, or before those that the text keeps behind the repeat."""
        judged = self.row.judged
        if self.left and judged is not None and judged.readings:
            return judged.readings[0][1].over_in_repeat
        return self.has % self.takes

    @cached_property
    def near(self) -> tuple[int, ...]:
        """The nearest counts that close."""
        if cut_by_join(self.row.steps) is None:
            return nearest_counts(self.one.course, self.row)
        whole = self.has - self.over
        return (whole, whole + self.takes) if whole else (self.takes,)


def _same(last: Row | None, row: Row) -> bool:
    """Whether a round leaves the count as an open one left it."""
    if last is None or last.after is None or row.after is None:
        return False
    return last.after.count == row.after.count


def _inherits(bands: Bands, at: dict[tuple[str | None, Order], int], each: Open) -> bool:
    if each.last is None:
        return False
    first = at.get((each.one.size, each.last.given.order))
    if first is None:
        return False
    at[each.one.size, each.row.given.order] = first
    inherit(bands, first, each.row)
    return True


def _open_repeat(row: Row) -> int:
    """The places that the figure of a round takes, where it leaves some over; else 0."""
    judged = row.judged
    if judged is None or not judged.sound or not judged.has:
        return 0
    cut = judged.worked.over_in_repeat and cut_by_join(row.steps) is not None
    if not judged.readings and not cut:
        return 0
    repeat = figure_of(row.steps)
    if repeat is None:
        return 0
    try:
        takes = work_round(repeat.steps, Below(())).uses
    except CountError:
        return 0
    return takes if takes > 1 and (repeat.left or judged.has % takes) else 0


def _has(row: Row) -> int:
    return 0 if row.judged is None or row.judged.has is None else row.judged.has


def _fault(each: Open) -> Fault:
    near, given = each.near, each.row.given
    where = f"before the last {each.left}" if each.left else "at the join"
    return Fault(
        given.label,
        each.one.size,
        given.source.section,
        given.source.where.line,
        f"its figure takes {each.takes} and does not close on {each.has}: {each.over} over {where}",
        (f"{several([str(n) for n in near], 'or')} sts, which close", *_by_increase(each))
        if near
        else (),
    )


def _by_increase(each: Open) -> tuple[str, ...]:
    """What the last increase round before the figure would add to reach a count that closes."""
    at = next(i for i, row in enumerate(each.one.rows) if row is each.row)
    for row in reversed(each.one.rows[:at]):
        judged = row.judged
        if judged is None or judged.has is None or not judged.sound:
            return ()
        if judged.worked.makes != each.has:
            return ()
        if judged.has == each.has:
            continue
        adds = each.has - judged.has
        reached = {n - judged.has: n for n in each.near if n > judged.has}
        if adds < 1 or not reached or figure_of(row.steps) is not None:
            return ()
        other = several([str(n) for n in reached], "or")
        counts = several([str(n) for n in reached.values()], "or")
        return (f"{row.given.label} adding {other} instead of {adds} would make {counts}",)
    return ()


def _finding(opened: Sequence[Open], sized: Sequence[Sized]) -> Finding:
    """The figure in one paragraph with every size of the round, those that close too."""
    first = opened[0]
    over = {each.one.size: each.over for each in opened}
    parts, counts = [], []
    for one in sized:
        row = next((r for r in one.rows if _is(r, first.row)), None)
        if row is None or (one.size not in over and (row.judged is None or row.judged.readings)):
            continue
        counts.append(_has(row))
        parts.append(
            (one.size, counts[-1], f"{over[one.size]} over" if one.size in over else "closes")
        )
    label = label_for([each.row for each in opened])
    text = f"{label}: the figure takes {first.takes}. {by_size(parts)}."
    if near := sorted({n for each in opened for n in each.near}):
        text += f" Counts that close: {several([str(n) for n in near])}"
        if len(counts) > 1 and not first.left:  # a family is of multiples
            text += f"; {family(sorted(counts), first.takes)}"
    return Finding("band", text, wrong=True)


def _is(row: Row, other: Row) -> bool:
    """Whether two sizes' rounds are the same round of one instruction."""
    return row.given.instruction == other.given.instruction
