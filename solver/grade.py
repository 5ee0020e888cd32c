"""All sizes at once: the best families, proven, recounted and measured.

Order of trust as in fit.py: the exact search across sizes lists the families; every member is
worked again stitch by stitch and measured, every family measured by the specification; CP-SAT,
given only that the first is attained, proves that none is cheaper, and confirms that there is
none. Any disagreement is an InternalCheckError, never an answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from time import monotonic

from .candidate import Candidate, Fit, Measures
from .family import Conflict, Family, Grade, Rules, family_measure
from .family_conflict import conflicts_of
from .family_model import FamilyModel
from .family_rows import UNLIMITED, OutOfTimeError
from .family_search import FoundFamily
from .family_sizes import Sizes
from .fit import checked, fit
from .piece import Piece
from .recount import InternalCheckError
from .search import Found, search
from .tally import Tally
from .ways import Ways

_DEFAULT_RULES = Rules()

Known = dict[int, tuple[Found, tuple[Tally, Measures]]]
"""Designs already worked again and measured, by their identity."""


def grade(
    pieces: Sequence[Piece], rules: Rules = _DEFAULT_RULES, best: int = 5, time_limit: float = 10.0
) -> Grade:
    """The ``best`` families of one pattern in these sizes, in proven order.

    A family is known by its side counts and, where those are kept, its start and its crown's
    sectors; of families alike in these only the best is listed. Order: cost, then fewer special
    rounds in all sizes together, then the members' own order. ``time_limit`` in seconds; past it
    the answer is "unproven" and holds the best found so far. Raises ValueError for ``best``
    under 1, no pieces, or a rule for a size that is not there; InternalCheckError where two
    paths disagree.
    """
    _check(pieces, rules, best)
    deadline = monotonic() + time_limit
    ways = [Ways(piece) for piece in pieces]
    sizes, known = Sizes(ways, rules), Known()
    alone = tuple(_alone(sizes, i, known, deadline) for i in range(len(pieces)))
    if any(each is None for each in alone):
        return _some_alone_impossible(pieces, alone, deadline)
    costs = [each.measures.cost_nm for each in alone if each is not None]
    try:
        found, complete = sizes.families(best, deadline, costs), True
    except OutOfTimeError:
        found, complete = sizes.so_far, False
    if not found:
        return _none_found(sizes, alone, complete, deadline)
    families = _families(sizes, found, alone, known)
    proven = complete and _proven_best(sizes, found[0].cost, deadline)
    return Grade("proven" if proven else "unproven", families, alone)


def _check(pieces: Sequence[Piece], rules: Rules, best: int) -> None:
    if best < 1:
        raise ValueError(f"best: found {best}; it is a whole number from 1 up")
    if not pieces:
        raise ValueError("pieces: found none; a family has one size or more")
    for size in rules.counts:
        if not 0 <= size < len(pieces):
            raise ValueError(f"counts: found size {size}; the sizes are 0 to {len(pieces) - 1}")


def _checked(ways: Ways, design: Found, known: Known) -> tuple[Tally, Measures]:
    if id(design) not in known:
        known[id(design)] = (design, checked(ways, design))
    return known[id(design)][1]


def _alone(sizes: Sizes, size: int, known: Known, deadline: float) -> Candidate | None:
    """A size's best without the others, out of the rows it will need beside them."""
    ways = sizes.ways[size]
    design = sizes.best_alone(size, deadline)
    if design is None:
        designs = search(ways, 1, deadline=deadline).designs
        if not designs:
            return None
        design = designs[0]
    return Candidate(1, *_checked(ways, design, known), True)


def _some_alone_impossible(
    pieces: Sequence[Piece], alone: tuple[Candidate | None, ...], deadline: float
) -> Grade:
    """Sizes that cannot be made at all, each with what ``fit`` says of it."""
    conflicts = []
    for size, (piece, candidate) in enumerate(zip(pieces, alone, strict=True)):
        if candidate is None:
            said = _fit_within(piece, deadline)
            if said.status != "impossible":
                return Grade("unproven", (), alone)
            conflicts.append(Conflict((size,), (), said))
    return Grade("impossible", (), alone, tuple(conflicts))


def _fit_within(piece: Piece, deadline: float) -> Fit:
    return fit(piece, best=1, time_limit=max(deadline - monotonic(), 0.001))


def _none_found(
    sizes: Sizes, alone: tuple[Candidate | None, ...], complete: bool, deadline: float
) -> Grade:
    if not complete or not _confirmed_impossible(sizes, deadline):
        return Grade("unproven", (), alone)
    try:
        return Grade("impossible", (), alone, conflicts_of(sizes, deadline))
    except OutOfTimeError:
        return Grade("impossible", (), alone)


def _families(
    sizes: Sizes,
    found: Sequence[FoundFamily],
    alone: tuple[Candidate | None, ...],
    known: Known,
) -> tuple[Family, ...]:
    apart = sum(each.measures.cost_nm for each in alone if each is not None)
    return tuple(_family(sizes, rank, each, known, apart) for rank, each in enumerate(found, 1))


def _family(sizes: Sizes, rank: int, found: FoundFamily, known: Known, apart: int) -> Family:
    """A family, each member worked again and measured, and all together measured; ``apart`` is
    what its sizes would cost alone."""
    members = []
    for ways, row in zip(sizes.ways, found.rows, strict=True):
        members.append(Candidate(rank, *_checked(ways, row.found, known), True))
    tallies = [member.tally for member in members]
    pieces = [ways.piece for ways in sizes.ways]
    whole = family_measure(pieces, sizes.rules, tallies, [m.measures for m in members])
    if whole.broken:
        raise InternalCheckError(f"a family breaks what was asked: {', '.join(whole.broken)}")
    if whole.cost_nm != found.cost:
        raise InternalCheckError(
            f"a family measures {whole.cost_nm} where the search counted {found.cost}"
        )
    coherence = whole.cost_nm - apart
    return Family(rank, tuple(members), whole.shared, whole.parts, whole.cost_nm, coherence)


def _proven_best(sizes: Sizes, cost: int, deadline: float) -> bool:
    """Whether CP-SAT proves within the time that no family is cheaper than one at hand."""
    left = deadline - monotonic()
    if left <= 0:
        return False
    model = FamilyModel(sizes.rows_that_matter(cost), sizes.rules)
    model.at_most(cost)
    model.minimise()
    answer = model.solve(left)
    if answer.status in ("feasible", "unknown"):
        return False
    if answer.status == "infeasible" or answer.cost != cost:
        found = "no family at all" if answer.cost is None else f"one of {answer.cost}"
        raise InternalCheckError(f"the search found a family of {cost}, the model {found}")
    return True


def _confirmed_impossible(sizes: Sizes, deadline: float) -> bool:
    try:
        rows = [each.up_to(UNLIMITED, deadline) for each in sizes.tables]
    except OutOfTimeError:
        return False
    if not all(rows):
        return True  # a size cannot be made as asked: nothing to choose from
    answer = FamilyModel(rows, sizes.rules).solve(deadline - monotonic())
    if answer.status in ("optimal", "feasible"):
        raise InternalCheckError(f"the search found nothing, the model a family of {answer.cost}")
    return answer.status == "infeasible"
