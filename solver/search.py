"""The exact search: the k best tallies in (cost, simplicity, tally) order, without the model.

Crowns, bodies and ends are small tables whose costs add up. Every body is paired with the crowns
that reach its first count; what is paired with its cheapest crown and cheapest end is a bound
that is attained, so the k smallest bounds close the list. Then the pairs are opened best first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush, heapreplace
from time import monotonic
from typing import Any

from .body import Body, Rounds
from .ends import EndRow
from .nudge import could_be_part_round
from .piece import Crown
from .rows import CrownRow
from .ways import Group, Ways, crown_cost

Order = tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """One design as the search holds it. ``crown`` is None on a joined chain."""

    crown: CrownRow | None
    body: Body
    rounds: Rounds
    end: EndRow
    cost: int

    @property
    def special(self) -> int:
        """How many special rounds: nudges, part rounds, further rates, double rounds."""
        crown = self.crown.special if self.crown else 0
        return crown + sum(n != 0 for n in self.body.nudges) + self.end.special

    @property
    def order(self) -> Order:
        """Cost, then simplicity, then the tally's own order."""
        crown = self.crown.order if self.crown else (self.body.count,)
        return (self.cost, self.special, crown, self.body.order, self.end.order)


@dataclass(frozen=True, slots=True)
class Pair:
    """A body with a group of crowns, its derived rounds and its ends."""

    body: Body
    rounds: Rounds
    group: Group
    ends: list[EndRow]
    bound: int


@dataclass(frozen=True, slots=True)
class Listed:
    """Designs best first; not ``complete`` where time ran out before the list could be closed."""

    designs: tuple[Found, ...]
    complete: bool


def search(
    ways: Ways,
    best: int,
    *,
    side: int | None = None,
    plain_sides: bool = False,
    deadline: float | None = None,
) -> Listed:
    """The ``best`` cheapest designs in their proven order.

    ``side`` keeps only designs judged at that count, ``plain_sides`` of those the
    ones with no nudge but the first. Past ``deadline`` (time.monotonic()
    seconds) it stops at what it has, at least one design if there is any.
    """
    bodies = ways.bodies
    if side is not None:
        by_side = ways.plain_by_side if plain_sides else ways.bodies_by_side
        bodies = by_side.get(side, [])
    pairs, complete = _pairs(ways, bodies, best, deadline)
    return Listed(tuple(_open(pairs, best)), complete)


def allowed_after(group: Group, body: Body, crown: Crown | None) -> bool:
    """Whether the body's first nudge may follow these crowns."""
    row = group.rows[0]
    if crown is None or row is None or not group.part_sectors or not body.nudges:
        return True
    return not could_be_part_round(crown, row.changes, row.sectors, body.nudges[0])


class _Bound:
    """The k-th smallest of what was offered so far."""

    def __init__(self, k: int) -> None:
        self.k, self.heap = k, list[int]()

    def offer(self, cost: int) -> None:
        if len(self.heap) < self.k:
            heappush(self.heap, -cost)
        elif cost < -self.heap[0]:
            heapreplace(self.heap, -cost)

    def passed_by(self, cost: int) -> bool:
        return len(self.heap) == self.k and cost > -self.heap[0]


def _pairs(
    ways: Ways, bodies: Sequence[Body], best: int, deadline: float | None
) -> tuple[list[Pair], bool]:
    if not bodies:
        return [], True
    by_count, bound = ways.groups, _Bound(best)
    pairs: list[Pair] = []
    complete = True
    for body in bodies:
        if bound.passed_by(body.cost):
            break
        if deadline is not None and pairs and monotonic() > deadline:
            complete = False
            break
        for pair in _with_crowns(ways, body, by_count[body.count], bound.passed_by):
            bound.offer(pair.bound)
            pairs.append(pair)
    return [pair for pair in pairs if not bound.passed_by(pair.bound)], complete


def _with_crowns(
    ways: Ways, body: Body, found: list[Group], hopeless: Callable[[int], bool]
) -> Iterator[Pair]:
    nudged = tuple(n != 0 for n in body.nudges)
    for group in found:
        if hopeless(body.cost + group.best) or not allowed_after(group, body, ways.plan.crown):
            continue
        rounds = ways.plan.rounds(group.rounds, nudged)
        if rounds is None or hopeless(body.cost + group.best + rounds.cost):
            continue
        rows = ways.ends.rows(body.count_out)
        if rows:
            cost = body.cost + group.best + rounds.cost + rows[0].cost
            yield Pair(body, rounds, group, rows, cost)


def _open(pairs: list[Pair], best: int) -> list[Found]:
    heap: list[tuple[int, int, int, int, int]] = []

    def push(index: int, i: int, j: int) -> None:
        pair = pairs[index]
        if i < len(pair.group.rows) and j < len(pair.ends):
            found = _found(pair, i, j)
            heappush(heap, (found.cost, found.special, index, i, j))

    for index in range(len(pairs)):
        push(index, 0, 0)
    out: list[Found] = []
    while heap:
        cost, special, index, i, j = heappop(heap)
        if len(out) >= best and (cost, special) > (out[best - 1].cost, out[best - 1].special):
            break
        out.append(_found(pairs[index], i, j))
        push(index, i + 1, j)
        if i == 0:
            push(index, i, j + 1)
    return sorted(out, key=lambda found: found.order)[:best]


def _found(pair: Pair, i: int, j: int) -> Found:
    crown, end = pair.group.rows[i], pair.ends[j]
    cost = pair.body.cost + pair.rounds.cost + crown_cost(crown) + end.cost
    return Found(crown, pair.body, pair.rounds, end, cost)
