"""The end of a piece from where the brim turns: brim, perhaps a nudge, edging."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from operator import attrgetter

from . import price
from .body import BodyPlan
from .nudge import nudge_limit
from .piece import Brim, Edging
from .rows import brim_rows
from .tally import SectionTally
from .units import MM


@dataclass(frozen=True, slots=True)
class EndRow:
    """One way to finish from a count; ``brim`` None and ``nudge`` 0 where there is none."""

    brim: SectionTally | None
    nudge: int
    cost: int
    special: int
    order: tuple[int, ...]


def edging_tally(edging: Edging, count_in: int) -> SectionTally | None:
    """The edging on a count; None where its repeat is required and does not fit. A wished one
    that does not fit is worked plain, one in each."""
    counts = edging.figure.counts
    repeats, rest = divmod(count_in - edging.remainder, counts[0])
    if rest == 0 and repeats >= 1:
        changes = tuple(repeats * (b - a) for a, b in itertools.pairwise(counts))
        return SectionTally(
            "edging", edging.name, count_in, changes, counts[0], repeats, per_repeat=counts
        )
    if edging.required:
        return None
    return SectionTally("edging", edging.name, count_in, (0,) * edging.figure.rounds)


class Ends:
    """The sorted end rows of every count, made when first asked for; ``every_rhythm`` as in
    ``brim_rows``."""

    def __init__(self, plan: BodyPlan, every_rhythm: bool = False) -> None:
        self.plan, self.every_rhythm = plan, every_rhythm
        self._rows: dict[int, list[EndRow]] = {}

    def rows(self, count: int) -> list[EndRow]:
        """End rows of a count, best first."""
        if count not in self._rows:
            key = attrgetter("cost", "special", "order")
            self._rows[count] = sorted(self._all(count), key=key)
        return self._rows[count]

    def _all(self, count: int) -> Iterator[EndRow]:
        plan = self.plan
        if plan.brim is None:
            cost = self._edging_cost(count)
            if cost is not None:
                yield EndRow(None, 0, cost, 0, (count,))
            return
        brims = brim_rows(plan.piece, plan.brim, count, every_rhythm=self.every_rhythm)
        for brim, cost in brims:
            edge = self._edging_cost(brim.count_out)
            if edge is not None:
                yield _row(brim, 0, cost + edge)
        if plan.edging is not None:
            yield from self._nudged(plan.brim, count, brims)

    def _nudged(
        self, brim: Brim, count: int, brims: list[tuple[SectionTally, int]]
    ) -> Iterator[EndRow]:
        """With a nudge before the edging, which stands as far from where the brim turns as any
        nudge from another."""
        piece = self.plan.piece
        least = piece.limits.nudge_apart - 1
        if any(tally.rounds < least for tally, _ in brims):
            brims = brim_rows(piece, brim, count, least, self.every_rhythm)
        for tally, cost in brims:
            limit = nudge_limit(piece, tally.count_out)
            for nudge in range(-limit, limit + 1):
                edge = self._edging_cost(tally.count_out + nudge)
                if nudge and edge is not None:
                    extra = price.total(price.nudge_price(piece, nudge)) + edge
                    yield _row(tally, nudge, cost + extra)

    def _edging_cost(self, count: int) -> int | None:
        edging = self.plan.edging
        if edging is None:
            return 0
        takes = edging.figure.counts[0]
        rest = count - edging.remainder
        if rest % takes == 0 and rest >= takes:
            return 0
        return None if edging.required else round(self.plan.piece.prices.edging * MM)


def _row(brim: SectionTally, nudge: int, cost: int) -> EndRow:
    rhythm = brim.rhythm
    shaped = max((i for i, change in enumerate(brim.changes, 1) if change), default=0)
    order = (
        -shaped,  # of equals, increases spread over the whole brim come first
        brim.sectors or 0,
        rhythm.block if rhythm else 0,
        rhythm.increases if rhythm else 0,
        brim.count_out,
        nudge,
        brim.rounds,
    )
    return EndRow(brim, nudge, cost, int(nudge != 0), order)
