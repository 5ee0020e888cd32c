"""One size worked from its first round to its last, each round on what the one before left.

After a wrong round the next is judged on the printed count, or on what was made (mended, where
one change mends it) where none is printed or where the next round speaks for it; after a round
that could not be counted on the next printed count. So every later round is judged on its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from .judge import Judged
from .mend import mends
from .rows import Course, Mend, Row, judged_row, printed_below, speaks_for

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
        if row.wrong and row.judged is not None:
            wrong += 1
            row = _going_on(course, at, row, row.judged, mending=mending and wrong <= MOST_MENDED)
            if mending and wrong > MOST_MENDED:
                row = replace(row, mends=(Mend(FIRST_THINGS_FIRST),))
        rows.append(row)
        below = row.after
    return rows


def _going_on(course: Course, at: int, row: Row, judged: Judged, *, mending: bool) -> Row:
    """What the next round is judged on after a wrong one."""
    found = mends(course, at, row) if mending else ()
    made = judged.likely.made
    printed = printed_below(row.given)
    following = course.rounds[at + 1] if at + 1 < len(course.rounds) else None
    row = replace(row, mends=found)
    if judged.trouble == "left":
        return replace(row, after=judged.worked.made, marked=True)
    if printed is None:
        best = next((mend for mend in found if mend.made is not None), None)
        if best is None or best.made is None or following is None:
            return replace(row, after=made)
        better = speaks_for(course, following, best.made) > speaks_for(course, following, made)
        return replace(row, after=best.made if better else made, marked=better)
    if following is not None and speaks_for(course, following, made) > speaks_for(
        course, following, printed
    ):
        return replace(row, after=made)
    mended = next((m.made for m in found if m.made is not None), None)
    if mended is not None and mended.count == printed.count:
        printed = mended
    return replace(row, after=printed, marked=True)


def score(rows: Sequence[Row]) -> int:
    """How much agrees: two for a round that comes out even and as printed, one where only one of
    both holds."""
    total = 0
    for row in rows:
        if row.judged is not None and row.judged.sound:
            total += 2 if not row.judged.readings else 1
    return total
