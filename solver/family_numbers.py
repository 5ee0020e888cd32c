"""Which sector numbers may occur across sizes: sets of them that can still matter."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import combinations
from typing import Any

FAR = 10**16  # more than any value
FEW = 30  # sets that plain loops are quicker for


def sets_within(
    tables: Sequence[Mapping[int | None, int]], numbers: Sequence[int], many: int, most: int
) -> Iterator[tuple[tuple[int, ...], int]]:
    """Every set of ``many`` of the numbers with the sum of the sizes' cheapest values for it, where
    that is no more than ``most``. ``tables`` have each size's value of each number, and under
    None that of no sectors at all."""
    sets, array = _sets(len(numbers), many)
    rows = [[t.get(n, FAR) for n in numbers] for t in tables]
    none = [table.get(None, FAR) for table in tables]
    if len(sets) <= FEW:
        for chosen in sets:
            bound = sum(
                min(least, min(row[i] for i in chosen))
                for row, least in zip(rows, none, strict=True)
            )
            if bound <= most:
                yield tuple(numbers[i] for i in chosen), bound
        return
    import numpy as np

    values = np.minimum(np.array(rows, dtype=np.int64), np.array(none, dtype=np.int64)[:, None])
    sums = values[:, array].min(axis=2).sum(axis=0)
    for at in np.flatnonzero(sums <= most):
        yield tuple(numbers[i] for i in sets[at]), int(sums[at])


def each_needed(tables: Sequence[Mapping[int | None, int]], chosen: Sequence[int]) -> bool:
    """Whether each of the numbers is, for some table, better than all others of them. A family
    with a number that is not has one beside it, with the same side counts, that does without and
    costs less."""
    needed: set[int] = set()
    for table in tables:
        values = sorted((table.get(n, FAR), n) for n in chosen)
        best = values[0][0]
        if best < min(values[1][0], table.get(None, FAR)):
            needed.add(values[0][1])
    return len(needed) == len(chosen)


@lru_cache(maxsize=64)
def _sets(total: int, many: int) -> tuple[list[tuple[int, ...]], Any]:
    sets = list(combinations(range(total), many))
    if len(sets) <= FEW:
        return sets, None
    import numpy as np

    return sets, np.array(sets, dtype=np.int16)
