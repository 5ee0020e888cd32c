"""What a pattern needs from the brief that a plan does not carry, and its figures in rounds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from evenround.tables.plan import Plan
from evenround.tables.rounds.figures import FigureRounds

if TYPE_CHECKING:
    from evenround.tables.brief import Brief


@dataclass(frozen=True, slots=True)
class Known:
    """``yarn_class`` is the brief's, if it has one."""

    yarn_class: int | None = None


def known_of(brief: Brief) -> Known:
    """What a brief says beyond its plan."""
    return Known(yarn_class=brief.fields.yarn_class)


def figure_of(plan: Plan, section: int) -> FigureRounds | None:
    """A section's figure in rounds; None where the brief only says counts, or nothing."""
    rounds = plan.section_rounds
    return rounds[section] if section < len(rounds) else None
