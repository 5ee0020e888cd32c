"""An adapted design as a workbook: the ways, their sections, every round, what was found."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenround.solver.adapt_search import side_count
from evenround.solver.tally import Tally

from .adapt.answer import Answer, Option, wide
from .adapt.export import COLUMNS, section_rows
from .adapt.page import below
from .plan import Unit
from .sheets import Sheet, Value, column, sheet_names, text_column, workbook
from .sheets_common import BRIEF, ROUNDS, brief_sheet, length
from .words import clean

SECTIONS, BEFORE = "Sections", 0
TEXTS = ("section", "kind")


def adapt_workbook(answer: Answer, unit: Unit) -> bytes:
    """The file. Number 0 is the design as it was; where nothing satisfies what was asked, the
    ways are those that come nearest and have no number."""
    original = answer.original
    taken = (SECTIONS, ROUNDS, BRIEF)
    name = sheet_names([clean(original.size or "Ways")], taken)[0]
    sheets = [_ways(answer, name, unit), _sections(answer, unit), _rounds(answer, unit)]
    plans = [] if answer.plan is None else [answer.plan]
    sheets.append(brief_sheet(plans, _said(answer, unit), unit, clean(original.title)))
    return workbook(sheets, clean(original.title))


def _ways(answer: Answer, name: str, unit: Unit) -> Sheet:
    columns = (
        column("rank"),
        column("change_sts"),
        column("change_mm"),
        column("score_mm"),
        column("side_count"),
        column(f"side_{unit}"),
        text_column("what changes"),
        text_column("what to watch"),
    )
    ways = answer.options or answer.near
    return Sheet(name, columns, tuple(_way(answer, each, unit) for each in ways))


def _way(answer: Answer, option: Option, unit: Unit) -> tuple[Value, ...]:
    return (
        option.rank or None,
        round(option.change_stitches, 3),
        None if option.change_mm is None else round(option.change_mm, 2),
        None if option.score_mm is None else round(option.score_mm, 2),
        side_count(option.tally),
        _wide(answer, side_count(option.tally), unit, after=True),
        "; ".join(option.changes) or None,
        "; ".join(option.notes) or None,
    )


def _wide(answer: Answer, count: int, unit: Unit, *, after: bool) -> float | None:
    """How wide a count is at the body's gauge."""
    gauge = answer.request.gauge if after else answer.original.gauge
    return None if gauge is None else length(count * gauge.width_cm, unit)


def _sections(answer: Answer, unit: Unit) -> Sheet:
    """The rows of the CSV, whose widths are in cm."""
    columns = tuple(text_column(n) if n in TEXTS else column(n) for n in COLUMNS)
    rows = [tuple(_value(cell) for cell in row) for row in section_rows(answer)]
    at = COLUMNS.index("side_cm")
    wide = [
        (
            *row[:at],
            _wide(answer, int(str(row[at - 1])), unit, after=row[0] != BEFORE),
            *row[at + 1 :],
        )
        for row in rows
    ]
    named = (*columns[:at], column(f"side_{unit}"), *columns[at + 1 :])
    return Sheet(SECTIONS, named, tuple(wide))


def _value(cell: object) -> Value:
    assert cell is None or isinstance(cell, str | int | float)
    return cell


def _rounds(answer: Answer, unit: Unit) -> Sheet:
    """Every round of the design as it was and of every way."""
    columns = [column("rank"), column("round"), text_column("section"), column("count")]
    columns += [column("change"), column(f"around_{unit}")]
    rows = list(_counted(answer, BEFORE, answer.original.design.tally, None, unit))
    for option in answer.options:
        widths = None if option.measures is None else option.measures.round_widths_cm
        rows += _counted(answer, option.rank, option.tally, widths, unit)
    return Sheet(ROUNDS, tuple(columns), tuple(rows), 2)


def _counted(
    answer: Answer, rank: int, tally: Tally, widths: Sequence[float] | None, unit: Unit
) -> Iterator[tuple[Value, ...]]:
    """A row a round; its width as the brief has it, else at its section's own gauge."""
    number = 0
    own = wide(answer.widths(None if rank == BEFORE else tally), tally)
    for section, width in zip(tally.sections, own, strict=True):
        for change, count in zip(section.changes, section.counts, strict=True):
            at_own = None if width is None else length(count * width, unit)
            around = at_own if widths is None else length(widths[number], unit)
            number += 1
            yield rank, number, clean(section.name), count, change, around


def _said(answer: Answer, unit: Unit) -> Iterator[tuple[str, str]]:
    original = answer.original
    yield from (("asked", words) for words in answer.request.words)
    yield from (("as it is", words) for words in original.inferred)
    if original.gauge_words:
        yield "gauge", original.gauge_words
    yield from (("not said", words) for words in original.unsaid)
    yield from (("not understood", words) for words in original.unread)
    if not answer.options:
        yield "answer", "nothing near satisfies all of this; the ways are what comes nearest"
    for line in below(answer, unit):
        kind, colon, words = line.partition(": ")
        yield (kind.lower(), words) if colon and kind in ("Note", "Caution") else ("note", line)
