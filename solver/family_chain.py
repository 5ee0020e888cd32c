"""Sizes as a chain: paths through one row a size, bounded exactly by what is still to come.

Every size keeps, for each side count, its cheapest choice (where yarn is limited each that is
cheaper or takes less). Values are whole numbers: cost and special rounds in one.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from .family import Rules
from .family_rows import ANY, FamilyRow

NEAR = 1e-6  # grams by which sums in another order may differ; the true rule is looked at last


class Choice(NamedTuple):
    """One row as seen by a choice of what is shared: ``value`` is cost and special rounds, with
    the price of what is odd; ``place`` its place in its size's own order; ``way`` how its crown
    and its nudges go, by a number (0: nothing is known of them)."""

    value: int
    place: int
    row: FamilyRow
    way: int = 0


@dataclass(frozen=True, slots=True)
class Path:
    """Choices for the first sizes; ``bound`` is what the best family going on from here has."""

    chain: Chain = field(compare=False)
    choices: tuple[Choice, ...]
    value: int
    bound: int
    grams: float

    @property
    def places(self) -> tuple[int, ...]:
        """Its place in the members' own order."""
        return tuple(choice.place for choice in self.choices)

    @property
    def done(self) -> bool:
        """Whether every size has its row."""
        return len(self.choices) == len(self.chain.sizes)


class Chain:
    """The choices of every size once all that is shared is settled."""

    def __init__(self, sizes: Sequence[Sequence[Choice]], rules: Rules, best: int) -> None:
        self.rising, self.grams, self.best = rules.rising, rules.yarn_grams, best
        keep = _cheapest_of_each_side if rules.yarn_grams is None else _not_beaten
        self.sizes = [keep(choices) for choices in sizes]
        self._to_go, self._grams_to_go = self._backward()
        self._opened: dict[tuple[int, int], dict[tuple[int, ...], float]] = {}

    def first(self, price: int) -> Iterator[Path]:
        """The paths of one size; ``price`` is added to the value of each."""
        return self.further(Path(self, (), price, 0, 0.0))

    def further(self, path: Path) -> Iterator[Path]:
        """A path with each choice of the next size that can still lead to a family."""
        if self.grams is not None and self._outdone(path):
            return
        index = len(path.choices)
        before = path.choices[-1].row.side if path.choices and self.rising else 0
        for choice in self.sizes[index]:
            side = choice.row.side
            to_go = self._to_go[index].get(side)
            if to_go is None or (side <= before and side != ANY):
                continue
            grams = path.grams + choice.row.grams
            if self._too_much(grams + self._grams_to_go[index][side]):
                continue
            value = path.value + choice.value
            yield Path(self, (*path.choices, choice), value, value + to_go, grams)

    def _too_much(self, grams: float) -> bool:
        return self.grams is not None and grams > self.grams + NEAR

    def _backward(self) -> tuple[list[dict[int, int]], list[dict[int, float]]]:
        """For each size and side count the least value and grams of the sizes after it; no entry
        where they cannot go on."""
        values = [dict[int, int]() for _ in self.sizes]
        weights = [dict[int, float]() for _ in self.sizes]
        for index in range(len(self.sizes) - 1, -1, -1):
            if index == len(self.sizes) - 1:
                values[index] = {c.row.side: 0 for c in self.sizes[index]}
                weights[index] = {c.row.side: 0.0 for c in self.sizes[index]}
                continue
            after = [
                (
                    c.row.side,
                    c.value + values[index + 1][c.row.side],
                    c.row.grams + weights[index + 1][c.row.side],
                )
                for c in self.sizes[index + 1]
                if c.row.side in values[index + 1]
            ]
            for side in {c.row.side for c in self.sizes[index]}:
                fitting = [
                    each for each in after if not self.rising or each[0] > side or each[0] == ANY
                ]
                if fitting:
                    values[index][side] = min(value for _, value, _ in fitting)
                    weights[index][side] = min(grams for _, _, grams in fitting)
        return values, weights

    def _outdone(self, path: Path) -> bool:
        """Whether as many families as are asked for are sure to come before any from here: paths
        opened earlier (so no dearer) to the same count that take no more yarn."""
        if not path.choices:
            return False
        sides = tuple(choice.row.side for choice in path.choices)
        earlier = self._opened.setdefault((len(sides), sides[-1]), {})
        better = [s for s, grams in earlier.items() if grams <= path.grams]
        if sides in better or len(better) >= self.best:
            return True
        earlier[sides] = min(path.grams, earlier.get(sides, path.grams))
        return False


def can_rise(sizes: Iterable[Collection[int]]) -> bool:
    """Whether side counts can strictly rise from size to size, each one of its size's own; ANY
    goes with whatever comes before and after it.

    The least count that is more than the one before leaves the most to the sizes after it, so no
    other needs to be tried.
    """
    last = ANY
    for sides in sizes:
        more = [ANY] if ANY in sides else [side for side in sides if side > last]
        if not more:
            return False
        last = min(more)
    return True


def _cheapest_of_each_side(choices: Sequence[Choice]) -> list[Choice]:
    best: dict[int, Choice] = {}
    for choice in choices:
        old = best.get(choice.row.side)
        if old is None or (choice.value, choice.place) < (old.value, old.place):
            best[choice.row.side] = choice
    return list(best.values())


def _not_beaten(choices: Sequence[Choice]) -> list[Choice]:
    """Of each side count those that no other beats in both value and grams."""
    kept: list[Choice] = []
    least: dict[int, float] = {}
    for choice in sorted(choices, key=lambda c: (c.value, c.place)):
        side = choice.row.side
        if side not in least or choice.row.grams < least[side]:
            least[side] = choice.row.grams
            kept.append(choice)
    return kept
