"""The short answer that ``fit`` and ``write`` give where nothing fits: one conflict, three ways
out. From the plan alone; ``evenround why`` writes each way out into the brief and confirms it.
"""

from __future__ import annotations

from collections.abc import Sequence

from evenround.solver.candidate import NearMiss, Requirement
from evenround.solver.exists import can_be_made
from evenround.solver.requirements import asked_for
from evenround.solver.ways import Ways
from evenround.solver.ways_out import WayOut, ways_out
from evenround.solver.why import smallest
from evenround.tables.plan import Plan, Unit
from evenround.tables.words import length

from .changes import changes_words
from .conflicts import first_conflict
from .edits import bare_sections
from .worst import worst_of

SHOWN = 3


def short_words(plan: Plan, misses: Sequence[NearMiss], unit: Unit) -> list[str]:
    """A sentence or two on what conflicts, then the first ways out; nothing where no requirement
    is to blame, or the piece can be made after all."""
    names = _conflict(plan)
    if not names:
        return []
    lines = [first_conflict(plan, names, misses, unit)]
    asked, bare = Ways(plan.piece), bare_sections(plan)
    ways = ways_out(asked, misses, [names], bare=bare, most=SHOWN, seconds=1.0)
    if ways:
        told = "; ".join(f"{i}) {_way(plan, way, unit)}" for i, way in enumerate(ways, 1))
        lines.append(f"Ways out, cheapest first: {told}.")
    return lines


def _conflict(plan: Plan) -> tuple[Requirement, ...]:
    """One smallest conflict; none where the search finds a design."""
    piece = plan.piece
    if can_be_made(piece):
        return ()
    return smallest(piece, list(asked_for(piece)), set(), can_be_made) or ()


def _way(plan: Plan, way: WayOut, unit: Unit) -> str:
    """``allow a part round (84 sts, 53.3 cm)``."""
    m = way.candidate.measures
    words = changes_words(plan, way.changes, unit, way.piece, hooks=False)
    hat = [f"{m.side_count} sts, {length(m.around_cm, unit)} {unit}"]
    return f"{words} ({'; '.join([*hat, *worst_of(way.piece, way.candidate, unit)])})"
