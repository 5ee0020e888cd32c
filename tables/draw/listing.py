"""What stands beside or below a picture in words: the list of sections, lines of measures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenround.solver.candidate import Candidate
from evenround.tables.plan import Plan, Unit
from evenround.tables.words import clean, length

from .lettering import SMALL, TEXT, broken, shortened
from .sheet import Sheet
from .spans import Span

LINE = 16.0
RNDS, STITCHES = 197.0, 278.0
"""Where two columns of the list of sections end."""
MARGIN = 12.0


def heading(sheet: Sheet, plan: Plan, words: str, y: float = 20.0) -> float:
    """The piece, and its size and what the picture shows, two lines; where the drawing may
    begin."""
    room = sheet.width - 2 * MARGIN
    size = f"{shortened(clean(plan.size), 130)}: " if len(plan.sizes) > 1 else ""
    title = shortened(clean(plan.title), room, TEXT, bold=True)
    sheet.text(MARGIN, y, title, "ink strong")
    sheet.text(MARGIN, y + LINE, shortened(f"{size}{words}", room), "soft", size=SMALL)
    return y + LINE + 10


def piece_words(plan: Plan) -> str:
    """The title, and the size where there are several."""
    size = f", {clean(plan.size)}" if len(plan.sizes) > 1 else ""
    return f"{clean(plan.title)}{size}"


def handed(left_handed: bool) -> str:
    """What a title says more of a picture drawn the other way round."""
    return ", left-handed" if left_handed else ""


def way_words(left_handed: bool) -> str:
    """Which way a chart's rounds are read."""
    return "left to right" if left_handed else "right to left"


def paragraph(sheet: Sheet, words: str, y: float, look: str = "ink") -> float:
    """Small text over as many lines as it takes; where the next line may stand."""
    for line in broken(words, sheet.width - 2 * MARGIN):
        sheet.text(MARGIN, y, line, look, size=SMALL)
        y += LINE - 1
    return y


def sections_list(sheet: Sheet, listed: Sequence[Span], y: float, unit: Unit) -> float:
    """A row a section: letter, name, rounds, stitches, how far around after its last round."""
    right = sheet.width - 12
    columns = ((12.0, "section", "start"), (RNDS, "rnds", "end"), (STITCHES, "stitches", "end"))
    for x, words, anchor in columns:
        sheet.text(x, y, words, "soft", anchor=anchor, size=SMALL)
    sheet.text(right, y, f"around {unit}", "soft", anchor="end", size=SMALL)
    sheet.line(12, y + 5, right, y + 5, "grid")
    y += LINE + 3
    for span in listed:
        with sheet.group(letter=span.letter, name=span.name):
            sheet.text(12, y, span.letter, "ink strong", size=SMALL)
            sheet.text(30, y, shortened(span.name, 116), size=SMALL)
            sheet.text(RNDS, y, span.rounds_words, anchor="end", size=SMALL)
            sheet.text(STITCHES, y, span.counts_words, anchor="end", size=SMALL)
            around = length(span.widths_cm[-1], unit)
            sheet.text(right, y, around, anchor="end", size=SMALL)
        y += LINE
    return y


def measure_words(plan: Plan, candidate: Candidate, unit: Unit) -> Iterator[str]:
    """The finished measures, one sentence each."""
    m = candidate.measures
    around = f"Around {length(m.around_cm, unit)} {unit}"
    if plan.head_cm is not None:
        around += f", for a head of {length(plan.head_cm, unit)} {unit}"
    yield f"{around}."
    where = "to where the brim turns" if candidate.tally.brim else "to the edge"
    yield f"Depth along the fabric {where}: {length(m.depth_cm, unit)} {unit}."
    if m.brim_cm is not None:
        yield f"Brim {length(m.brim_cm, unit)} {unit} wide, {_flare(candidate)}."
    if m.edge_cm is not None:
        yield f"Edge {length(m.edge_cm, unit)} {unit} around."


def _flare(candidate: Candidate) -> str:
    m = candidate.measures
    if m.over_flat or m.flare_deg is None:
        return "fuller than flat, so it ripples"
    return f"{m.flare_deg:.0f} degrees from straight down"


def counts_in_words(listed: Sequence[Span]) -> str:
    """``crown, rounds 1-14, 8 to 112 stitches; sides, ...``"""
    return "; ".join(
        f"{span.name}, {'round' if span.first == span.last else 'rounds'} {span.rounds_words}, "
        f"{span.counts_words} stitches"
        for span in listed
    )
