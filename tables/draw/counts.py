"""The stitch count against the round, as steps."""

from __future__ import annotations

from collections.abc import Sequence

from evenround.solver.candidate import Candidate
from evenround.tables.plan import Plan, Unit

from .lettering import SMALL
from .listing import counts_in_words, heading, paragraph, piece_words, sections_list
from .sheet import Sheet, number
from .spans import Span, spans

LEFT, RIGHT, HIGH = 40.0, 348.0, 210.0


def counts_plot(
    plan: Plan, candidate: Candidate, unit: Unit | None = None, *, styled: bool = True
) -> str:
    """Stitch count (up) against round (across) as steps, sections marked by letter, as SVG."""
    listed = spans(plan, candidate)
    counts = candidate.tally.round_counts
    title = f"{piece_words(plan)}: stitches round by round"
    desc = f"{counts_in_words(listed)}. {len(counts)} rounds in all."
    sheet = Sheet(title, desc, what="counts")
    top = heading(sheet, plan, "stitches after every round") + 24
    foot = top + HIGH
    high = _round_up(max(counts))
    across = (RIGHT - LEFT) / len(counts)
    _grid(sheet, high, top, foot)
    _sections(sheet, listed, across, top, foot)
    with sheet.group("line"):
        _steps(sheet, candidate, across, foot, HIGH / high)
    _rounds(sheet, len(counts), across, foot)
    y = sections_list(sheet, listed, foot + 52, unit or plan.unit) + 4
    if any(span.tally.section in ("band", "edging") for span in listed):
        words = "Inside a figure the count is of places, chains among them; it says no width."
        y = paragraph(sheet, words, y, "soft")
    return sheet.svg(y, styled=styled)


def _round_up(most: int) -> int:
    """A little more than the largest count, a multiple of its grid."""
    step = grid_step(most)
    return -(-most // step) * step


def grid_step(most: int) -> int:
    """Stitches from one line of the grid to the next: four to eight lines."""
    step = 5
    for factor in (2, 2.5, 2) * 6:
        if most / step <= 8:
            break
        step = int(step * factor)
    return step


def _grid(sheet: Sheet, high: int, top: float, foot: float) -> None:
    step = grid_step(high)
    for count in range(0, high + 1, step):
        y = foot - (foot - top) * count / high
        sheet.line(LEFT, y, RIGHT, y, "grid")
        sheet.text(LEFT - 6, y + 4, str(count), "soft", anchor="end", size=SMALL)


def _sections(sheet: Sheet, listed: Sequence[Span], across: float, top: float, foot: float) -> None:
    """A line down where a section ends; its letter above, on one of two heights by turns."""
    for place, span in enumerate(listed):
        begin, end = LEFT + (span.first - 1) * across, LEFT + span.last * across
        if place % 2:
            sheet.box(begin, top, end - begin, foot - top, "two")
        sheet.line(end, top - 4, end, foot, "grid")
        y = top - 8 - (12 if place % 2 else 0)
        sheet.text((begin + end) / 2, y, span.letter, "ink strong", anchor="middle", size=SMALL)


def _steps(
    sheet: Sheet, candidate: Candidate, across: float, foot: float, per_stitch: float
) -> None:
    """A step a round, joined by upright lines."""
    counts, widths = candidate.tally.round_counts, candidate.measures.round_widths_cm
    before = 0
    for place, (count, width) in enumerate(zip(counts, widths, strict=True)):
        x, y = LEFT + place * across, foot - count * per_stitch
        rise = f"V{number(y)}" if place else ""
        start = f"M{number(x)} {number(foot - before * per_stitch if place else y)}"
        d = f"{start}{rise}H{number(x + across)}"
        sheet.path(d, "", round=place + 1, count=count, width_cm=width)
        before = count


def _rounds(sheet: Sheet, rounds: int, across: float, foot: float) -> None:
    """Numbers of rounds, every fifth or tenth."""
    step = 5 if rounds <= 60 else 10 if rounds <= 120 else 20
    for number_ in [1, *range(step, rounds + 1, step)]:
        x = LEFT + (number_ - 0.5) * across
        sheet.line(x, foot, x, foot + 3, "thin")
        sheet.text(x, foot + 15, str(number_), "soft", anchor="middle", size=SMALL)
    sheet.text((LEFT + RIGHT) / 2, foot + 30, "round", "soft", anchor="middle", size=SMALL)
