"""The sizes of one family beside one another: how far their rows have to be looked at.

Every size's rows are made up to a slack over its best; one more row stands for those left out,
at home beside any other and no dearer than they are. While such a row still comes into one of
the best families, all sizes are looked at further (sizes are much alike: one by one, each would
cost a search). What is left then is exact: any family with a row that was left out has a bound
that came later.
"""

from __future__ import annotations

from collections.abc import Sequence
from time import monotonic

from .family import Rules
from .family_chain import can_rise
from .family_rows import ANY, FamilyRow, OutOfTimeError, SizeRows, sights_of
from .family_search import FamilySearch, FoundFamily
from .search import Found, search
from .units import MM
from .ways import Ways

FIRST_SLACK = 6 * MM
MOST_BODIES = 20_000  # looked at for whether side counts can rise: less than half a second
GROWS = 2


class Sizes:
    """The tables of every size under the rules of a family."""

    def __init__(self, ways: Sequence[Ways], rules: Rules) -> None:
        self.ways, self.rules = ways, rules
        self.sights = sights_of([each.piece for each in ways], rules)
        self.tables = [
            SizeRows(each, self.sights, rules.counts.get(i)) for i, each in enumerate(ways)
        ]
        self.so_far: list[FoundFamily] = []
        self._search: FamilySearch | None = None

    def families(
        self, best: int, deadline: float, alone: Sequence[int] | None = None
    ) -> list[FoundFamily]:
        """The ``best`` cheapest families in order, fewer where there are no more of them.

        OutOfTimeError past the deadline (time.monotonic() seconds); ``so_far`` then has what was
        found.
        """
        bests = self._bests(deadline, alone)
        if bests is None:
            return []
        for table, low in zip(self.tables, bests, strict=True):
            table.up_to(low + FIRST_SLACK, deadline)
        if self.rules.rising and not self._may_rise(deadline):
            return []
        while True:
            rows = [table.rows_and_floor for table in self.tables]
            self._search = FamilySearch(rows, self.rules)
            found = self._search.families(best, deadline)
            self.so_far = [family for family in found if not family.open_sizes]
            if len(self.so_far) == len(found):
                return found
            slack = max(self.tables[i].most - bests[i] for i in found[-1].open_sizes) * GROWS
            for table, low in zip(self.tables, bests, strict=True):
                table.up_to(low + slack, deadline)

    def best_alone(self, size: int, deadline: float) -> Found | None:
        """A size's best design, from its table; None where that says nothing of it: it need keep
        a count, its yarn or its derived rounds make rows of what is one design alone, time ran
        out, or there is no design."""
        if size in self.rules.counts or not self.tables[size].one_row_a_design:
            return None
        try:
            return self.tables[size].least(FIRST_SLACK, deadline)
        except OutOfTimeError:
            return None

    def _bests(self, deadline: float, alone: Sequence[int] | None = None) -> list[int] | None:
        """What each size costs at least (``alone``, where known and it need keep no count); None
        where one cannot be made at the count it keeps."""
        found = []
        for i, ways in enumerate(self.ways):
            if alone is not None and i not in self.rules.counts:
                found.append(alone[i])
                continue
            listed = search(ways, 1, side=self.rules.counts.get(i), deadline=deadline)
            if not listed.designs:
                if not listed.complete or monotonic() > deadline:
                    raise OutOfTimeError
                self.tables[i].complete = True
                return None
            found.append(listed.designs[0].cost)
        return found

    def _may_rise(self, deadline: float) -> bool:
        """Whether the sizes' side counts could rise: those of the rows made so far or, where these
        cannot, of any design at all."""
        made = ({row.side for row in table.rows} for table in self.tables)
        return can_rise(made) or can_rise(self._sides(i, deadline) for i in range(len(self.ways)))

    def _sides(self, size: int, deadline: float) -> set[int]:
        """Every side count a size can have; ANY where it has too many bodies to look at them."""
        if size in self.rules.counts:
            return {self.rules.counts[size]}
        sides = set[int]()
        for seen, body in enumerate(self.ways[size].bodies):
            if seen == MOST_BODIES:
                return {ANY}
            if body is not None:
                sides.add(body.side_count)
            elif monotonic() > deadline:
                raise OutOfTimeError
        return sides

    def rows_that_matter(self, most: int) -> list[list[FamilyRow]]:
        """The rows that a family of a cost up to ``most`` may hold, by costs and prices alone;
        floor rows among them where those not made may."""
        assert self._search is not None  # families were asked for before
        return self._search.rows_that_matter(most)
