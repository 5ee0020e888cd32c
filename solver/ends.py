"""The end of a piece from where the brim turns: brim, perhaps a nudge, edging."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from . import price
from .body import BodyPlan
from .nudge import nudge_limit
from .piece import Edging
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
    """The sorted end rows of every count, made when first asked for."""

    def __init__(self, plan: BodyPlan) -> None:
        self.plan = plan
        self._rows: dict[tuple[int, int], list[EndRow]] = {}

    def rows(self, count: int, least_rounds: int = 0) -> list[EndRow]:
        """End rows of a count, best first; a nudge before the edging only after a brim of at
        least so many rounds."""
        key = (count, least_rounds)
        if key not in self._rows:
            rows = self._all(count, least_rounds)
            self._rows[key] = sorted(rows, key=lambda row: (row.cost, row.special, row.order))
        return self._rows[key]

    def _all(self, count: int, least_rounds: int) -> list[EndRow]:
        plan, edging = self.plan, self.plan.edging
        if plan.brim is None:
            cost = self._edging_cost(count)
            return [] if cost is None else [EndRow(None, 0, cost, 0, (count,))]
        rows = []
        for brim, cost in brim_rows(plan.piece, plan.brim, count):
            last = brim.count_out
            limit = nudge_limit(plan.piece, last) if edging is not None else 0
            for nudge in range(-limit, limit + 1):
                edge = self._edging_cost(last + nudge)
                if edge is None or (nudge and brim.rounds < least_rounds):
                    continue
                extra = price.total(price.nudge_price(plan.piece, nudge)) + edge
                rows.append(_row(brim, nudge, cost + extra))
        return rows

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
