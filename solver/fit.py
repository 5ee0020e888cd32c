"""The main job: the best tallies of a piece, proven, recounted and measured.

Order of trust: the exact search lists the designs; each is worked again stitch by stitch and
measured by the specification; CP-SAT, given only that the first one is attained, proves that no
design is cheaper. Any disagreement is an InternalCheckError, never an answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from time import monotonic

from .candidate import EFFORT_PARTS, FIT_PARTS, SHAPE_PARTS, Candidate, Fit, Measures, Requirement
from .layout import lay_out
from .measure import measure
from .model import PieceModel, all_rows, rows_that_matter
from .near import near_misses
from .piece import Piece
from .recount import InternalCheckError, recount
from .relax import relaxed
from .search import Found, search
from .tally import Tally
from .ways import Ways


def fit(piece: Piece, best: int = 10, time_limit: float = 10.0, near: bool = True) -> Fit:
    """The ``best`` distinct candidates in proven order, with near misses on either side.

    ``time_limit`` in seconds; past it the answer is "unproven" and holds the best found so far.
    Raises ValueError for ``best`` under 1, InternalCheckError where two paths disagree.
    """
    if best < 1:
        raise ValueError(f"best: found {best}; it is a whole number from 1 up")
    deadline = monotonic() + time_limit
    ways = Ways(piece)
    listed = search(ways, best, deadline=deadline)
    shown = {design.body.side_count for design in listed.designs}
    missed = near_misses(ways, shown) if near and listed.complete else ()
    if not listed.designs:
        if not _confirmed_impossible(ways, deadline):
            return Fit("unproven", (), missed, ())
        return Fit("impossible", (), missed, _mends(ways))
    measured = [checked(ways, design) for design in listed.designs]
    proven = listed.complete and proven_best(ways, listed.designs[0].cost, deadline)
    return Fit("proven" if proven else "unproven", ranked(measured), missed, ())


def checked(ways: Ways, design: Found) -> tuple[Tally, Measures]:
    """A design as a tally, counted again and measured; InternalCheckError where these disagree."""
    tally = lay_out(ways.plan, design)
    recount(tally)
    measures = measure(ways.piece, tally)
    if measures.breaches:
        broken = ", ".join(b.requirement for b in measures.breaches)
        raise InternalCheckError(f"a design breaks what was asked: {broken}")
    if measures.cost_nm != design.cost:
        raise InternalCheckError(
            f"a design measures {measures.cost_nm} where the search counted {design.cost}"
        )
    return tally, measures


def proven_best(ways: Ways, cost: int, deadline: float) -> bool:
    """Whether CP-SAT proves by the deadline (time.monotonic() seconds) that nothing is cheaper
    than a design at hand. InternalCheckError where the model finds another optimum."""
    left = deadline - monotonic()
    if left <= 0:
        return False
    model = PieceModel(ways.plan, rows_that_matter(ways, cost))
    model.at_most(cost)
    answer = model.solve(left)
    if answer.status in ("feasible", "unknown"):
        return False
    if answer.status == "infeasible" or answer.cost != cost:
        found = "no design at all" if answer.cost is None else f"one of {answer.cost}"
        raise InternalCheckError(f"the search found a design of {cost}, the model {found}")
    return True


def _confirmed_impossible(ways: Ways, deadline: float) -> bool:
    rows = all_rows(ways)
    if (ways.plan.crown and not rows.crowns) or not rows.ends or not all(rows.bands):
        return True  # a section cannot be worked at all: nothing to choose from
    left = deadline - monotonic()
    if left <= 0:
        return False
    answer = PieceModel(ways.plan, rows).solve(left)
    if answer.status in ("optimal", "feasible"):
        raise InternalCheckError(f"the search found nothing, the model a design of {answer.cost}")
    return answer.status == "infeasible"


def _mends(ways: Ways) -> tuple[Requirement, ...]:
    """Requirements that, given up alone, would make a design possible."""
    return tuple(
        name
        for name, other in relaxed(ways.piece, far=True)
        if search(Ways(other, like=ways), 1).designs
    )


def _sums(measures: Measures) -> tuple[float, float, float]:
    fit, shape, effort = (
        round(sum(measures.score_parts[p] for p in parts), 6)
        for parts in (FIT_PARTS, SHAPE_PARTS, EFFORT_PARTS)
    )
    return fit, shape, effort


def ranked(measured: Sequence[tuple[Tally, Measures]]) -> tuple[Candidate, ...]:
    """Ranked, with the efficient ones marked. A design that beats another in all three sums also
    has the lower score, so the list holds every design that could beat one of its own."""
    sums = [_sums(measures) for _, measures in measured]
    return tuple(
        Candidate(rank, tally, measures, not any(_beats(other, mine) for other in sums))
        for rank, ((tally, measures), mine) in enumerate(zip(measured, sums, strict=True), 1)
    )


def _beats(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return one != other and all(a <= b for a, b in zip(one, other, strict=True))
