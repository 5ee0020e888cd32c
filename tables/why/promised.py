"""Ways out as changed briefs: each is written into the brief, read, and solved again.

What is shown is what the changed brief gives, never only what the solver promised, so that
whoever applies a way out gets exactly the hat that was shown.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass, replace

from evenround.solver.candidate import Candidate
from evenround.solver.fit import checked
from evenround.solver.measure import measure
from evenround.solver.piece import Piece
from evenround.solver.search import search
from evenround.solver.units import MM
from evenround.solver.ways import Ways
from evenround.solver.ways_out import WayOut, different, ruffled
from evenround.solver.widen import Change
from evenround.tables.brief import Brief, BriefError, Flags, plan, with_flags
from evenround.tables.plan import Plan

from .edits import Edit, edit

PLACES = (1, 2, 3)
"""To how many places a gauge is written: as few as still give the hat."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way out. ``number`` from 1, cheapest first; ``plan`` is that of the changed brief,
    ``candidate`` its best design; ``price_nm`` what that design scores by the brief as it
    stands, in 1e-6 mm; ``how`` writes the changes into the brief's tables."""

    number: int
    changes: tuple[Change, ...]
    plan: Plan
    candidate: Candidate
    price_nm: int
    how: Edit

    @property
    def price_mm(self) -> float:
        """The price in millimetres of the score."""
        return self.price_nm / MM


def promised(brief: Brief, asked: Plan, found: Sequence[WayOut]) -> tuple[Way, ...]:
    """The ways out of one size of a brief as the brief itself then gives them, cheapest first. A
    change that cannot be written as a brief, or then gives no hat, is none."""
    ways = [way for each in found if (way := _promised(brief, asked, each)) is not None]
    ways = different(ways)
    ways.sort(key=lambda way: (way.price_nm, len(way.changes), way.changes))
    return tuple(replace(way, number=n) for n, way in enumerate(ways, 1))


def _promised(brief: Brief, asked: Plan, way: WayOut) -> Way | None:
    """The changed brief's own answer; a gauge is written to as few places as give that count."""
    wanted = way.candidate.measures.side_count
    tries = PLACES if any(change.what == "gauge" for change in way.changes) else PLACES[:1]
    for made in _tries(brief, asked, way, tries):
        if made.candidate.measures.side_count == wanted or len(tries) == 1:
            return made
    return None


def _tries(brief: Brief, asked: Plan, way: WayOut, tries: tuple[int, ...]) -> Iterator[Way]:
    for places in tries:
        how = Edit(asked, places)
        try:
            changed = plan(changed_brief(brief, way.changes, how), asked.size)
        except BriefError:
            continue
        candidate = best_of(changed.piece)
        if candidate is not None and not ruffled(changed.piece, candidate.measures):
            price = measure(asked.piece, candidate.tally).cost_nm
            yield Way(0, way.changes, changed, candidate, price, how)


def changed_brief(brief: Brief, changes: tuple[Change, ...], how: Edit) -> Brief:
    """The brief with changes written into a copy of its tables and read again; BriefError where
    it is none."""
    raw = deepcopy(dict(brief.raw))
    edit(raw, changes, how)
    return with_flags(replace(brief, raw=raw), Flags())[0]


def best_of(piece: Piece) -> Candidate | None:
    """The best design of a piece, recounted and measured; None where there is none."""
    ways = Ways(piece)
    design = next(iter(search(ways, 1).designs), None)
    if design is None:
        return None
    tally, measures = checked(ways, design)
    return Candidate(1, tally, measures, True)
