"""The piece from the side, to scale, drawn from its own counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from math import pi, sin

from evenround.solver.candidate import Candidate
from evenround.tables.plan import Plan, Unit
from evenround.tables.words import length

from .lettering import SMALL
from .listing import (
    counts_in_words,
    heading,
    measure_words,
    paragraph,
    piece_words,
    sections_list,
)
from .profile import Block, profile
from .sheet import Sheet, number, points
from .spans import Span, spans

LEFT, RIGHT = 14.0, 36.0
"""Margins; letters stand in the right one."""
TALLEST = 300.0
APART = 14.0


@dataclass(frozen=True, slots=True)
class Scale:
    """Centimetres onto the sheet: ``per_cm`` units a cm, the middle at ``x``, the top at ``y``."""

    per_cm: float
    x: float
    y: float

    def at(self, radius: float, down: float) -> tuple[float, float]:
        """A point so far from the middle (negative: to the left) and so far down."""
        return self.x + radius * self.per_cm, self.y + down * self.per_cm


def side_view(
    plan: Plan, candidate: Candidate, unit: Unit | None = None, *, styled: bool = True
) -> str:
    """The piece from the side as SVG: its profile, the head's size behind it, sections by letter
    with rounds, stitches and how far around. ``unit`` is the plan's unless said; ``styled``
    False leaves the colour rules to the page."""
    unit = unit or plan.unit
    blocks, listed = profile(plan, candidate), spans(plan, candidate)
    words = f"{piece_words(plan)}: from the side"
    measures = list(measure_words(plan, candidate, unit))
    desc = f"{counts_in_words(listed)}. {' '.join(measures)}"
    sheet = Sheet(words, desc, what="side")
    y = heading(sheet, plan, "from the side, to scale")
    scale = _scale(plan, blocks, y + 8)
    bottom = max(scale.at(0, max(b.y_in, b.y_out))[1] for b in blocks)
    _fabric(sheet, blocks, scale)
    _head(sheet, plan, blocks, scale, bottom)
    _letters(sheet, blocks, scale)
    y = _edge(sheet, blocks, scale, bottom, unit)
    y = sections_list(sheet, listed, y + 24, unit) + 4
    for sentence in [*measures, *_remarks(plan, blocks, unit)]:
        y = paragraph(sheet, sentence, y, "soft")
    return sheet.svg(y, styled=styled)


def _scale(plan: Plan, blocks: Sequence[Block], top: float) -> Scale:
    widest = max(max(b.r_in, b.r_out) for b in blocks)
    if plan.head_cm is not None:
        widest = max(widest, plan.head_cm / (2 * pi))
    highest = min(0.0, *(b.y_out for b in blocks))
    tall = max(b.y_out for b in blocks) - highest
    room = 360 - LEFT - RIGHT
    per_cm = min(room / (2 * widest), TALLEST / max(tall, 1e-9))
    return Scale(per_cm, LEFT + room / 2, top - highest * per_cm)


def _fabric(sheet: Sheet, blocks: Sequence[Block], scale: Scale) -> None:
    """Sections in two tones by turns, a line where blocks meet, the outline last.

    A brim that turns up stands before what is behind it, so it is drawn after.
    """
    for place, (_, run) in enumerate(groupby(blocks, key=lambda b: b.span.letter)):
        worked = list(run)
        right = [scale.at(worked[0].r_in, worked[0].y_in)]
        right += [scale.at(b.r_out, b.y_out) for b in worked]
        left = [(2 * scale.x - x, y) for x, y in reversed(right)]
        look = "two" if place % 2 else "one"
        span = worked[0].span
        with sheet.group(section=span.tally.section, name=span.name, letter=span.letter):
            sheet.path(points(*right, *left) + "Z", look)
            for block in worked:
                _block(sheet, block, scale)
            _repeats(sheet, worked, scale)
            sheet.path(points(*right), "line")
            sheet.path(points(*left), "line")
    top, last = blocks[0], blocks[-1]
    _across(sheet, scale, top.r_in, top.y_in, "line")
    _across(sheet, scale, last.r_out, last.y_out, "line")


def _block(sheet: Sheet, block: Block, scale: Scale) -> None:
    """The line where a block ends, with what the candidate says of that round."""
    (x1, y), (x2, _) = scale.at(-block.r_out, block.y_out), scale.at(block.r_out, block.y_out)
    sheet.line(
        x1,
        y,
        x2,
        y,
        "thin",
        round=block.last,
        count=block.count,
        width_cm=block.around_cm,
        slant_cm=block.slant_cm,
    )


def _across(sheet: Sheet, scale: Scale, radius: float, down: float, look: str) -> None:
    x1, y = scale.at(-radius, down)
    if radius > 0:
        sheet.line(x1, y, scale.at(radius, down)[0], y, look)


def _repeats(sheet: Sheet, blocks: Sequence[Block], scale: Scale) -> None:
    """Where the repeats of a band meet, as the front half shows them: closer to the sides."""
    for block in blocks:
        tally = block.span.tally
        if tally.section != "band" or not tally.repeats:
            continue
        lines = ""
        for place in range(tally.repeats):
            turn = (place + 0.5) / tally.repeats - 0.5
            if abs(turn) >= 0.25:
                continue
            side = sin(2 * pi * turn)
            ends = (block.r_in * side, block.y_in), (block.r_out * side, block.y_out)
            lines += points(*(scale.at(*end) for end in ends))
        if lines:
            sheet.path(lines, "thin", repeats=tally.repeats, repeat=tally.repeat)


def _head(sheet: Sheet, plan: Plan, blocks: Sequence[Block], scale: Scale, bottom: float) -> None:
    """The head's width as an arch behind the piece, so dashed, and on a little below it."""
    if plan.head_cm is None:
        return
    radius = plan.head_cm / (2 * pi)
    x1, high = scale.at(-radius, blocks[0].y_in)
    x2 = scale.at(radius, 0)[0]
    y = bottom + 12
    bend = min(y - high, (x2 - x1) / 2) * 0.8
    arch = (
        f"M{number(x1)} {number(y)}V{number(high + bend)}"
        f"Q{number(x1)} {number(high)} {number(scale.x)} {number(high)}"
        f"Q{number(x2)} {number(high)} {number(x2)} {number(high + bend)}V{number(y)}"
    )
    sheet.path(arch, "wish", head_cm=plan.head_cm)


