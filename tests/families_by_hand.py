"""Families of sizes by plain combination: every size's own best, held together by the measure.

No search across sizes: candidates of ``fit`` are combined as they are, and ``family_measure``
(the specification) says what a combination is worth. Exact where each size's list is long enough.
Families that differ only in the brim stand beside each other here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from itertools import product

from evenround.solver import fit
from evenround.solver.candidate import Candidate, Fit
from evenround.solver.family import Conflict, Family, Grade, Rules, family_measure, shared_key
from evenround.solver.piece import Piece
from evenround.tables.brief import Brief, example_brief, family_of
from evenround.tables.family import Graded
from evenround.tables.plan import Unit

LISTED = 40


@cache
def _fitted(piece: Piece) -> Fit:
    return fit(piece, best=LISTED)


def grade_by_hand(pieces: Sequence[Piece], rules: Rules, best: int = 5) -> Grade:
    """The best families of the sizes' first candidates; sizes that cannot be made as conflicts."""
    fits = [_fitted(piece) for piece in pieces]
    alone = tuple(f.candidates[0] if f.candidates else None for f in fits)
    if None in alone:
        conflicts = [Conflict((i,), (), f) for i, f in enumerate(fits) if not f.candidates]
        return Grade("impossible", (), alone, tuple(conflicts))
    total = sum(c.measures.cost_nm for c in alone if c is not None)
    made = []
    for pick in _combinations(fits, rules):
        found = family_measure(pieces, rules, [c.tally for c in pick], [c.measures for c in pick])
        if not found.broken:
            sides = tuple(c.measures.side_count for c in pick)
            made.append((found.cost_nm, sides, pick, found))
    made.sort(key=lambda each: each[:2])
    families = []
    for rank, (cost, _, pick, found) in enumerate(made[:best], 1):
        members = tuple(replace(c, rank=rank) for c in pick)
        families.append(Family(rank, members, found.shared, found.parts, cost, cost - total))
    return Grade("proven" if families else "impossible", tuple(families), alone)


def _combinations(fits: Sequence[Fit], rules: Rules) -> list[tuple[Candidate, ...]]:
    """One candidate a size, all with the same of what is kept; of each side count the best."""
    groups: dict[object, list[dict[int, Candidate]]] = {}
    for i, found in enumerate(fits):
        for c in found.candidates:
            sizes = groups.setdefault(shared_key(rules.kept, c.tally), [{} for _ in fits])
            sizes[i].setdefault(c.measures.side_count, c)
    out: list[tuple[Candidate, ...]] = []
    for sizes in groups.values():
        if all(sizes):
            out += product(*[list(size.values())[:3] for size in sizes])
    return out


def graded(brief: Brief, unit: Unit = "cm", best: int = 2) -> Graded:
    """A brief's families by hand, as the tables want them."""
    plans, rules = family_of(brief)
    found = grade_by_hand([plan.piece for plan in plans], rules, best)
    return Graded(tuple(plans), rules, found, unit)


@cache
def bucket() -> Graded:
    return graded(example_brief("bucket"))


def flat(text: str) -> str:
    return " ".join(text.split())


def with_rules(rules: Rules, conflict: Conflict) -> Graded:
    """The bucket with a conflict instead of families; each size's best alone stays known."""
    grade = replace(bucket().grade, status="impossible", families=(), conflicts=(conflict,))
    return replace(bucket(), rules=rules, grade=grade)
