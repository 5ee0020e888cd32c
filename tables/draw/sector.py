"""One sector of the crown as a stitch chart: from the middle outward, right to left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import cos, pi, sin

from evenround.solver.candidate import Candidate
from evenround.tables.plan import Plan
from evenround.tables.rounds.steps import Step
from evenround.tables.words import crown_words, listed, plural

from .chart import draw_row, key, used_in
from .crown import CrownRound, crown_rounds, has_shifts
from .lettering import SMALL
from .listing import handed, heading, paragraph, piece_words, way_words
from .marks import Mark
from .rows import Row, first_row, next_row
from .sheet import Sheet, points

LEFT, RIGHT = 40.0, 34.0
WIDE = 360 - LEFT - RIGHT
TALLEST, HIGHEST = 620.0, 44.0
"""The whole sector, and one of its rounds."""
ROUND = 1.0
"""The whole way round, in a row's units."""


@dataclass(frozen=True, slots=True)
class Wedge:
    """How a row's units come onto the sheet: ``share`` of the round opens upward around ``x``;
    the innermost round begins ``inner`` from the point at (x, y), each is ``rise`` high; ``way``
    is 1, or -1 where the sector starts at the left."""

    share: float
    x: float
    y: float
    inner: float
    rise: float
    way: int

    def at(self, u: float, v: float) -> tuple[float, float]:
        """A point of the sheet; the start of the sector is at the right, of a left hand's at the
        left."""
        turn = self.way * 2 * pi * (self.share / 2 - u)
        radius = self.inner + v * self.rise
        return self.x + radius * sin(turn), self.y - radius * cos(turn)


def sector_chart(
    plan: Plan,
    candidate: Candidate,
    *,
    shift: bool = True,
    left_handed: bool = False,
    styled: bool = True,
) -> str:
    """One sector of the crown as a stitch chart in SVG.

    NotDrawnError where the piece has no crown. ``shift`` as in ``write_pattern``; ``left_handed``:
    read from left to right.
    """
    rounds = crown_rounds(plan, candidate, shift=shift)
    crown = candidate.tally.crown
    sectors = (crown.sectors if crown else None) or candidate.tally.start
    share = 1 / sectors
    rows = _rows(rounds)
    kept = [in_sector(row, share) for row in rows]
    words = crown_words(candidate.tally) or ""
    desc = _said(rounds, kept, sectors, words)
    more = handed(left_handed)
    sheet = Sheet(f"{piece_words(plan)}: a sector of the crown{more}", desc, what="sector")
    top = heading(sheet, plan, f"one of {sectors} sectors of the crown{more}: {words}")
    wedge = _wedge(share, len(rounds), top + 4, -1 if left_handed else 1)
    _edges(sheet, wedge, rows)
    gap = min(_gaps(kept, wedge, rows, share))
    size = min(5.5, max(2.2, min(gap * 0.4, wedge.rise * 0.3)))
    for place, (each, row, marks) in enumerate(zip(rounds, rows, kept, strict=True)):
        look = "even" if place % 2 else "odd"
        with sheet.group(look, round=each.number, count=each.count):
            draw_row(sheet, row, lambda spot: wedge.at(*spot), size, marks)
    _labels(sheet, rounds, rows, wedge)
    ring = min(10.0, max(3.0, wedge.inner * 0.6))
    sheet.circle(wedge.x, wedge.y, ring, "line")
    y = wedge.y + ring + 24
    y = key(sheet, plan, used_in(mark for marks in kept for mark in marks), y)
    shifted = shift and has_shifts(rounds)
    for sentence in _remarks(candidate, sectors, shift=shifted, left_handed=left_handed):
        y = paragraph(sheet, sentence, y, "soft")
    return sheet.svg(y + 2, styled=styled)


def _rows(rounds: Sequence[CrownRound]) -> list[Row]:
    """The whole crown laid out, every round as high as any other."""
    return list(_laid(tuple(each.steps for each in rounds)))


