"""The end of a piece from where the brim turns: brim, perhaps a nudge, edging."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from operator import attrgetter

from . import price
from .body import BodyPlan
from .nudge import nudge_limit
from .piece import Brim, Edging, Piece
from .rows import Brims, Shaping
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


_RANK = attrgetter("cost", "special", "order")


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


def edging_cost(piece: Piece, edging: Edging | None, count: int) -> int | None:
    """What an edging on a count costs (1e-6 mm), no edging nothing; None where its repeat is
    required and does not fit."""
    if edging is None:
        return 0
    takes, rest = edging.figure.counts[0], count - edging.remainder
    if rest >= takes and rest % takes == 0:
        return 0
    return None if edging.required else round(piece.prices.edging * MM)


class Ends:
    """The sorted end rows of every count, made when first asked for. A brim that several rhythms
    lead to is named by the first of them. ``by_rhythm`` says that ``rows_by_rhythm`` will be asked
    for too: then both are made at once."""

    def __init__(self, plan: BodyPlan) -> None:
        self.plan, self.by_rhythm = plan, False
        self._brims = None if plan.brim is None else Brims(plan.piece, plan.brim)
        self._rows: dict[int, list[EndRow]] = {}
        self._by_rhythm: dict[int, list[EndRow]] = {}
        self._nudges: dict[int, list[tuple[int, int]]] = {}

    def rows(self, count: int) -> list[EndRow]:
        """End rows of a count, best first."""
        if count not in self._rows:
            if self.by_rhythm:
                self.rows_by_rhythm(count)
            else:
                self._rows[count] = sorted(self._all(count, again=False)[0], key=_RANK)
        return self._rows[count]

    def any(self, count: int) -> bool:
        """Whether there is an end from a count, without the rows it would be told by."""
        if self._brims is None:
            return self._edging_cost(count) is not None
        least = self.plan.piece.limits.nudge_apart - 1
        for grown, rounds in self._brims.allowed(count):
            if self._edging_cost(count + grown) is not None:
                return True
            nudged = self.plan.edging is not None and rounds >= least
            if nudged and self._nudges_before_edging(count + grown):
                return True
        return False

    def rows_by_rhythm(self, count: int) -> list[EndRow]:
        """The same with a brim that several rhythms lead to once by each of them."""
        if count not in self._by_rhythm:
            once, again = self._all(count, again=True)
            self._rows[count] = sorted(once, key=_RANK)
            self._by_rhythm[count] = sorted(self._rows[count] + again, key=_RANK)
        return self._by_rhythm[count]

    def _all(self, count: int, again: bool) -> tuple[list[EndRow], list[EndRow]]:
        """The end rows of a count and, if asked for, those that name a brim once again."""
        plan, brims = self.plan, self._brims
        if brims is None or plan.brim is None:
            cost = self._edging_cost(count)
            return [] if cost is None else [EndRow(None, 0, cost, 0, (count,))], []
        rows: tuple[list[EndRow], list[EndRow]] = ([], [])
        on_this = [each for each in brims.on(count) if again or not each.again]
        for shaping in on_this:
            edge = self._edging_cost(count + shaping.grown)
            if edge is not None:
                tally = _brim_tally(plan.brim, count, shaping)
                rows[shaping.again].append(_row(tally, shaping, count, 0, edge))
        if plan.edging is None:
            return rows
        # a nudge before the edging stands as far from where the brim turns as from another
        least = plan.piece.limits.nudge_apart - 1
        if any(len(each.changes) < least for each in on_this):
            on_this = [each for each in brims.on(count, least) if again or not each.again]
        for shaping in on_this:
            nudges = self._nudges_before_edging(count + shaping.grown)
            tally = _brim_tally(plan.brim, count, shaping)
            rows[shaping.again].extend(_row(tally, shaping, count, *each) for each in nudges)
        return rows

    def _nudges_before_edging(self, count: int) -> list[tuple[int, int]]:
        """The nudges that lead from a count to the edging, each with what it and the edging
        cost."""
        if count not in self._nudges:
            piece, found = self.plan.piece, []
            limit = nudge_limit(piece, count)
            for nudge in range(-limit, limit + 1):
                edge = self._edging_cost(count + nudge)
                if nudge and edge is not None:
                    found.append((nudge, price.total(price.nudge_price(piece, nudge)) + edge))
            self._nudges[count] = found
        return self._nudges[count]

    def _edging_cost(self, count: int) -> int | None:
        return edging_cost(self.plan.piece, self.plan.edging, count)


def _brim_tally(brim: Brim, count: int, shaping: Shaping) -> SectionTally:
    sectors = shaping.sectors or None
    return SectionTally(
        "brim", brim.name, count, shaping.changes, sectors=sectors, rhythm=shaping.rhythm
    )


def _row(tally: SectionTally, shaping: Shaping, count: int, nudge: int, extra: int) -> EndRow:
    rhythm = shaping.rhythm
    order = (
        -shaping.shaped,  # of equals, increases spread over the whole brim come first
        shaping.sectors,
        rhythm.block if rhythm else 0,
        rhythm.increases if rhythm else 0,
        count + shaping.grown,
        nudge,
        len(shaping.changes),
    )
    return EndRow(tally, nudge, shaping.cost + extra, int(nudge != 0), order)
