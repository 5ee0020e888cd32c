"""Whether a piece can be made at all: the exact search without its prices and its order.

Of the crowns that stop on one count after as many rounds, one that allows the most nudges is as
good as any, so that wide ranges cost little.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from .nudge import part_sectors
from .piece import Piece, Prices
from .rows import CrownRow, crowns_of
from .search import allowed_after
from .ways import Ways

FREE = Prices(**dict.fromkeys(Prices.__slots__, 0.0))


class PlainWays(Ways):
    """The tables of a piece whose crowns are not told apart by more than what may follow them."""

    @cached_property
    def crowns(self) -> list[CrownRow]:
        """One crown for each count, number of rounds and kind of nudge that may follow."""
        crown = self.plan.crown
        if crown is None:
            return []
        seen: dict[tuple[int, int, int], CrownRow] = {}
        for sectors, changes, special in crowns_of(crown, *self.plan.stop_window):
            count = sum(changes)
            key = (count, len(changes), part_sectors(crown, sectors, special))
            if key not in seen:
                seen[key] = CrownRow(changes, sectors, count, 0, special)
        return list(seen.values())


def can_be_made(piece: Piece) -> bool:
    """Whether any design meets every requirement of a piece."""
    ways = PlainWays(replace(piece, prices=FREE))
    for body in ways.bodies:
        if body is None or not ways.ends.rows(body.count_out):
            continue
        for group in ways.groups(body.count):
            allowed = allowed_after(group, body, ways.plan.crown)
            if allowed and ways.plan.rounds(group.rounds, body.marks) is not None:
                return True
    return False