@lru_cache(maxsize=64)
def _laid(rounds: tuple[tuple[Step, ...], ...]) -> tuple[Row, ...]:
    """The same from the steps alone: many candidates have the same crown."""
    ring = first_row(0, ROUND)
    rows: list[Row] = []
    for place, steps in enumerate(rounds):
        row = next_row(steps, rows[-1] if rows else ring, ROUND)
        number = float(place + 1)
        flat = tuple((u, number) for u, _ in row.tops)
        feet = tuple((u, number - 1) for u, _ in row.feet)
        rows.append(Row(row.marks, row.places, feet, flat, number - 1, 1.0))
    return tuple(rows)


def in_sector(row: Row, share: float) -> list[Mark]:
    """The marks whose tops lie in the first ``share`` of the round."""
    return [mark for mark in row.marks if row.tops[mark.top][0] < share - 1e-9]


def _wedge(share: float, rounds: int, top: float, way: int) -> Wedge:
    """As large as the sheet's width, or the tallest drawing, allows; at most a half round."""
    half = min(share, 0.5) * pi
    outer = min(WIDE / (2 * sin(half)) if half < pi / 2 else WIDE / 2, TALLEST)
    outer = min(outer, HIGHEST * (rounds + 0.9))
    rise = outer / (rounds + 0.9)
    inner = 0.7 * rise
    left = LEFT if way == 1 else RIGHT
    return Wedge(share, left + WIDE / 2, top + outer + 10, inner, rise, way)


def _gaps(
    kept: Sequence[Sequence[Mark]], wedge: Wedge, rows: Sequence[Row], share: float
) -> list[float]:
    """How far apart the tops of each round stand on the sheet."""
    return [
        2 * pi * share * (wedge.inner + row.above * wedge.rise) / max(1, len(marks))
        for row, marks in zip(rows, kept, strict=True)
    ]


def _edges(sheet: Sheet, wedge: Wedge, rows: Sequence[Row]) -> None:
    """The two lines that bound the sector, dashed, and a thin arc for each round."""
    outer = rows[-1].above
    for u in (0.0, wedge.share):
        sheet.path(points(wedge.at(u, -0.2), wedge.at(u, outer + 0.2)), "wish")
    for row in rows:
        arc = [wedge.at(wedge.share * step / 12, row.base) for step in range(13)]
        sheet.path(points(*arc), "grid")


def _labels(sheet: Sheet, rounds: Sequence[CrownRound], rows: Sequence[Row], wedge: Wedge) -> None:
    """Numbers of rounds where they begin, counts at the other side."""
    first, far = ("start", "end")[:: wedge.way]
    last: float | None = None
    for each, row in reversed(list(zip(rounds, rows, strict=True))):
        x, y = wedge.at(0.0, row.base + 0.5)
        if last is not None and y - last < 11:
            continue
        last = y
        sheet.text(x + 6 * wedge.way, y + 5, str(each.number), anchor=first, size=SMALL)
        x, _ = wedge.at(wedge.share, row.base + 0.5)
        sheet.text(x - 6 * wedge.way, y + 5, str(each.count), "soft", anchor=far, size=SMALL)


def _said(
    rounds: Sequence[CrownRound], kept: Sequence[Sequence[Mark]], sectors: int, words: str
) -> str:
    here = listed([str(len(marks)) for marks in kept])
    counts = listed([str(each.count) for each in rounds])
    return (
        f"One of {sectors} sectors of the crown, {words}: {plural(len(rounds), 'round')} of {here} "
        f"stitches in the sector, {counts} all around."
    )


def _remarks(candidate: Candidate, sectors: int, *, shift: bool, left_handed: bool) -> list[str]:
    one, other = ("Left", "Right") if left_handed else ("Right", "Left")
    out = [
        f"Read from the point up, each round {way_words(left_handed)}. {one}: the round. {other}: "
        "stitches all around after it. Two on one foot are an increase."
    ]
    changes = {change for change in candidate.tally.crown_rates or () if change[0] % sectors}
    if changes:
        out.append(
            "Rounds that do not add one on every sector are cut where the sector ends; the "
            "pattern has them whole."
        )
    if shift:
        out.append("Every other increase round is shifted by half a sector.")
    return out
