"""Whether a piece can be made at all: the exact search without its prices and its order.

Of the crowns that stop on one count after as many rounds, one that allows the most nudges is as
good as any, so that wide ranges cost little.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property, lru_cache

from .nudge import part_sectors
from .piece import Crown, Piece, Prices
from .price import crown_plan
from .rows import CrownRow, every_crown
from .search import allowed_after
from .ways import Remembered, Ways, body_of, ends_of

FREE = Prices(**dict.fromkeys(Prices.__slots__, 0.0))


class PlainWays(Ways):
    """The tables of a piece whose crowns are not told apart by more than what may follow them.
    Pieces that differ in a few requirements have most tables in common."""

    def __init__(self, piece: Piece) -> None:
        super().__init__(replace(piece, prices=FREE))
        self._ended = _ended(ends_of(self.piece))

    @cached_property
    def crowns(self) -> list[CrownRow]:
        """One crown for each count, number of rounds and kind of nudge that may follow."""
        crown = self.plan.crown
        return [] if crown is None else _plain_crowns(crown, *self.plan.stop_window)

    @cached_property
    def bodies(self) -> Remembered:
        """One body of all that are the same to crown, rounds and end, made as far as somebody
        asks."""
        made, counts = _made(body_of(self.piece)), tuple(self.counts)
        if counts not in made:
            made[counts] = Remembered(self.plan.reached(counts))
        return made[counts]

    def ends_on(self, count: int) -> bool:
        """Whether the piece can end from a count."""
        if count not in self._ended:
            self._ended[count] = self.ends.any(count)
        return self._ended[count]


@lru_cache(maxsize=64)
def _plain_crowns(crown: Crown, low: int, high: int) -> list[CrownRow]:
    seen: dict[tuple[int, int, int], CrownRow] = {}
    for sectors, changes in every_crown(crown, low, high):
        count, special = sum(changes), 0
        if crown.part_round:  # else nothing that may follow depends on it
            special = crown_plan(changes, sectors).special
        key = (count, len(changes), part_sectors(crown, sectors, special))
        if key not in seen:
            seen[key] = CrownRow(changes, sectors, count, 0, special)
    return list(seen.values())


@lru_cache(maxsize=16)
def _made(body: object) -> dict[tuple[int, ...], Remembered]:
    """The bodies made so far, by the counts they may begin on."""
    return {}


@lru_cache(maxsize=16)
def _ended(end: object) -> dict[int, bool]:
    """Whether there is an end from a count, for the counts asked for so far."""
    return {}


def can_be_made(piece: Piece) -> bool:
    """Whether any design meets every requirement of a piece."""
    ways = PlainWays(piece)
    for body in ways.bodies:
        if body is None or not ways.ends_on(body.count_out):
            continue
        for group in ways.groups(body.count):
            allowed = allowed_after(group, body, ways.plan.crown)
            if allowed and ways.plan.rounds(group.rounds, body.marks) is not None:
                return True
    return False