def _letters(sheet: Sheet, blocks: Sequence[Block], scale: Scale) -> None:
    """Each section's letter at the right edge, a line to its middle; never one on another."""
    middles: list[tuple[Span, float, float]] = []
    for _, run in groupby(blocks, key=lambda b: b.span.letter):
        worked = list(run)
        block = worked[len(worked) // 2]
        radius = (block.r_in + block.r_out) / 2
        spot = scale.at(radius, (block.y_in + block.y_out) / 2)
        middles.append((block.span, *spot))
    ordered = sorted(middles, key=lambda each: each[2])
    spots = _spaced([y for _, _, y in ordered])
    for (span, x, y), at in zip(ordered, spots, strict=True):
        edge = sheet.width - RIGHT + 12
        sheet.path(points((x, y), (edge - 6, at), (edge + 2, at)), "thin")
        sheet.circle(x, y, 1.8, "dot-line")
        sheet.text(edge + 6, at + 4, span.letter, "ink strong", size=SMALL)


def _spaced(spots: Sequence[float]) -> list[float]:
    """Rising heights moved so that neighbours are ``APART``: down first, then all up by half."""
    out: list[float] = []
    for spot in spots:
        out.append(spot if not out else max(spot, out[-1] + APART))
    if not out:
        return out
    back = (out[-1] - spots[-1]) / 2
    return [spot - back for spot in out]


def _edge(sheet: Sheet, blocks: Sequence[Block], scale: Scale, bottom: float, unit: Unit) -> float:
    """How wide the piece is across its widest round, below the drawing."""
    widest = max(blocks, key=lambda b: b.r_out)
    y = bottom + 24
    (x1, _), (x2, _) = scale.at(-widest.r_out, 0), scale.at(widest.r_out, 0)
    sheet.path(f"{points((x1, y - 4), (x1, y + 4))}{points((x2, y - 4), (x2, y + 4))}", "thin")
    sheet.line(x1, y, x2, y, "thin")
    words = f"{length(2 * widest.r_out, unit)} {unit} across, round {widest.last}"
    sheet.text(scale.x, y + 14, words, anchor="middle", size=SMALL, round=widest.last)
    return y + 14


def _remarks(plan: Plan, blocks: Sequence[Block], unit: Unit) -> list[str]:
    out = []
    if plan.head_cm is not None:
        out.append(
            f"Dashed: a head of {length(plan.head_cm, unit)} {unit} around, its width to scale."
        )
    if any(b.span.tally.section == "band" for b in blocks):
        out.append("Lines down a band part its repeats.")
    if any(b.y_out < b.y_in for b in blocks):
        out.append("The brim turns up and stands before what is behind it.")
    if any(b.ripples for b in blocks):
        out.append("What grows faster than flat ripples; it is drawn flat here.")
    return out
