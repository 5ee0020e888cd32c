"""The families for a terminal: below each other, a column per size, 80 columns wide.

Where the sizes do not all fit beside each other they are wrapped into blocks.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import wrap

from evenround.solver.family import Family
from evenround.tables.layout import GAP, WIDTH, Column, lay_out, paragraph
from evenround.tables.words import clean, length, over_words, own_stitch, shortly, signed

from .graded import Graded
from .rows import Row, rows
from .under import under, warning_lines
from .words import family_shared, odd_words, score_line

LABEL = 14
"""A band's name may be long; its label then takes several lines."""


def family_page(graded: Graded) -> str:
    """The whole answer: what was asked, each family's table, and what stands under them."""
    blocks = [heading(graded), *(family_block(graded, f) for f in graded.grade.families)]
    return "\n\n".join([*blocks, *under(graded)]) + "\n"


def heading(graded: Graded) -> str:
    """What was asked for, and what the order of the families is worth."""
    plan = graded.plans[0]
    sizes = f"{len(graded.plans)} sizes" if len(graded.plans) > 1 else graded.names[0]
    gauge = f"{own_stitch(plan, 0)} {plan.gauge_stitches:.4g} sts / {over_words(plan)}"
    assumed = " (assumed)" if plan.gauge_assumed else ""
    asked = [f"{clean(plan.title)}: {sizes}", _asked(graded), f"{gauge}{assumed}"]
    best = "Best first; the first is proven the best."
    if graded.grade.status == "unproven":
        best = "NOT PROVEN: time ran out, these are the best found so far."
    return "\n".join(paragraph(line) for line in (f"{'; '.join(filter(None, asked))}.", best))


def _asked(graded: Graded) -> str:
    """Heads, ease and how far off a size may be."""
    unit, plans = graded.unit, graded.plans
    far = f"give or take {shortly(plans[0].piece.limits.around_cm, unit)}"
    heads = [plan.head_cm for plan in plans]
    arounds = [plan.piece.around_cm for plan in plans]
    if None not in heads:
        eases = {plan.ease_cm or 0.0 for plan in plans}
        ease = f", ease {signed(eases.pop(), unit)}" if len(eases) == 1 else ", ease by size"
        what = "heads" if len(heads) > 1 else "head"
        return f"{what} {_span(heads, graded)}{ease}, {far}"
    return f"{_span(arounds, graded)} around, {far}" if None not in arounds else far


def _span(values: Sequence[float | None], graded: Graded) -> str:
    known = [length(value, graded.unit) for value in values if value is not None]
    ends = dict.fromkeys((known[0], known[-1]))
    return f"{' to '.join(ends)} {graded.unit}"


def family_block(graded: Graded, family: Family) -> str:
    """One family: its score, what is shared, what differs, then the sizes side by side."""
    lines = [score_line(family), family_shared(graded, family)]
    if differ := odd_words(graded, family):
        lines.append(f"Differ: {'; '.join(differ)}.")
    told = [paragraph(line, indent="  ", first="") for line in lines]
    told = ["\n".join(told), table(graded, family)]
    if warnings := warning_lines(graded, family):
        told.append("\n".join(warnings))
    return "\n\n".join(told)


def table(graded: Graded, family: Family) -> str:
    """A row per measure, a column per size, in as many blocks as the page's width asks for."""
    made = rows(graded, family)
    columns = [_size_column(name, i, made) for i, name in enumerate(graded.names)]
    labels = Column(("",), tuple(tuple(wrap(row.label, LABEL)) for row in made))
    return "\n\n".join(lay_out([labels, *block]) for block in _blocks(labels, columns))


def _size_column(name: str, place: int, made: Sequence[Row]) -> Column:
    """One size under its name, which takes several lines where it is wider than its cells."""
    cells = tuple(row.cells[place] for row in made)
    width = max(len(line) for cell in cells for line in cell)
    return Column(tuple(wrap(name, max(width, 10), break_on_hyphens=False)), cells)


def _blocks(labels: Column, columns: Sequence[Column]) -> Iterator[list[Column]]:
    """As many sizes side by side as the page holds, the blocks about equally full."""
    room = WIDTH - labels.width - GAP
    fit = 1
    while fit < len(columns) and all(
        sum(c.width + GAP for c in columns[i : i + fit + 1]) - GAP <= room
        for i in range(len(columns) - fit)
    ):
        fit += 1
    blocks = -(-len(columns) // fit)
    each = -(-len(columns) // blocks)
    for first in range(0, len(columns), each):
        yield list(columns[first : first + each])
