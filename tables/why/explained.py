"""One size explained: whether it can be made, what conflicts, the ways out, the near misses."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenround.solver.candidate import NearMiss
from evenround.solver.near import near_misses
from evenround.solver.ways import Ways
from evenround.solver.ways_out import ways_out
from evenround.solver.why import Why, why
from evenround.tables.brief import Brief, plan
from evenround.tables.plan import Plan

from .edits import bare_sections
from .promised import Way, promised


@dataclass(frozen=True, slots=True)
class Explained:
    """``plan`` as asked, the verdict, and, where nothing fits, what would."""

    plan: Plan
    why: Why
    ways: tuple[Way, ...] = ()
    near_misses: tuple[NearMiss, ...] = ()

    @property
    def contradicted(self) -> bool:
        """Whether the search and the second opinion disagree."""
        return self.why.confirmed_by == "contradicted"

    @property
    def unsure(self) -> bool:
        """Whether an "impossible" is unconfirmed. A design that was found and recounted is its
        own proof."""
        return not self.why.possible and self.why.confirmed_by == "unconfirmed"


def explain(brief: Brief, size: str, *, seconds: float) -> Explained:
    """One size of a brief; ``seconds`` bounds the second opinion."""
    return explain_plan(brief, plan(brief, size), seconds=seconds)


def explain_plan(brief: Brief, asked: Plan, *, seconds: float) -> Explained:
    """The same of a plan made already."""
    verdict = why(asked.piece, seconds=seconds)
    if verdict.possible or verdict.confirmed_by == "contradicted":
        return Explained(asked, verdict)
    ways = Ways(asked.piece)
    misses = near_misses(ways)
    conflicts = [conflict.requirements for conflict in verdict.conflicts]
    found = ways_out(ways, misses, conflicts, bare=bare_sections(asked))
    return Explained(asked, verdict, promised(brief, asked, found), misses)


def explain_all(brief: Brief, sizes: Sequence[str], *, seconds: float) -> list[Explained]:
    """Several sizes in order."""
    return [explain(brief, size, seconds=seconds) for size in sizes]
