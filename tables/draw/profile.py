"""The profile of a piece: how wide it is and how far down it has come, a point a shaping block.

Plain geometry on the candidate's own widths: r = N w / 2 pi at a block's ends, its rounds as the
slant, and the drop that is left of the slant once the growth is taken out. Lengths in cm.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import pi

from evenround.solver.candidate import Candidate
from evenround.solver.geometry import CROWN_WINDOW, drop
from evenround.solver.judge import section_height_um
from evenround.solver.piece import Brim, Crown
from evenround.tables.plan import Plan

from .spans import Span, spans

RIPPLES = 1.10
"""Growth over slant from which a block ripples; trade: warn above 1.10 of flat."""


@dataclass(frozen=True, slots=True)
class Block:
    """Rounds ``first`` to ``last`` of a section: radius and depth before and after them.

    ``around_cm`` is the circumference after the last; ``count`` the stitches; ``ripples``: it
    grows by more than its slant, so it is drawn flat.
    """

    span: Span
    first: int
    last: int
    count: int
    around_cm: float
    slant_cm: float
    r_in: float
    r_out: float
    y_in: float
    y_out: float

    @property
    def ripples(self) -> bool:
        """Whether it grows by clearly more than its slant allows."""
        return abs(self.r_out - self.r_in) > RIPPLES * self.slant_cm


def profile(plan: Plan, candidate: Candidate) -> tuple[Block, ...]:
    """Every block from the middle of the crown, or the first round, to the edge; y runs down."""
    out: list[Block] = []
    radius, depth = _start(plan, candidate), 0.0
    turns = 1.0
    for span in spans(plan, candidate):
        if isinstance(span.spec, Brim) and span.tally.section == "brim":
            turns = -1.0 if span.spec.turns == "up" else 1.0
        for low, high in block_rounds(span):
            around = span.widths_cm[high - 1]
            slant = section_height_um(span.spec, high - low + 1) / 10_000
            out_radius = around / (2 * pi)
            below = depth + turns * drop(slant, radius, out_radius)
            first, last = span.first + low - 1, span.first + high - 1
            count = span.tally.counts[high - 1]
            out.append(
                Block(span, first, last, count, around, slant, radius, out_radius, depth, below)
            )
            radius, depth = out_radius, below
    return tuple(out)


def _start(plan: Plan, candidate: Candidate) -> float:
    """Half the hole in the middle; without a crown the radius the piece begins with."""
    first = plan.piece.sections[0]
    if isinstance(first, Crown):
        return first.hole_cm / 2
    return candidate.measures.around_cm / (2 * pi)


def block_rounds(span: Span) -> Iterator[tuple[int, int]]:
    """First and last round of each block, counted from 1 within the section.

    In a crown three rounds each, up to its stop round; in a brim a run of increase rounds with
    the plain rounds after it; anything else is one block. A last block that is shorter than the
    one before belongs to that: growth is not read over less than a block.
    """
    changes, rounds = span.tally.changes, span.tally.rounds
    if span.tally.section == "crown":
        stop = max(i for i, change in enumerate(changes, 1) if change > 0)
        starts = _without_short_end(list(range(1, stop + 1, CROWN_WINDOW)), stop)
        starts += [stop + 1] if stop < rounds else []
    elif span.tally.section == "brim":
        starts = _without_short_end(_runs_begin(changes), rounds)
    else:
        starts = [1]
    yield from zip(starts, [*(start - 1 for start in starts[1:]), rounds], strict=True)


def _runs_begin(changes: Sequence[int]) -> list[int]:
    """Rounds on which a run of increases begins, and the first."""
    begun = [
        i for i, change in enumerate(changes, 1) if change > 0 and (i == 1 or changes[i - 2] <= 0)
    ]
    return begun if begun[:1] == [1] else [1, *begun]


def _without_short_end(starts: list[int], last: int) -> list[int]:
    """Without the last start where its block, up to round ``last``, is shorter than the others."""
    if len(starts) > 1 and last - starts[-1] + 1 < starts[-1] - starts[-2]:
        return starts[:-1]
    return starts
