"""Families as Markdown: a table each, then what stands under them as text as it is."""

from __future__ import annotations

from evenround.solver.family import Family
from evenround.tables.safe import fenced, in_markdown
from evenround.tables.words import clean

from .graded import Graded
from .page import heading
from .rows import rows
from .under import under, warning_lines
from .words import family_shared, odd_words, score_line


def markdown_page(graded: Graded, detail: str | None = None) -> str:
    """The whole answer as Markdown; ``detail`` is text about one family's rounds."""
    blocks = [in_markdown(heading(graded))]
    for family in graded.grade.families:
        blocks += [_told(graded, family), _table(graded, family)]
    below = [line for f in graded.grade.families for line in _warned(graded, f)]
    texts = ["\n".join(below), *under(graded)]
    blocks.append(fenced("\n\n".join(filter(None, texts))))
    if detail is not None:
        blocks.append(fenced(detail))
    return "\n\n".join(blocks) + "\n"


def _told(graded: Graded, family: Family) -> str:
    lines = [score_line(family), family_shared(graded, family)]
    if differ := odd_words(graded, family):
        lines.append(f"Differ: {'; '.join(differ)}.")
    return in_markdown("\n".join(lines))


def _warned(graded: Graded, family: Family) -> list[str]:
    lines = warning_lines(graded, family)
    return [f"Family {family.rank}:", *lines] if lines else []


def _table(graded: Graded, family: Family) -> str:
    from tabulate import tabulate

    made = rows(graded, family)
    cells = [[_cell(row.label), *(_cell(" ".join(cell)) for cell in row.cells)] for row in made]
    headings = ["", *map(_cell, graded.names)]
    table: str = tabulate(cells, headers=headings, tablefmt="pipe", disable_numparse=True)
    return table


def _cell(text: str) -> str:
    """A cell that cannot end its table, nor become markup."""
    return in_markdown(clean(text))
