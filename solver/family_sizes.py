"""The sizes of one family beside one another: how far their rows have to be looked at.

With rows up to a slack over every size's best, whatever uses a row left out costs more than the
sum of the bests and the slack. So families found below that are the cheapest there are; until
there are enough of them the slack grows.
"""

from __future__ import annotations

from collections.abc import Sequence
from time import monotonic

from .family import Rules
from .family_rows import (
    UNLIMITED,
    FamilyRow,
    Limits,
    OutOfTimeError,
    SizeRows,
    sights_of,
)
from .family_search import FamilySearch, FoundFamily
from .search import search
from .units import MM
from .ways import Ways

FIRST_SLACK = 5 * MM
GROWS = 3


class Sizes:
    """The tables of every size under the rules of a family."""

    def __init__(self, ways: Sequence[Ways], rules: Rules) -> None:
        self.ways, self.rules = ways, rules
        self.sights = sights_of([each.piece for each in ways], rules)
        self.tables = [
            SizeRows(each, self.sights, rules.counts.get(i)) for i, each in enumerate(ways)
        ]
        self.so_far: list[FoundFamily] = []

    def families(self, best: int, deadline: float) -> list[FoundFamily]:
        """The ``best`` cheapest families in order, fewer where there are no more of them.

        OutOfTimeError past the deadline (time.monotonic() seconds); ``so_far`` then has what was
        found.
        """
        bests = self.bests(deadline)
        if bests is None:
            return []
        slack = FIRST_SLACK
        while True:
            rows = [t.up_to(b + slack, deadline) for t, b in zip(self.tables, bests, strict=True)]
            found = self._search(rows, best, UNLIMITED, deadline)
            if all(table.complete for table in self.tables):
                return found
            if len(found) == best:
                return self._closed(found[-1].cost, best, deadline)
            slack *= GROWS

    def _closed(self, most: int, best: int, deadline: float) -> list[FoundFamily]:
        """The families again, now that as many as wanted cost no more than ``most``: of all rows
        that such a family may hold."""
        return self._search(self._within(most, deadline), best, most, deadline)

    def _search(
        self, rows: Sequence[Sequence[FamilyRow]], best: int, most: int, deadline: float
    ) -> list[FoundFamily]:
        found = FamilySearch(rows, self.rules, self.sights, most).families(best, deadline)
        self.so_far = found
        return found

    def _within(self, most: int, deadline: float) -> list[list[FamilyRow]]:
        """The rows that with the cheapest of the other sizes with the same in common cost no more
        than ``most``. What a size has no row of yet costs more than its table goes."""
        least = [table.least() for table in self.tables]
        floors = [UNLIMITED if table.complete else table.most + 1 for table in self.tables]
        keys = {key for found in least for key in found}
        whole = {
            key: sum(f.get(key, floor) for f, floor in zip(least, floors, strict=True))
            for key in keys
        }
        limits = [
            Limits(
                {key: most - whole[key] + found.get(key, floor) for key in keys},
                most - sum(floors) + floor,
            )
            for found, floor in zip(least, floors, strict=True)
        ]
        return [t.within(each, deadline) for t, each in zip(self.tables, limits, strict=True)]

    def bests(self, deadline: float) -> list[int] | None:
        """What each size costs at least; None where one cannot be made at the count it keeps."""
        found = []
        for i, ways in enumerate(self.ways):
            listed = search(ways, 1, side=self.rules.counts.get(i), deadline=deadline)
            if not listed.designs:
                if not listed.complete or monotonic() > deadline:
                    raise OutOfTimeError
                self.tables[i].complete = True
                return None
            found.append(listed.designs[0].cost)
        return found

    def rows_that_matter(self, most: int, deadline: float) -> list[list[FamilyRow]]:
        """The rows that a family of a cost up to ``most`` may hold, by their costs alone."""
        return self._within(most, deadline)
