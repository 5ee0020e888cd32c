"""Rounds that are derived: of even sections and bands, the cheapest that meet the depth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise, product

from . import price
from .judge import section_height_um
from .piece import Crown, Edging, Even, Piece
from .runs import Run
from .units import micrometres

MOST_ROUNDS = 400


def even_splits(evens: list[Even]) -> Iterator[tuple[int, ...]]:
    """Rounds of the even sections for 0, 1, 2 ... rounds over their least, shared out as evenly
    as may be, the first sections getting the odd ones."""
    free = [i for i, e in enumerate(evens) if e.rounds[1] is None or e.rounds[1] > e.rounds[0]]
    for extra in range(MOST_ROUNDS if free else 1):
        rounds = [e.rounds[0] for e in evens]
        for place, i in enumerate(free):
            rounds[i] += extra // len(free) + (place < extra % len(free))
        ends = [e.rounds[1] for e in evens]
        if any(end is not None and r > end for r, end in zip(rounds, ends, strict=True)):
            return
        yield tuple(rounds)


@dataclass(frozen=True, slots=True)
class Rounds:
    """Derived rounds of every even section and band, and what their depth costs."""

    evens: tuple[int, ...]
    bands: tuple[int, ...]
    cost: int


class Depths:
    """The derived rounds of a piece, each found once.

    ``edging`` is given where the depth goes on to the edge, for want of a brim.
    """

    def __init__(
        self, piece: Piece, crown: Crown | None, runs: tuple[Run, ...], edging: Edging | None
    ) -> None:
        self.piece, self.crown, self.runs, self.edging = piece, crown, runs, edging
        self._rounds: dict[tuple[int, tuple[int, ...]], Rounds | None] = {}

    def rounds(self, crown_rounds: int, marks: tuple[int, ...]) -> Rounds | None:
        """Cheapest rounds for a crown of so many rounds and nudges at these spots (-1 = none in
        that run); None where no number of rounds is allowed."""
        key = (crown_rounds, marks)
        if key not in self._rounds:
            self._rounds[key] = min(
                self._all_rounds(crown_rounds, marks),
                key=lambda r: (r.cost, sum(r.evens), r.bands),
                default=None,
            )
        return self._rounds[key]

    def _all_rounds(self, crown_rounds: int, marks: tuple[int, ...]) -> Iterator[Rounds]:
        bands = [run.band for run in self.runs if run.band is not None]
        choices = [range(b.rounds[0], b.rounds[1] + 1, b.figure.rounds) for b in bands]
        for times in product(*choices):
            yield from self._with_evens(crown_rounds, marks, times)

    def _with_evens(
        self, crown_rounds: int, marks: tuple[int, ...], bands: tuple[int, ...]
    ) -> Iterator[Rounds]:
        piece, apart = self.piece, self.piece.limits.nudge_apart
        limit = price.depth_limit_um(piece)
        for evens in even_splits([e for run in self.runs for e in run.evens]):
            depth, gaps = self._lay(crown_rounds, marks, bands, evens)
            if piece.depth_cm is not None:
                miss = depth - micrometres(piece.depth_cm)
                if miss > limit:
                    return
                if miss < -limit:
                    continue
            if any(gap < apart for gap in gaps):
                continue
            yield Rounds(evens, bands, price.total(price.depth_price(piece, depth)))
            if piece.depth_cm is None:
                return

    def _lay(
        self,
        crown_rounds: int,
        marks: tuple[int, ...],
        bands: tuple[int, ...],
        evens: tuple[int, ...],
    ) -> tuple[int, list[int]]:
        """The depth, and how many rounds apart neighbouring nudges stand."""
        depth, nudged_at, number = 0, list[int](), crown_rounds
        if self.crown is not None:
            depth += micrometres(self.crown.hole_cm / 2)
            depth += crown_rounds * micrometres(self.crown.gauge.height_cm)
        even, band = iter(evens), iter(bands)
        for run, mark in zip(self.runs, marks, strict=True):
            for spot in range(len(run.evens) + 1):
                if spot == mark:
                    depth += micrometres(run.nudge_gauge(spot).height_cm)
                    number += 1
                    nudged_at.append(number)
                if spot < len(run.evens):
                    rounds = next(even)
                    number += rounds
                    depth += section_height_um(run.evens[spot], rounds)
            if run.band is not None:
                rounds = next(band)
                number += rounds
                depth += section_height_um(run.band, rounds)
        if self.edging is not None:
            depth += section_height_um(self.edging, self.edging.figure.rounds)
        return depth, [b - a for a, b in pairwise(nudged_at)]
