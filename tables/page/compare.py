"""Candidates, or sizes, side by side: the cells are those of the family's table.

A candidate is a row that can be sorted; sizes are columns, for they are read across.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from evenround.solver.candidate import Candidate, Fit
from evenround.solver.family import Family, Grade, Rules, Shared
from evenround.tables.family import Graded
from evenround.tables.family.rows import Row, rows
from evenround.tables.plan import Plan, Unit
from evenround.tables.reasons import breach_words, mend_words
from evenround.tables.underneath import exact_gauge
from evenround.tables.words import length, number, over_words, signed

from .views import Cell, Line, Table

LONGER = {
    "stitches =": "stitches = repeats",
    "band from": "band begins",
    "depth cm": "depth cm, off",
    "depth in": "depth in, off",
    "around cm": "around cm, off",
    "around in": "around in, off",
}
"""Headings spelled out: a page has room for them."""

_NUMBER = re.compile(r"[-+]?\d+(?:\.\d+)?")


def candidates_table(
    plan: Plan, candidates: Sequence[Candidate], unit: Unit, anchors: Sequence[str]
) -> Table:
    """A row a candidate; a row whose anchor is empty leads nowhere."""
    made = _rows([plan] * len(candidates), candidates, unit)
    made += _yarn_row(candidates)
    lines = tuple(
        Line(
            str(c.rank),
            tuple(_cell(row, i, candidates) for row in made),
            anchor,
            "efficient" if c.pareto else "",
        )
        for i, (c, anchor) in enumerate(zip(candidates, anchors, strict=True))
    )
    headings = tuple(LONGER.get(row.label, row.label) for row in made)
    return Table("Candidates, best first", "no.", headings, lines)


def sizes_table(
    plans: Sequence[Plan], candidates: Sequence[Candidate], unit: Unit, caption: str
) -> Table:
    """A column a size, a row a measure."""
    return _turned([plan.size for plan in plans], _rows(plans, candidates, unit), caption)


def family_table(graded: Graded, family: Family) -> Table:
    """The sizes of one family side by side."""
    return _turned(graded.names, rows(graded, family), f"Family {family.rank}, size by size")


def _turned(names: Sequence[str], made: Sequence[Row], caption: str) -> Table:
    from evenround.tables.words import clean

    lines = tuple(
        Line(LONGER.get(row.label, row.label), tuple(Cell(cell) for cell in row.cells))
        for row in made
    )
    return Table(caption, "size", tuple(map(clean, names)), lines)


def _rows(plans: Sequence[Plan], candidates: Sequence[Candidate], unit: Unit) -> list[Row]:
    """The family's rows for candidates that are none: nothing is kept, nothing compared."""
    alone = (None,) * len(candidates)
    grade = Grade("proven", (), alone)
    graded = Graded(tuple(plans), Rules(kept=frozenset()), grade, unit)
    return rows(graded, Family(1, tuple(candidates), Shared(), {}, 0, 0))


def _yarn_row(candidates: Sequence[Candidate]) -> list[Row]:
    grams = [c.measures.yarn.grams for c in candidates]
    if all(g is None for g in grams):
        return []
    return [Row("yarn g", tuple(("-",) if g is None else (number(g, 0),) for g in grams))]


def _cell(row: Row, place: int, candidates: Sequence[Candidate]) -> Cell:
    """Lengths with a wish are sorted by how far they are off it, the others by their number."""
    lines, measures = row.cells[place], candidates[place].measures
    by: dict[str, Callable[[], float | None]] = {
        "around": lambda: measures.around_miss_cm,
        "depth": lambda: measures.depth_miss_cm,
        "nudges": lambda: float(sum(abs(n.change) for n in measures.nudges)),
    }
    off = by.get(row.label.split()[0], lambda: None)()
    if off is not None:
        return Cell(lines, round(abs(off), 6))
    found = _NUMBER.search(" ".join(lines))
    return Cell(lines, None if found is None else float(found[0]))


def near_table(plan: Plan, fit: Fit, unit: Unit) -> Table | None:
    """The counts just outside a single requirement; None where there are none."""
    if not fit.near_misses:
        return None
    lines = tuple(
        Line(
            str(miss.side_count),
            tuple(
                Cell((text,))
                for text in (
                    length(miss.around_cm, unit),
                    signed(miss.miss_cm, unit),
                    number(exact_gauge(plan, miss), 2),
                    breach_words(miss.breach, unit),
                    mend_words(miss, unit),
                )
            ),
        )
        for miss in fit.near_misses
    )
    heads = (
        f"around {unit}",
        f"off {unit}",
        f"exact at sts / {over_words(plan)}",
        "what it breaks",
        "what would mend it",
    )
    return Table("Near misses: each breaks one requirement", "stitches", heads, lines)
