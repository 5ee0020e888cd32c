"""The exact search across sizes: families in their proven order, from the sizes' rows.

Once what is shared is settled (what is kept, how most crowns end, where most nudges stand, which
sector numbers occur) the sizes are a chain: each sees only its neighbour. Choices are opened
best first on one heap, by a bound that never exceeds the cheapest family behind them; paths
through a chain are bounded exactly.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import combinations, count
from time import monotonic
from typing import Any

from .family import Rules
from .family_chain import Chain, Path
from .family_rows import FamilyRow, OutOfTimeError, Sights
from .units import MM

SCALE = 1_000  # one number for cost and special rounds: more than any family's special rounds


@dataclass(frozen=True, slots=True)
class FoundFamily:
    """One family as the search holds it: a row a size, its cost with that of differences."""

    rows: tuple[FamilyRow, ...]
    cost: int


@dataclass(frozen=True, slots=True)
class Choice:
    """One row as seen by a choice of what is shared: ``value`` is cost and special rounds, with
    the price of what is odd; ``place`` its place in its size's own order."""

    value: int
    place: int
    row: FamilyRow


@dataclass(frozen=True, slots=True)
class _Node:
    """What is settled so far: the sizes' choices left, and what is still to settle."""

    sizes: tuple[tuple[Choice, ...], ...]
    settled: int  # steps of _STEPS
    price: int  # of further sectors
    many: int = 1  # sector numbers at least, in the step to come


_NUMBERS: tuple[Callable[[FamilyRow], int | None], ...] = (
    lambda row: row.crown_number,
    lambda row: row.brim_number,
)


