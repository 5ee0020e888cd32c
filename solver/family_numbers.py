"""Which sector numbers may occur across sizes: sets of them that can still matter."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import combinations
from typing import Any

FAR = 10**16  # more than any value
FEW = 60  # sets that plain loops are quicker for


def sets_for_all(
    tables: Sequence[Mapping[int | None, int]], numbers: Sequence[int], many: int
) -> Iterator[tuple[tuple[int, ...], int]]:
    """Every set of ``many`` of the numbers in which each size has one, or does without, and the sum
    of the sizes' cheapest values for it. ``tables`` have each size's value of each number, and
    under None that of no sectors at all."""
    sets, array = _sets(len(numbers), many)
    none = [table.get(None, FAR) for table in tables]
    columns = [list(map(min, none, (t.get(n, FAR) for t in tables))) for n in numbers]
    if len(sets) <= FEW:
        for chosen in sets:
            some = [columns[i] for i in chosen]
            bound = sum(map(min, *some)) if many > 1 else sum(some[0])
            if bound < FAR:
                yield tuple(numbers[i] for i in chosen), bound
        return
    import numpy as np

    values = np.array(columns, dtype=np.int64)
    sums = values[array].min(axis=1).sum(axis=1)
    for at in np.flatnonzero(sums < FAR):
        yield tuple(numbers[i] for i in sets[at]), int(sums[at])


Order = tuple[tuple[int, ...], ...]


def order_of(table: Mapping[int | None, int]) -> Order:
    """The numbers of a table from the best on, those alike together; without those that are no
    better than no sectors at all."""
    none = table.get(None, FAR)
    by_value: dict[int, list[int]] = {}
    for number, value in table.items():
        if number is not None and value < none:
            by_value.setdefault(value, []).append(number)
    return tuple(tuple(by_value[value]) for value in sorted(by_value))


def each_needed(orders: Iterable[Order], chosen: Sequence[int]) -> bool:
    """Whether each of the numbers is, for some table, better than all others of them. A family
    with a number that is not has one beside it, with the same side counts, that does without and
    costs less."""
    missing, wanted = set(chosen), set(chosen)
    for order in orders:
        for alike in order:
            best = [n for n in alike if n in wanted]
            if best:
                if len(best) == 1:
                    missing.discard(best[0])
                break
        if not missing:
            return True
    return not missing


@lru_cache(maxsize=64)
def _sets(total: int, many: int) -> tuple[list[tuple[int, ...]], Any]:
    sets = list(combinations(range(total), many))
    if len(sets) <= FEW:
        return sets, None
    import numpy as np

    return sets, np.array(sets, dtype=np.int16)
