"""The exact search: the k best tallies in (cost, simplicity, tally) order, without the model.

Crowns, bodies and ends are small tables whose costs add up. Every body is paired with the crowns
that reach its first count; what is paired with its cheapest crown and cheapest end is a bound
that is attained, so the k smallest bounds close the list. Then the pairs are opened best first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from heapq import heappop, heappush, heapreplace
from itertools import islice
from time import monotonic
from typing import Any

from .body import Body
from .depths import Rounds
from .ends import EndRow
from .nudge import could_be_part_round
from .piece import Crown
from .rows import CrownRow
from .ways import Group, Ways, crown_cost

Order = tuple[Any, ...]
EVERY = 10**12  # more designs than there are
GRACE = 2.0  # seconds past the deadline in which a first design may still be found


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

    @property
    def rank(self) -> tuple[int, tuple[int, ...]]:
        """Cheaper first, then with its nudges before the even rounds."""
        return self.bound, self.body.marks


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
    deadline: float | None = None,
    most: int | None = None,
) -> Listed:
    """The ``best`` cheapest designs in their proven order.

    ``side`` keeps only designs judged at that count. Past ``deadline`` (time.monotonic()
    seconds), or ``most`` bodies looked at, it stops at what it has; past the deadline it goes on
    for up to GRACE seconds until there is at least one.
    """
    pairs, complete = _pairs(ways, _chosen(ways.bodies, side, most), best, deadline)
    return Listed(tuple(_open(pairs, best)), complete)


def search_plain(ways: Ways, side: int) -> Found | None:
    """The best design judged at a count, of those with no nudge but the first run's."""
    pairs, _ = _pairs(ways, ways.plain_by_side.get(side, []), 1, None)
    return next(iter(_open(pairs, 1)), None)


def search_in_classes(
    ways: Ways, best: int, class_of: Callable[[Found], int], *, deadline: float | None = None
) -> Listed:
    """The ``best`` designs by (class, order), the smallest class first, each class in its proven
    order.

    ``class_of`` must not depend on a design's crown beyond its last count, nor on its end. Looks
    at every body there is; not ``complete`` where the deadline came first.
    """
    pairs, complete = _pairs(ways, ways.bodies, EVERY, deadline)
    classes: dict[int, list[Pair]] = {}
    for pair in pairs:
        classes.setdefault(class_of(_found(pair, 0, 0)), []).append(pair)
    designs: list[Found] = []
    for number in sorted(classes):
        if len(designs) >= best:
            break
        designs += _open(classes[number], best - len(designs))
    return Listed(tuple(designs), complete)


def _chosen(
    bodies: Iterable[Body | None], side: int | None, most: int | None
) -> Iterator[Body | None]:
    for body in islice(bodies, most):
        if body is None or side is None or body.side_count == side:
            yield body


def allowed_after(group: Group, body: Body, crown: Crown | None) -> bool:
    """Whether the body's first nudge may follow these crowns."""
    row = group.rows[0]
    if crown is None or row is None or not group.part_sectors or not body.nudges:
        return True
    if body.marks[0] != 0:
        return True  # even rounds stand between
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
    ways: Ways, bodies: Iterable[Body | None], best: int, deadline: float | None
) -> tuple[list[Pair], bool]:
    """The pairs that can hold one of the best; not complete where time ran out.

    A body of which only the nudges' spots differ is the same design: the cheaper pair stays, and
    only the first is offered to the bound, which then is never too low.
    """
    bound, pairs = _Bound(best), dict[Order, Pair]()
    complete = True
    for body in bodies:
        late = deadline is not None and monotonic() > deadline
        if late and (pairs or monotonic() > (deadline or 0) + GRACE):
            complete = False
            break
        if body is None:
            continue
        if bound.passed_by(body.cost):
            break
        for pair in _with_crowns(ways, body, bound.passed_by):
            key = (body.count, body.order, pair.group.rounds, pair.group.part_sectors)
            if key not in pairs:
                bound.offer(pair.bound)
            if key not in pairs or pair.rank < pairs[key].rank:
                pairs[key] = pair
    return [pair for pair in pairs.values() if not bound.passed_by(pair.bound)], complete


def _with_crowns(ways: Ways, body: Body, hopeless: Callable[[int], bool]) -> Iterator[Pair]:
    for group in ways.groups(body.count):
        if hopeless(body.cost + group.best):
            break
        if not allowed_after(group, body, ways.plan.crown):
            continue
        rounds = ways.plan.rounds(group.rounds, body.marks)
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