class FamilySearch:
    """Families best first, of rows that are given; ``most`` (in 1e-6 mm) bounds their cost."""

    def __init__(
        self, sizes: Sequence[Sequence[FamilyRow]], rules: Rules, sights: Sights, most: int
    ) -> None:
        self.rules, self.sights = rules, sights
        self.most = (most + 1) * SCALE - 1
        self._price = round(rules.prices.further_sectors * MM) * SCALE
        self._heap: list[tuple[int, int, tuple[int, ...], int, _Node | Path]] = []
        self._ticket = count()
        for node in _by_key(sizes, rules):
            self._push(node)

    def families(self, best: int, deadline: float) -> list[FoundFamily]:
        """The ``best`` cheapest families of different identity; OutOfTimeError past the
        deadline (time.monotonic() seconds)."""
        found: dict[tuple[Any, ...], FoundFamily] = {}
        for opened, family in enumerate(self._all(best)):
            if family is not None:
                found.setdefault(identity(family.rows), family)
                if len(found) == best:
                    break
            if opened % 64 == 0 and monotonic() > deadline:
                raise OutOfTimeError
        return list(found.values())

    def _all(self, best: int) -> Iterator[FoundFamily | None]:
        while self._heap:
            value, _, _, _, item = heappop(self._heap)
            if isinstance(item, Path):
                if item.done:
                    yield FoundFamily(tuple(c.row for c in item.choices), value // SCALE)
                    continue
                for further in item.chain.further(item):
                    self._push_path(further)
            elif item.settled < len(_STEPS):
                for node in _STEPS[item.settled](self, item):
                    self._push(node)
            else:
                chain = Chain(item.sizes, self.rules, best)
                for path in chain.first(item.price):
                    self._push_path(path)
            yield None

    def _push(self, node: _Node) -> None:
        bound = node.price + (node.many - 1) * self._price
        for choices in node.sizes:
            bound += min(choice.value for choice in choices)
        if bound <= self.most:
            heappush(self._heap, (bound, 0, (), next(self._ticket), node))

    def _push_path(self, path: Path) -> None:
        if path.bound <= self.most:
            heappush(self._heap, (path.bound, 1, path.places, next(self._ticket), path))

    # --- what is settled, step by step ----------------------------------------------------

    def _settle_ways(self, node: _Node) -> Iterator[_Node]:
        """How most crowns end and where most nudges stand: every way that some size has."""
        prices = self.rules.prices
        odd_crown = round(prices.odd_crown * MM) * SCALE
        odd_nudge = round(prices.odd_nudge * MM) * SCALE
        crowns = _distinct(node.sizes, lambda row: row.crown_way)
        nudges = _distinct(node.sizes, lambda row: row.nudge_way)
        for crown in crowns:
            for nudge in nudges:
                sizes = tuple(
                    tuple(
                        Choice(
                            c.value
                            + odd_crown * (c.row.crown_way != crown)
                            + odd_nudge * (c.row.nudge_way != nudge),
                            c.place,
                            c.row,
                        )
                        for c in choices
                    )
                    for choices in node.sizes
                )
                yield _Node(sizes, node.settled + 1, node.price)

    def _settle_crown_numbers(self, node: _Node) -> Iterator[_Node]:
        return self._settle_numbers(node, _NUMBERS[0])

    def _settle_brim_numbers(self, node: _Node) -> Iterator[_Node]:
        return self._settle_numbers(node, _NUMBERS[1])

    def _settle_numbers(
        self, node: _Node, number_of: Callable[[FamilyRow], int | None]
    ) -> Iterator[_Node]:
        """Which sector numbers occur: all sets of ``many``; larger ones cost more and wait."""
        tables = [_cheapest(choices, number_of) for choices in node.sizes]
        numbers = sorted({n for table in tables for n in table if n is not None})
        price = node.price + (node.many - 1) * self._price
        if not numbers:
            yield _Node(node.sizes, node.settled + 1, node.price)
            return
        for chosen in combinations(numbers, node.many):
            allowed = {None, *chosen}
            bound = price
            for table in tables:
                fitting = [value for n, value in table.items() if n in allowed]
                if not fitting:
                    break
                bound += min(fitting)
            else:
                if bound <= self.most:
                    sizes = tuple(
                        tuple(c for c in choices if number_of(c.row) in allowed)
                        for choices in node.sizes
                    )
                    yield _Node(sizes, node.settled + 1, price)
        if node.many < min(len(numbers), len(node.sizes)):
            yield _Node(node.sizes, node.settled, node.price, node.many + 1)


_STEPS: tuple[Callable[[FamilySearch, _Node], Iterator[_Node]], ...] = (
    FamilySearch._settle_ways,
    FamilySearch._settle_crown_numbers,
    FamilySearch._settle_brim_numbers,
)


def identity(rows: Sequence[FamilyRow]) -> tuple[Any, ...]:
    """What makes a family distinct: side counts, and start and crown sectors where kept."""
    start, sectors = rows[0].key[:2]
    return (tuple(row.side for row in rows), start, sectors)


def _by_key(sizes: Sequence[Sequence[FamilyRow]], rules: Rules) -> Iterator[_Node]:
    """A node for each thing that all sizes can have in common."""
    by_key: list[dict[Any, list[Choice]]] = []
    for rows in sizes:
        found: dict[Any, list[Choice]] = {}
        for place, row in enumerate(rows):
            choice = Choice(row.cost * SCALE + row.found.special, place, row)
            for parity in _parities(row, rules):
                found.setdefault((row.key, parity), []).append(choice)
        by_key.append(found)
    for key in by_key[0]:
        if all(key in found for found in by_key):
            yield _Node(tuple(tuple(found[key]) for found in by_key), 0, 0)


def _parities(row: FamilyRow, rules: Rules) -> tuple[int | None, ...]:
    """The parities under which a row may stand; None where nothing is asked."""
    if rules.sides is None:
        return (None,)
    asked = {"odd": (1,), "even": (0,), "alike": (0, 1)}[rules.sides]
    return asked if row.parity is None else tuple(p for p in asked if p == row.parity)


def _distinct(sizes: Sequence[Sequence[Choice]], way_of: Callable[[FamilyRow], Any]) -> list[Any]:
    return list(dict.fromkeys(way_of(c.row) for choices in sizes for c in choices))


def _cheapest(
    choices: Sequence[Choice], number_of: Callable[[FamilyRow], int | None]
) -> dict[int | None, int]:
    table: dict[int | None, int] = {}
    for choice in choices:
        number = number_of(choice.row)
        if number not in table or choice.value < table[number]:
            table[number] = choice.value
    return table
