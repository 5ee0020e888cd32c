"""All small tables of one piece, each made once: crowns, bodies, ends.

The search chains them, the integer model chooses among them, near misses look them up. A piece
that differs in one requirement only borrows what that requirement does not touch.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice

from .body import Body, BodyPlan
from .ends import Ends
from .nudge import part_sectors
from .piece import Band, Even, Piece
from .rows import CrownRow, crown_rows


def crown_cost(row: CrownRow | None) -> int:
    """What a crown costs; a joined chain costs nothing."""
    return row.cost if row else 0


@dataclass(frozen=True, slots=True)
class Group:
    """Crowns that stop on one count after so many rounds and allow the same nudges."""

    rounds: int
    part_sectors: int  # a nudge below this that divides the count would be a part round
    rows: tuple[CrownRow | None, ...]
    best: int  # cost of the cheapest


MOST_PLAIN = 20_000


class Remembered:
    """Bodies as they come, remembered for whoever asks again; None where the clock may be read."""

    def __init__(self, source: Iterator[Body | None]) -> None:
        self._source, self._seen = source, list[Body]()

    def __iter__(self) -> Iterator[Body | None]:
        at = 0
        while True:
            while at < len(self._seen):
                yield self._seen[at]
                at += 1
            body = next(self._source, self)
            if body is self:
                return
            if isinstance(body, Body):
                self._seen.append(body)
            else:
                yield None

    @property
    def least(self) -> int:
        """Cost of the cheapest; 0 where there is none."""
        return next((body.cost for body in self if body is not None), 0)


class Ways:
    """The tables of a piece; ``like`` is one of a similar piece whose tables may be borrowed."""

    def __init__(self, piece: Piece, like: Ways | None = None) -> None:
        self.piece = piece
        self.plan = BodyPlan(piece)
        self._like = like

    def _alike(self) -> Iterator[Ways]:
        """Whose tables may be borrowed: the similar piece, then what it may borrow from."""
        like = self._like
        while like is not None:
            yield like
            like = like._like

    @cached_property
    def crowns(self) -> list[CrownRow]:
        """Every crown that stops where the body can begin; none on a joined chain."""
        crown = self.plan.crown
        if crown is None:
            return []
        mine = self._crowns_of
        for like in self._alike():
            if like._crowns_of == mine:
                return like.crowns
        return crown_rows(self.piece, crown, *self.plan.stop_window)

    @property
    def _crowns_of(self) -> tuple[object, ...]:
        """What the crowns depend on; a dome is priced by the head it is for."""
        return (
            self.plan.crown,
            self.plan.stop_window,
            self.piece.prices,
            self.piece.around_cm if self.plan.crown and self.plan.crown.shape != "flat" else None,
        )

    @cached_property
    def counts(self) -> list[int]:
        """Counts that a body may begin on."""
        low, high = self.plan.window
        if self.plan.crown is None:
            return list(range(low, high + 1))
        return sorted({row.count for row in self.crowns})

    @cached_property
    def bodies(self) -> Remembered:
        """Every body, cheapest first, made as far as somebody asks."""
        mine = body_of(self.piece)
        for like in self._alike():
            if body_of(like.piece) == mine and like.counts == self.counts:
                return like.bodies
        return Remembered(self.plan.bodies(self.counts))

    @cached_property
    def plain_by_side(self) -> dict[int, list[Body]]:
        """Bodies with no nudge after the first run, by the count at which the fit is judged,
        cheapest first; no more than ``MOST_PLAIN`` of them."""
        by_side: dict[int, list[Body]] = {}
        plain = (body for body in self.plan.bodies(self.counts, plain=True) if body is not None)
        for body in islice(plain, MOST_PLAIN):
            by_side.setdefault(body.side_count, []).append(body)
        return by_side

    def groups(self, count: int) -> list[Group]:
        """Crowns that stop on a count, the group of the cheapest first; on a joined chain one
        empty group."""
        if self.plan.crown is None:
            return [Group(0, 0, (None,), 0)]
        return self._groups.get(count, [])

    @cached_property
    def _groups(self) -> dict[int, list[Group]]:
        crown = self.plan.crown
        made: dict[tuple[int, int, int], list[CrownRow]] = {}
        for row in self.crowns:
            part = part_sectors(crown, row.sectors, row.special) if crown else 0
            made.setdefault((row.count, len(row.changes), part), []).append(row)
        by_count: dict[int, list[Group]] = {}
        for (count, rounds, part), rows in made.items():
            by_count.setdefault(count, []).append(Group(rounds, part, tuple(rows), rows[0].cost))
        return by_count

    @cached_property
    def ends(self) -> Ends:
        """The end rows of every count."""
        mine = ends_of(self.piece)
        for like in self._alike():
            if ends_of(like.piece) == mine:
                return like.ends
        return Ends(self.plan)


def ends_of(piece: Piece) -> Piece:
    """What the end rows depend on: the piece without the limits that only touch the rest."""
    limits = replace(piece.limits, around_cm=0, repeat_share=0, depth_cm=0)
    return replace(piece, limits=limits, sections=piece.sections[-2:], depth_cm=None)


def body_of(piece: Piece) -> tuple[object, ...]:
    """What the bodies on given counts depend on: no rounds, and of crown and end the gauges."""
    limits = piece.limits
    return (
        tuple(
            replace(s, rounds=(0, 0)) if isinstance(s, Even | Band) else (type(s), s.gauge)
            for s in piece.sections
        ),
        (piece.around_cm, piece.prices, piece.nudges_shape),
        (limits.around_cm, limits.repeat_share, limits.nudge_stitches, limits.nudge_share),
    )
