"""The exact search across sizes: families in their proven order, from the sizes' rows.

Once what is shared is settled (what is kept, how most crowns end, where most nudges stand, which
sector numbers occur) the sizes are a chain: each sees only its neighbour. Choices are opened
best first on one heap, by a bound that never exceeds the cheapest family behind them; paths
through a chain are bounded exactly.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from heapq import heappop, heappush
from itertools import count, product
from time import monotonic
from typing import Any

from .family import Rules
from .family_chain import Chain, Choice, Path, can_rise
from .family_numbers import each_needed, order_of, sets_for_all
from .family_rows import FamilyRow, OutOfTimeError
from .units import MM

SCALE = 1_000  # one number for cost and special rounds: more than any family's special rounds


@dataclass(frozen=True, slots=True)
class FoundFamily:
    """One family as the search holds it: a row a size, its cost with that of differences."""

    rows: tuple[FamilyRow, ...]
    cost: int

    @property
    def open_sizes(self) -> list[int]:
        """Sizes of which only a floor is known: with any, this is a bound and no family."""
        return [size for size, row in enumerate(self.rows) if row.design is None]


Sizes = tuple[list[Choice], ...]
Way = tuple[tuple[str, ...] | None, tuple[int, ...] | None]  # of a crown, of its nudges


@dataclass(frozen=True, slots=True)
class _Node:
    """What is settled so far. ``narrow`` gives the sizes' choices left, made when it is opened;
    ``bound`` is never more than the cheapest family in it, ``price`` that of further sectors."""

    narrow: Callable[[], Sizes]
    bound: int
    settled: int  # steps of _STEPS
    price: int = 0
    many: int = 1  # sector numbers at least, in the step to come


class FamilySearch:
    """Families best first, of rows that are given. A floor row goes with any other."""

    def __init__(self, sizes: Sequence[Sequence[FamilyRow]], rules: Rules) -> None:
        self.rules = rules
        self._price = round(rules.prices.further_sectors * MM) * SCALE
        self._ways: dict[Way, int] = {}
        self._first = list(_by_key(sizes, rules, self._ways))
        self._settled: dict[int, tuple[_Node, list[_Node]]] = {}

    def families(self, best: int, deadline: float) -> list[FoundFamily]:
        """The ``best`` cheapest families of different identity, or as many as come before one
        that is only a bound, and that one. OutOfTimeError past the deadline (time.monotonic()
        seconds)."""
        found: dict[tuple[Any, ...], FoundFamily] = {}
        for family in self._all(best):
            if family is not None:
                found.setdefault(identity(family.rows), family)
                if len(found) == best or family.open_sizes:
                    break
            if monotonic() > deadline:
                raise OutOfTimeError
        return list(found.values())

    def rows_that_matter(self, cost: int) -> list[list[FamilyRow]]:
        """The rows that a family within a cost may hold, by costs and prices alone: with the
        cheapest of the other sizes, for what is shared in some way, they cost no more."""
        most = (cost + 1) * SCALE - 1
        matter: dict[tuple[int, int], FamilyRow] = {}
        nodes = list(self._first)
        while nodes:
            node = nodes.pop()
            if node.bound > most:
                continue
            if node.settled < len(_STEPS):
                nodes += self._settle(node)
                continue
            for size, choices in enumerate(node.narrow()):
                spare = most - node.bound + min(c.value for c in choices)
                matter.update({(size, c.place): c.row for c in choices if c.value <= spare})
        rows: list[list[FamilyRow]] = [[] for _ in range(len(self._first[0].narrow()))]
        for size, place in sorted(matter):
            rows[size].append(matter[size, place])
        return rows

    def _all(self, best: int) -> Iterator[FoundFamily | None]:
        ticket = count()
        heap: list[tuple[int, int, tuple[int, ...], int, _Node | Path]] = []

        def push(item: _Node | Path) -> None:
            if isinstance(item, Path):
                heappush(heap, (item.bound, 1, item.places, next(ticket), item))
            else:
                heappush(heap, (item.bound, 0, (), next(ticket), item))

        for node in self._first:
            push(node)
        while heap:
            value, _, _, _, item = heappop(heap)
            if isinstance(item, Path):
                if item.done:
                    yield FoundFamily(tuple(c.row for c in item.choices), value // SCALE)
                    continue
                further: Iterable[_Node | Path] = item.chain.further(item)
            elif item.settled < len(_STEPS):
                further = self._settle(item)
            else:
                further = Chain(item.narrow(), self.rules, best).first(item.price)
            for each in further:
                push(each)
            yield None

    def _settle(self, node: _Node) -> list[_Node]:
        """The nodes behind one, each made once."""
        if id(node) not in self._settled:
            self._settled[id(node)] = (node, list(_STEPS[node.settled](self, node)))
        return self._settled[id(node)][1]

    # --- what is settled, step by step ----------------------------------------------------

    def _settle_ways(self, node: _Node) -> Iterator[_Node]:
        """How most crowns end and where most nudges stand: every way that some size has."""
        sizes, prices = node.narrow(), self.rules.prices
        odd_crown = round(prices.odd_crown * MM) * SCALE
        odd_nudge = round(prices.odd_nudge * MM) * SCALE
        tables = [_cheapest(choices, _way) for choices in sizes]
        ways = {number: way for way, number in self._ways.items()}
        occur = dict.fromkeys(number for table in tables for number in table if number)
        if not occur:
            yield replace(node, settled=node.settled + 1)
            return
        for most in product(*map(dict.fromkeys, zip(*(ways[n] for n in occur), strict=True))):
            odd = {0: 0}
            for n in occur:
                odd[n] = odd_crown * (ways[n][0] != most[0]) + odd_nudge * (ways[n][1] != most[1])
            bound = sum(min([value + odd[n] for n, value in t.items()]) for t in tables)
            yield _Node(partial(_with_odd, sizes, odd), bound, node.settled + 1)

    def _settle_crown_numbers(self, node: _Node) -> Iterator[_Node]:
        return self._settle_numbers(node, _crown_number)

    def _settle_brim_numbers(self, node: _Node) -> Iterator[_Node]:
        return self._settle_numbers(node, _brim_number)

    def _settle_numbers(
        self, node: _Node, number_of: Callable[[Choice], int | None]
    ) -> Iterator[_Node]:
        """Which sector numbers occur: all sets of ``many``; larger ones cost more and wait."""
        sizes = node.narrow()
        tables = [_cheapest(choices, number_of) for choices in sizes]
        numbers = sorted({n for table in tables for n in table if n is not None})
        if not numbers:
            yield _Node(node.narrow, node.bound, node.settled + 1, node.price)
            return
        if self._price == 0:
            node = replace(node, many=len(numbers))
        price = node.price + (node.many - 1) * self._price
        weigh = self._price > 0 and node.many > 1 and self.rules.yarn_grams is None
        orders = set(map(order_of, _by_side(sizes, number_of))) if weigh else set()
        for chosen, bound in sets_for_all(tables, numbers, node.many):
            if weigh and not each_needed(orders, chosen):
                continue
            narrow = partial(_only, sizes, number_of, {None, *chosen})
            yield _Node(narrow, bound + price, node.settled + 1, price)
        if node.many < min(len(numbers), len(sizes)):
            least = sum(min(table.values()) for table in tables)
            bound = least + price + self._price
            yield _Node(node.narrow, bound, node.settled, node.price, node.many + 1)


_STEPS: tuple[Callable[[FamilySearch, _Node], Iterator[_Node]], ...] = (
    FamilySearch._settle_ways,
    FamilySearch._settle_crown_numbers,
    FamilySearch._settle_brim_numbers,
)


def _way(choice: Choice) -> int:
    return choice.way


def _crown_number(choice: Choice) -> int | None:
    return choice.row.crown_number


def _brim_number(choice: Choice) -> int | None:
    return choice.row.brim_number


def _as_they_are(sizes: Sizes) -> Sizes:
    return sizes


def _with_odd(sizes: Sizes, odd: Mapping[int, int]) -> Sizes:
    return tuple(
        [Choice(value + odd[way], place, row, way) for value, place, row, way in choices]
        for choices in sizes
    )


def _by_side(
    sizes: Sizes, number_of: Callable[[Choice], int | None]
) -> Iterator[dict[int | None, int]]:
    """For every size and side count the least value of each number."""
    for choices in sizes:
        by_side: dict[int, list[Choice]] = {}
        for choice in choices:
            by_side.setdefault(choice.row.side, []).append(choice)
        for some in by_side.values():
            yield _cheapest(some, number_of)


def _only(
    sizes: Sizes, number_of: Callable[[Choice], int | None], allowed: set[int | None]
) -> Sizes:
    return tuple([c for c in choices if number_of(c) in allowed] for choices in sizes)


def identity(rows: Sequence[FamilyRow]) -> tuple[Any, ...]:
    """What makes a family distinct: side counts, and start and crown sectors where kept."""
    return (tuple(row.side for row in rows), rows[0].key[:2])


def _by_key(
    sizes: Sequence[Sequence[FamilyRow]], rules: Rules, ways: dict[Way, int]
) -> Iterator[_Node]:
    """A node for each thing that all sizes can have in common, and one of floors alone. ``ways``
    takes up the numbers of the ways that crowns and nudges go, from 1 on."""
    by_key: list[dict[Any, list[Choice]]] = []
    floors: list[list[Choice]] = []
    for rows in sizes:
        found: dict[Any, list[Choice]] = {}
        floors.append([])
        for place, row in enumerate(rows):
            way = 0
            if row.design is not None:
                way = ways.setdefault((row.crown_way, row.nudge_way), len(ways) + 1)
            choice = Choice(row.cost * SCALE + row.special, place, row, way)
            if row.design is None:
                floors[-1].append(choice)
                continue
            for parity in _parities(row, rules):
                found.setdefault((row.key, parity), []).append(choice)
        by_key.append(found)
    keys = dict.fromkeys(key for found in by_key for key in found)
    for key in (*keys, None):
        left = tuple(
            [*found.get(key, []), *floor] for found, floor in zip(by_key, floors, strict=True)
        )
        sides = ({choice.row.side for choice in choices} for choices in left)
        if all(left) and (not rules.rising or can_rise(sides)):
            bound = sum(min(c.value for c in choices) for choices in left)
            yield _Node(partial(_as_they_are, left), bound, 0)


def _parities(row: FamilyRow, rules: Rules) -> tuple[int | None, ...]:
    """The parities under which a row may stand; None where nothing is asked."""
    if rules.sides is None:
        return (None,)
    asked = {"odd": (1,), "even": (0,), "alike": (0, 1)}[rules.sides]
    return asked if row.parity is None else tuple(p for p in asked if p == row.parity)


def _cheapest(choices: Sequence[Choice], kind_of: Callable[[Choice], Any]) -> dict[Any, int]:
    table: dict[Any, int] = {}
    for choice in choices:
        kind = kind_of(choice)
        if kind not in table or choice.value < table[kind]:
            table[kind] = choice.value
    return table
