"""The families of sizes as an integer model over rows (OR-Tools CP-SAT).

One Boolean a row, exactly one a size; what is kept in common as Booleans that the rows are
channelled to; the rules across sizes and the prices of differences as linear constraints. Built
from the rows and the rules alone: nothing of the chain search goes in.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from .family import Rules
from .family_rows import ANY, FamilyRow
from .model import Answer, solved
from .units import MM

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import IntVar, LinearExpr

GRAIN = 10**6  # parts of a gram
MOST_COUNT = 10**6  # more than any side count


class FamilyModel:
    """Families of the rows given, one list a size. A floor row, which stands for rows that were
    not made, goes with any other and is never odd."""

    def __init__(self, sizes: Sequence[Sequence[FamilyRow]], rules: Rules) -> None:
        from ortools.sat.python import cp_model

        self.sizes, self.rules = sizes, rules
        self.model = cp_model.CpModel()
        self.chosen = [[self.model.new_bool_var("") for _ in rows] for rows in sizes]
        for variables in self.chosen:
            self.model.add_exactly_one(variables)
        self._share_key()
        self._obey_rules()
        prices = rules.prices
        costs: list[LinearExpr | int] = []
        costs += [self._sum(lambda row: row.cost, i) for i in range(len(sizes))]
        costs.append(self._odd(prices.odd_crown, lambda row: row.crown_way))
        costs.append(self._odd(prices.odd_nudge, lambda row: row.nudge_way))
        costs.append(self._further(prices.further_sectors, lambda row: row.crown_number))
        costs.append(self._further(prices.further_sectors, lambda row: row.brim_number))
        self.total = cp_model.LinearExpr.sum(costs)

    def minimise(self) -> None:
        """Ask for the cheapest family."""
        self.model.minimize(self.total)

    def at_most(self, cost: int) -> None:
        """Leave out families that cost more than one already at hand."""
        self.model.add(self.total <= cost)

    def solve(self, seconds: float) -> Answer:
        """Solve within a time limit (seconds), relaxed as linear rows throughout, which proves
        most here."""
        return solved(self.model, self.total, seconds, linearization=2)

    # --- what is shared and what is asked -------------------------------------------------

    def _sum(self, weight: Callable[[FamilyRow], int], size: int) -> LinearExpr:
        from ortools.sat.python.cp_model import LinearExpr

        weights = [weight(row) for row in self.sizes[size]]
        return LinearExpr.weighted_sum(self.chosen[size], weights)

    def _with(
        self, size: int, value_of: Callable[[FamilyRow], Hashable]
    ) -> Mapping[Hashable, list[IntVar]]:
        """The Booleans of a size's rows by something they have."""
        found: dict[Hashable, list[IntVar]] = {}
        for row, chosen in zip(self.sizes[size], self.chosen[size], strict=True):
            found.setdefault(value_of(row), []).append(chosen)
        return found

    def _share_key(self) -> None:
        by_size = [self._with(i, lambda row: row.key) for i in range(len(self.sizes))]
        keys = dict.fromkeys(key for found in by_size for key in found if key)
        if len(keys) < 2:
            return
        shared = {key: self.model.new_bool_var("") for key in keys}
        self.model.add_exactly_one(shared.values())
        for found in by_size:
            for key, variable in shared.items():
                self.model.add(sum(found.get(key, [])) <= variable)

    def _obey_rules(self) -> None:
        rules, sizes = self.rules, range(len(self.sizes))
        if rules.rising:
            for a, b in pairwise(sizes):
                first = self._sum(lambda row: 0 if row.side == ANY else row.side, a)
                then = self._sum(lambda row: MOST_COUNT if row.side == ANY else row.side, b)
                self.model.add(first + 1 <= then)
        for size, count in rules.counts.items():
            off = self._sum(lambda row: 0 if row.side == ANY else row.side, size)
            self.model.add(off == count * (1 - self._sum(lambda row: int(row.side == ANY), size)))
        if rules.yarn_grams is not None:
            takes = [self._sum(lambda row: round(row.grams * GRAIN), size) for size in sizes]
            self.model.add(sum(takes) <= round(rules.yarn_grams * GRAIN) + len(takes))
        if rules.sides is not None:
            odd = self.model.new_bool_var("")
            if rules.sides != "alike":
                self.model.add(odd == (rules.sides == "odd"))
            for size in sizes:
                for parity, variables in self._with(size, lambda row: row.parity).items():
                    if parity is not None:
                        self.model.add(sum(variables) <= (odd if parity else 1 - odd))

    # --- what differences cost ------------------------------------------------------------

    def _odd(self, price: float, way_of: Callable[[FamilyRow], Hashable]) -> LinearExpr | int:
        """A price for each size that does not go the way that one reference goes."""
        by_size = [self._with(i, way_of) for i in range(len(self.sizes))]
        ways = dict.fromkeys(way for found in by_size for way in found if way is not None)
        if len(ways) < 2:
            return 0
        most = {way: self.model.new_bool_var("") for way in ways}
        self.model.add_exactly_one(most.values())
        odd = [self.model.new_bool_var("") for _ in by_size]
        for found, is_odd in zip(by_size, odd, strict=True):
            for way, variables in found.items():
                if way is not None:
                    self.model.add(sum(variables) <= most[way] + is_odd)
        return round(price * MM) * sum(odd)

    def _further(
        self, price: float, number_of: Callable[[FamilyRow], int | None]
    ) -> LinearExpr | int:
        """A price for each sector number that occurs beyond one."""
        by_size = [self._with(i, number_of) for i in range(len(self.sizes))]
        numbers = dict.fromkeys(n for found in by_size for n in found if n is not None)
        if len(numbers) < 2:
            return 0
        occurs = {n: self.model.new_bool_var("") for n in numbers}
        for found in by_size:
            for n, variables in found.items():
                if n is not None:
                    self.model.add(sum(variables) <= occurs[n])
        further = self.model.new_int_var(0, len(numbers), "")
        self.model.add(further >= sum(occurs.values()) - 1)
        return round(price * MM) * further
