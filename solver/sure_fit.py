"""The steadiest designs first: of two hats that fit on paper, the one that survives a slip.

The rule: the chance of coming out within the tolerance, in whole per cent, the larger first; of
equal ones the smaller score; then as ``fit`` breaks its ties. Exact: every body is looked at.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from time import monotonic

from .candidate import Fit
from .fit import checked, fit, ranked
from .layout import lay_out
from .piece import Piece
from .recount import InternalCheckError
from .search import Found, search, search_in_classes
from .sure import Slip, Sure, sure_of
from .ways import Ways

PLAIN_RANKS = 1000


@dataclass(frozen=True, slots=True)
class Steady:
    """``fit`` has the candidates steadiest first (its status "proven" where every design was
    looked at, and the model agreed on the cheapest); ``sure`` how sure each is, in order.
    ``plain_ranks`` has each one's rank by score alone, None where that is over PLAIN_RANKS."""

    fit: Fit
    sure: tuple[Sure, ...]
    plain_ranks: tuple[int | None, ...]


def steady(piece: Piece, slips: Sequence[Slip], best: int = 10, time_limit: float = 10.0) -> Steady:
    """The ``best`` candidates by (chance in whole per cent, score), with how sure each is.

    ``slips``: one for every section. ``time_limit`` in seconds; past it the status is
    "unproven". Raises as ``fit`` does.
    """
    deadline = monotonic() + time_limit
    usual = fit(piece, best=best, time_limit=time_limit)
    if not usual.candidates:
        return Steady(usual, (), ())
    ways = Ways(piece)
    listed = search_in_classes(ways, best, _Unsteadiness(ways, slips), deadline=deadline)
    if not listed.designs:
        found = replace(usual, status="unproven")
        ranks = tuple(c.rank for c in usual.candidates)
        return Steady(found, _sures(piece, slips, usual), ranks)
    tallies = [checked(ways, design) for design in listed.designs]
    complete = listed.complete and usual.status == "proven"
    cheapest = min(measures.cost_nm for _, measures in tallies)
    if complete and cheapest < usual.candidates[0].measures.cost_nm:
        raise InternalCheckError(
            f"a steady design of {cheapest}, cheaper than the cheapest of the main search"
        )
    found = replace(usual, status="proven" if complete else "unproven", candidates=ranked(tallies))
    return Steady(found, _sures(piece, slips, found), _plain_ranks(ways, listed.designs, deadline))


def _plain_ranks(ways: Ways, designs: Sequence[Found], deadline: float) -> tuple[int | None, ...]:
    """Each design's rank where only the score counts, which is how other commands count them."""
    plain = search(ways, PLAIN_RANKS, deadline=deadline)
    if not plain.complete:
        return (None,) * len(designs)
    ranks = {design.order: rank for rank, design in enumerate(plain.designs, 1)}
    return tuple(ranks.get(design.order) for design in designs)


def _sures(piece: Piece, slips: Sequence[Slip], found: Fit) -> tuple[Sure, ...]:
    return tuple(sure_of(piece, slips, c.tally) for c in found.candidates)


class _Unsteadiness:
    """A design's class: 0 for a chance of 100 %, 100 for none. It depends on the body alone, so
    each body is judged once."""

    def __init__(self, ways: Ways, slips: Sequence[Slip]) -> None:
        self._ways, self._slips = ways, slips
        self._known: dict[object, int] = {}

    def __call__(self, design: Found) -> int:
        body = design.body
        key = (body.count, body.order, body.marks)
        if key not in self._known:
            tally = lay_out(self._ways.plan, design)
            per_cent = sure_of(self._ways.piece, self._slips, tally).per_cent
            self._known[key] = 100 - (100 if per_cent is None else per_cent)
        return self._known[key]
