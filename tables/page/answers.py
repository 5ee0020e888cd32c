"""What a page is made from: a brief, and what was found for each of its sizes, solved once."""

from __future__ import annotations

from dataclasses import dataclass

from evenround.solver.candidate import Fit
from evenround.tables.family import Graded
from evenround.tables.pattern import Known
from evenround.tables.plan import Plan, Unit
from evenround.tables.why.explained import Explained


@dataclass(frozen=True, slots=True)
class SizeAnswer:
    """One size: what was asked, what was found, and, where nothing fits, why not."""

    plan: Plan
    fit: Fit
    explained: Explained | None = None


@dataclass(frozen=True, slots=True)
class Answers:
    """All that a page tells.

    ``sizes`` in the brief's order; or ``graded``, where the sizes were solved as a family, and
    ``sizes`` then has only those that cannot be made at all.
    ``source`` is the brief as it was written, ``seconds`` the time limit of the search,
    ``left_handed`` which hand the drawings are for.
    """

    sizes: tuple[SizeAnswer, ...]
    unit: Unit
    known: Known
    seconds: float
    source: str = ""
    graded: Graded | None = None
    left_handed: bool = False

    @property
    def plans(self) -> tuple[Plan, ...]:
        """The plans of all sizes on the page."""
        if self.graded is not None:
            return self.graded.plans
        return tuple(each.plan for each in self.sizes)
