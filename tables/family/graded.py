"""What every table of families starts from: the sizes' plans, their rules and the answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenround.solver.candidate import Candidate
from evenround.solver.family import Family, Grade, Rules
from evenround.solver.piece import Band
from evenround.tables.plan import Plan, Unit
from evenround.tables.words import clean


@dataclass(frozen=True, slots=True)
class Graded:
    """``plans`` of all sizes in order, ``rules``, the answer, and the unit lengths are shown in."""

    plans: tuple[Plan, ...]
    rules: Rules
    grade: Grade
    unit: Unit

    @property
    def names(self) -> list[str]:
        """The sizes' names in order."""
        return [clean(plan.size) for plan in self.plans]

    @property
    def bands(self) -> list[str]:
        """The bands' names in order; they are the same in all sizes."""
        return [clean(s.name) for s in self.plans[0].piece.sections if isinstance(s, Band)]

    def named(self, sizes: Sequence[int]) -> str:
        """``S, M``; ``all sizes`` where it is all of several."""
        if len(sizes) == len(self.plans) > 1:
            return "all sizes"
        return ", ".join(self.names[i] for i in sizes)


@dataclass(frozen=True, slots=True)
class Member:
    """One size in one family: its plan, its candidate, and its best without the others."""

    plan: Plan
    candidate: Candidate
    alone: Candidate | None


def members(graded: Graded, family: Family) -> list[Member]:
    """The family's sizes in order."""
    rows = zip(graded.plans, family.members, graded.grade.alone, strict=True)
    return [Member(*row) for row in rows]
