"""The place of a hat that is furthest from its circumference, where that is not the one shown.

A hat is shown with the circumference of its narrowest place; a tolerance has to reach the worst.
"""

from __future__ import annotations

from evenround.solver.candidate import Candidate, NearMiss
from evenround.solver.judge import worst_place
from evenround.solver.piece import Piece
from evenround.tables.plan import Unit
from evenround.tables.words import clean, length

from .asked import UM_PER_CM


def worst_of(piece: Piece, candidate: Candidate, unit: Unit) -> list[str]:
    """``fan band 58.2 cm around, 3.2 cm over``; nothing where no place is worse than shown."""
    place, measures = worst_place(piece, candidate.tally), candidate.measures
    found, miss = place.um / UM_PER_CM, place.miss_um / UM_PER_CM
    name = place.section if place.decides else f"start of {place.section}"
    return _worse(name, found, miss, measures.around_cm, measures.around_miss_cm, unit)


def worst_of_miss(miss: NearMiss, unit: Unit) -> list[str]:
    """The same of a near miss by its circumference, which names its worst place."""
    breach = miss.breach
    assert breach.low is not None and breach.high is not None
    off = breach.found - (breach.low + breach.high) / 2
    return _worse(breach.section, breach.found, off, miss.around_cm, miss.miss_cm, unit)


def _worse(
    section: str, found: float, off: float, shown: float, shown_off: float | None, unit: Unit
) -> list[str]:
    around = length(found, unit)
    if around == length(shown, unit) or abs(off) <= abs(shown_off or 0.0):
        return []
    beside, side = length(abs(off), unit), "under" if off < 0 else "over"
    return [f"{clean(section)} {around} {unit} around, {beside} {unit} {side}"]
