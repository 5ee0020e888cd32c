"""Cells of several short lines, laid out so that no line passes the page's width."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from textwrap import wrap

WIDTH = 80
GAP = 2
NARROWEST = 5


@dataclass(frozen=True, slots=True)
class Column:
    """A heading of one or more lines and one cell (a list of lines) for every row."""

    heading: tuple[str, ...]
    cells: tuple[tuple[str, ...], ...]

    @property
    def width(self) -> int:
        """The longest line, in characters."""
        return max((len(line) for cell in (self.heading, *self.cells) for line in cell), default=0)

    def narrowed(self, width: int) -> Column:
        """The same column with every line wrapped to ``width`` characters."""
        cells = tuple(tuple(_wrapped(cell, width)) for cell in self.cells)
        return Column(tuple(_wrapped(self.heading, width)), cells)


def _wrapped(lines: Iterable[str], width: int) -> list[str]:
    return [part for line in lines for part in (wrap(line, width, break_on_hyphens=False) or [""])]


def paragraph(text: str, indent: str = "", first: str | None = None) -> str:
    """``text`` wrapped at the page's width; ``first`` stands before its first line."""
    lead = indent if first is None else first
    lines = wrap(text, WIDTH, initial_indent=lead, subsequent_indent=indent, break_on_hyphens=False)
    return "\n".join(lines)


def lay_out(columns: Sequence[Column], under: Sequence[Sequence[str]] = ()) -> str:
    """The columns side by side; ``under`` has the full-width lines below each row.

    Columns too wide for the page are wrapped, the widest first.
    """
    from tabulate import tabulate

    columns = _fitted(columns)
    rows: list[tuple[tuple[str, ...], ...]]
    rows = list(zip(*(column.cells for column in columns), strict=True))
    # Headings go in as rows: tabulate would pad a heading of its own, and the page is narrow.
    heading = tuple(column.heading for column in columns)
    rule = tuple(("-" * column.width,) for column in columns)
    text = tabulate(
        [["\n".join(cell) for cell in row] for row in (heading, rule, *rows)],
        tablefmt="plain",
        disable_numparse=True,
    )
    return _with_lines_under(text, rows, max(len(lines) for lines in heading) + 1, under)


def _fitted(columns: Sequence[Column]) -> list[Column]:
    """Columns narrowed until they fit the page: always the widest, by as little as it takes.

    A line breaks between words, so a column may become narrower than it was asked to, and then
    leaves that room to the others.
    """
    fitted, limits = list(columns), [column.width for column in columns]
    room = WIDTH - GAP * (len(columns) - 1)
    while sum(column.width for column in fitted) > room:
        widest = max(range(len(fitted)), key=lambda i: fitted[i].width)
        limits[widest] = fitted[widest].width - 1
        if limits[widest] < NARROWEST:
            break
        fitted[widest] = columns[widest].narrowed(limits[widest])
    return fitted


def _with_lines_under(
    text: str,
    rows: Sequence[Sequence[tuple[str, ...]]],
    heading_lines: int,
    under: Sequence[Sequence[str]],
) -> str:
    """Put each row's full-width lines and a blank line below its last line."""
    lines = [line.rstrip() for line in text.splitlines()]
    if not under:
        return "\n".join(lines)
    out, at = lines[:heading_lines], heading_lines
    for row, extra in zip(rows, under, strict=True):
        height = max(1, *(len(cell) for cell in row))
        out += [*lines[at : at + height], *extra, ""]
        at += height
    return "\n".join(out).rstrip("\n")
