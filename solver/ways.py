"""All small tables of one piece, each made once: crowns, bodies, ends.

The search chains them, the integer model chooses among them, near misses look them up. A piece
that differs in one requirement only borrows what that requirement does not touch.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

from .body import Body, BodyPlan
from .ends import Ends
from .piece import Piece
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

    @property
    def best(self) -> int:
        """Cost of the cheapest."""
        return crown_cost(self.rows[0])


class Ways:
    """The tables of a piece; ``like`` is one of a similar piece whose tables may be borrowed."""

    def __init__(self, piece: Piece, like: Ways | None = None) -> None:
        self.piece = piece
        self.plan = BodyPlan(piece)
        self._like = like

    @cached_property
    def crowns(self) -> list[CrownRow]:
        """Every crown that stops where the body can begin; none on a joined chain."""
        plan, like = self.plan, self._like
        if plan.crown is None:
            return []
        if like and like.plan.crown == plan.crown and like.plan.stop_window == plan.stop_window:
            return like.crowns
        return crown_rows(self.piece, plan.crown, *plan.stop_window)

    @cached_property
    def bodies(self) -> list[Body]:
        """Every body, cheapest first."""
        low, high = self.plan.window
        counts = (
            range(low, high + 1) if self.plan.crown is None else {row.count for row in self.crowns}
        )
        bodies = [body for count in sorted(counts) for body in self.plan.bodies(count)]
        return sorted(bodies, key=lambda body: body.cost)

    @cached_property
    def bodies_by_side(self) -> dict[int, list[Body]]:
        """Bodies by the count at which the fit is judged, cheapest first."""
        return _by_side(self.bodies)

    @cached_property
    def plain_by_side(self) -> dict[int, list[Body]]:
        """The same, but only bodies with no nudge after the first."""
        return _by_side(body for body in self.bodies if not any(body.nudges[1:]))

    @cached_property
    def groups(self) -> dict[int, list[Group]]:
        """Crowns by the count they stop on; on a joined chain one empty group a count."""
        crown = self.plan.crown
        if crown is None:
            return {body.count: [Group(0, 0, (None,))] for body in self.bodies}
        made: dict[tuple[int, int, int], list[CrownRow]] = {}
        for row in self.crowns:
            part = row.sectors if crown.part_round and not row.special else 0
            made.setdefault((row.count, len(row.changes), part), []).append(row)
        by_count: dict[int, list[Group]] = {}
        for (count, rounds, part), rows in made.items():
            by_count.setdefault(count, []).append(Group(rounds, part, tuple(rows)))
        return by_count

    @cached_property
    def ends(self) -> Ends:
        """The end rows of every count."""
        like = self._like
        if like is not None and _ends_of(like.piece) == _ends_of(self.piece):
            return like.ends
        return Ends(self.plan)


def _by_side(bodies: Iterable[Body]) -> dict[int, list[Body]]:
    by_side: dict[int, list[Body]] = {}
    for body in bodies:
        by_side.setdefault(body.side_count, []).append(body)
    return by_side


def _ends_of(piece: Piece) -> Piece:
    """What the end rows depend on: the piece without the limits that only touch the rest."""
    limits = replace(piece.limits, around_cm=0, repeat_share=0, depth_cm=0)
    return replace(piece, limits=limits, sections=piece.sections[-2:], depth_cm=None)
