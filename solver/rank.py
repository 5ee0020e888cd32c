"""Yarns put in order for one design in several sizes: whose best designs are nearest the wish.

Every pair of yarn and size is scored exactly (rank_score); the pairs that are shown are solved,
recounted, measured and proven as ``fit`` does it, and must come to the same cost.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from time import monotonic
from typing import Literal

from .body import BodyPlan
from .candidate import Candidate, Fit, Measures
from .ends import EndRow, Ends
from .fit import checked, fit, proven_best
from .piece import Piece
from .recount import InternalCheckError
from .search import search
from .units import MM
from .ways import Ways

LEAST_PROOF = 0.02  # seconds; with less left a proof is not begun


@dataclass(frozen=True, slots=True)
class YarnRank:
    """One yarn's place. ``yarn`` is its index, ``costs`` its best designs' by size (1e-6 mm),
    None where a size cannot be made."""

    rank: int
    yarn: int
    costs: tuple[int | None, ...]

    @property
    def missing(self) -> int:
        """How many sizes cannot be made."""
        return sum(cost is None for cost in self.costs)

    @property
    def score_mm(self) -> float | None:
        """The mean score over the sizes that can be made, in mm; None without one."""
        known = [cost for cost in self.costs if cost is not None]
        return sum(known) / len(known) / MM if known else None


def rank_yarns(costs: Sequence[Sequence[int | None]]) -> tuple[YarnRank, ...]:
    """Yarns best first: those that make more sizes before those that make fewer, then by the mean
    score over the sizes they make, then in the order given."""
    found = [YarnRank(0, i, tuple(each)) for i, each in enumerate(costs)]
    found.sort(key=_order)
    return tuple(replace(each, rank=rank) for rank, each in enumerate(found, 1))


def _order(each: YarnRank) -> tuple[int, float, int]:
    return each.missing, each.score_mm or 0.0, each.yarn


def solved(
    piece: Piece, cost: int | None, deadline: float, useful: frozenset[int] | None = None
) -> Fit:
    """The best design as ``fit`` gives it, proven if time (monotonic seconds) allows; near misses
    where there is none. InternalCheckError where it does not come to ``cost``.

    ``useful`` are the counts at which an end as cheap as that begins (Scores.useful_ends): no
    others need to be tried.
    """
    ways = Ways(piece) if useful is None else _UsefulWays(piece, useful)
    designs = search(ways, 1).designs
    reached = designs[0].cost if designs else None
    if reached != cost:
        raise InternalCheckError(f"many yarns at once scored {cost}, the search {reached}")
    left = deadline - monotonic()
    if not designs:
        found = fit(piece, best=1, time_limit=max(left, LEAST_PROOF))
        if found.candidates:
            raise InternalCheckError("the search found a design where it had found none")
        return found
    tally, measures = checked(ways, designs[0])
    status: Literal["proven", "unproven"] = "unproven"
    if left > LEAST_PROOF and proven_best(ways, designs[0].cost, deadline):
        status = "proven"
    return Fit(status, (Candidate(1, tally, measures, pareto=True),), (), ())


class _UsefulWays(Ways):
    """The tables of a piece without ends that are too dear for its best design."""

    def __init__(self, piece: Piece, useful: frozenset[int]) -> None:
        super().__init__(piece)
        self._useful = useful

    @cached_property
    def ends(self) -> Ends:
        """The end rows of the useful counts; none on any other."""
        return _UsefulEnds(self.plan, self._useful)


class _UsefulEnds(Ends):
    """End rows on some counts only."""

    def __init__(self, plan: BodyPlan, useful: frozenset[int]) -> None:
        super().__init__(plan)
        self._useful = useful

    def rows(self, count: int) -> list[EndRow]:
        """End rows of a useful count, best first."""
        return super().rows(count) if count in self._useful else []


def searched_best(piece: Piece, useful: frozenset[int] | None = None) -> Candidate | None:
    """The best design by the exact search alone, recounted and measured."""
    ways = Ways(piece) if useful is None else _UsefulWays(piece, useful)
    designs = search(ways, 1).designs
    if not designs:
        return None
    return Candidate(1, *checked(ways, designs[0]), pareto=True)


def made_well(piece: Piece, measures: Measures) -> bool:
    """Whether a size is made well: no nudge, no warning, the circumference within half its
    tolerance, and every repeat within half of its own."""
    limits = piece.limits
    miss = measures.around_miss_cm
    if measures.nudges and not piece.nudges_shape:
        return False
    if measures.notices or (miss is not None and abs(miss) > limits.around_cm / 2):
        return False
    return all(
        abs(band.repeat_cm - band.wish_cm) <= band.wish_cm * limits.repeat_share / 2
        for band in measures.bands
        if band.wish_cm is not None
    )
