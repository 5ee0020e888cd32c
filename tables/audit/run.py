"""One size worked from its first round to its last, each round on what the one before left.

After a wrong round the next is judged on the printed count, or on what was made (mended, where
one change mends it) where none is printed or where the next round speaks for it; after a round
that could not be counted on the next printed count. So every later round is judged on its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from evenround.tables.rounds.counter import Below, plain_round

from .expand import Given
from .judge import Judged
from .mend import mends
from .missing import missing_mend
from .rows import (
    Course,
    Mend,
    Row,
    carries_on,
    comes_out,
    judged_row,
    next_told,
    printed_below,
    speaks_for,
)
from .settle import figure_of

MOST_MENDED = 100
"""Wrong rounds of a size for which a mend is looked for; trying every change takes its time."""
FIRST_THINGS_FIRST = f"the {MOST_MENDED} wrong rounds before it come first"


def run(course: Course, *, mending: bool = True) -> list[Row]:
    """Every round judged in order. Without ``mending`` no way to mend a wrong round is looked
    for, which is enough to weigh settings."""
    rows: list[Row] = []
    wrong = 0
    below = course.first_below()
    for at, given in enumerate(course.rounds):
        row = judged_row(course, given, below, rows[-1] if rows else None)
        if mending and wrong <= MOST_MENDED:
            row = _by_the_next(course, at, row)
        if row.wrong and row.judged is not None:
            wrong += 1
            row = _going_on(course, at, row, row.judged, mending=mending and wrong <= MOST_MENDED)
            row = replace(row, carried=bool(rows) and carries_on(row, rows[-1]))
            if mending and wrong > MOST_MENDED:
                row = replace(row, mends=(Mend(FIRST_THINGS_FIRST),))
        rows.append(row)
        ends = all(g.source is not given.source for g in course.rounds[at + 1 : at + 2])
        if given.source.until and ends and _changes(rows):
            rows[-1] = row = replace(row, after=printed_below(given), marked=True)
        below = row.after
    return rows


def _changes(rows: Sequence[Row]) -> bool:
    """Whether rounds that are worked to a length, nobody knows how often, change the count."""
    last = rows[-1]
    first = next(row for row in rows if row.given.source is last.given.source)
    if first.below is None or last.after is None:
        return False
    return first.below.count != last.after.count


def _by_the_next(course: Course, at: int, row: Row) -> Row:
    """A round without a printed count that might be right by itself, with what the next says:
    one that runs past its marker is wrong where one change makes both come out; after a figure
    left open the next is judged on the count below, where it is written for that."""
    judged, below = row.judged, row.below
    if judged is None or row.wrong:
        return row
    wrong = replace(row, judged=replace(judged, trouble="short", remarks=()))
    if judged.worked.short and missing_mend(course, at, row) is not None:
        return wrong
    if row.given.printed or at + 1 >= len(course.rounds):
        return row
    following, made = course.rounds[at + 1], judged.worked.made
    if judged.readings and below is not None and figure_of(row.steps) is not None:
        if made.count == below.count or not following.printed:
            return row
        if speaks_for(course, following, below) > speaks_for(course, following, made):
            return replace(row, after=plain_round(below.count), marked=True)
    elif judged.worked.short and not judged.readings and not speaks_for(course, following, made):
        fits = (speaks_for(course, following, m.made) for m in mends(course, at, wrong) if m.made)
        return wrong if any(fit > 1 for fit in fits) else row
    return row


def _going_on(course: Course, at: int, row: Row, judged: Judged, *, mending: bool) -> Row:
    """What the next round is judged on after a wrong one."""
    found = mends(course, at, row) if mending else ()
    made = judged.likely.made
    printed = printed_below(row.given)
    following = next_told(course, at)
    row = replace(row, mends=found)
    if judged.trouble == "left":
        return replace(row, after=judged.worked.made, marked=True)
    if following is None and found and printed is not None and not judged.readings:
        return replace(row, after=found[0].made or printed, marked=found[0].made != made)
    if printed is None:
        best = next((mend for mend in found if mend.made is not None), None)
        if best is None or best.made is None or following is None:
            return replace(row, after=made)
        better = speaks_for(course, following, best.made) > speaks_for(course, following, made)
        return replace(row, after=best.made if better else made, marked=better)
    if following is not None and _made_is_meant(course, following, made, printed):
        return replace(row, after=made)
    mended = next((m.made for m in found if m.made is not None), None)
    if mended is not None and mended.count == printed.count:
        printed = mended
    return replace(row, after=printed, marked=True)


def _made_is_meant(course: Course, following: Given, made: Below, printed: Below) -> bool:
    """Whether the next round fits what was made better than what is printed; where it is as
    printed on neither, by which it comes out even."""
    fit, other = (speaks_for(course, following, below) for below in (made, printed))
    if fit or other:
        return fit > other
    return comes_out(course, following, made) and not comes_out(course, following, printed)


def score(rows: Sequence[Row]) -> int:
    """How much agrees: two for a round that comes out even and as printed, one where only one of
    both holds."""
    total = 0
    for row in rows:
        if row.judged is not None and row.judged.sound:
            total += 2 if not row.judged.readings else 1
    return total
