"""Why nothing fits: the smallest sets of requirements that cannot hold together.

A conflict is found by leaving requirements out and solving again with the exact search, never by
what a solver says of its own proof. Every conflict is confirmed by the second opinion
(``textbook``), which shares nothing with the search but the piece.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from .candidate import Requirement
from .exists import can_be_made
from .piece import Piece
from .requirements import asked_for, possible_without
from .textbook import SecondOpinion, second_opinion

Possible = Callable[[Piece], bool]
Confirmed = Literal["second opinion", "unconfirmed", "contradicted"]
MOST_CONFLICTS = 3


@dataclass(frozen=True, slots=True)
class RequirementConflict:
    """Requirements of one piece that cannot hold together, everything else given up; any that is
    left out lets the others hold."""

    requirements: tuple[Requirement, ...]


@dataclass(frozen=True, slots=True)
class Why:
    """``possible``: a design exists after all. ``conflicts`` are disjoint, the first found first.
    ``confirmed_by``: what the second opinion said of the piece as asked; where it contradicts the
    search, ``opinion`` is what it found."""

    possible: bool
    conflicts: tuple[RequirementConflict, ...]
    confirmed_by: Confirmed
    opinion: SecondOpinion


def why(
    piece: Piece,
    *,
    seconds: float = 2.0,
    possible: Possible | None = None,
) -> Why:
    """The conflicts of a piece. ``seconds`` bounds each second opinion. ``possible`` is the oracle
    (the exact search unless said otherwise)."""
    ask = possible or can_be_made
    if ask(piece):
        opinion = second_opinion(piece, seconds)
        return Why(True, (), _confirmed(opinion, "possible"), opinion)
    opinion = second_opinion(piece, seconds)
    confirmed = _confirmed(opinion, "impossible")
    if confirmed == "contradicted":
        return Why(False, (), confirmed, opinion)
    return Why(False, conflicts_of(piece, ask), confirmed, opinion)


def _confirmed(opinion: SecondOpinion, verdict: str) -> Confirmed:
    if opinion.verdict == "unknown":
        return "unconfirmed"
    return "second opinion" if opinion.verdict == verdict else "contradicted"


def conflicts_of(piece: Piece, possible: Possible = can_be_made) -> tuple[RequirementConflict, ...]:
    """Disjoint conflicts: one, then one among what it leaves, and so on."""
    found: list[RequirementConflict] = []
    names = asked_for(piece)
    spent: set[Requirement] = set()
    while len(found) < MOST_CONFLICTS:
        left = [name for name in names if name not in spent]
        conflict = smallest(piece, left, spent, possible)
        if conflict is None:
            break
        found.append(RequirementConflict(conflict))
        spent |= set(conflict)
        if possible_without(piece, spent, possible):
            break
    return tuple(found)


def smallest(
    piece: Piece,
    names: list[Requirement],
    spent: set[Requirement],
    possible: Possible,
) -> tuple[Requirement, ...] | None:
    """A conflict among ``names`` (with ``spent`` given up already) of which no member can be left
    out; None where even giving all up helps nothing.

    Requirements are given up in turn; whoever can go without making the piece possible is no part
    of it. While they can, ever more are given up at once. The search answers for the piece with
    everything given up that is no part.
    """
    given_up, kept = set(spent), list[Requirement]()
    at, many = 0, 1
    while at < len(names):
        some = names[at : at + many]
        if not possible_without(piece, given_up.union(some), possible):
            given_up.update(some)
            at, many = at + many, 2 * many
        elif many > 1:
            many = 1
        else:
            kept += some
            at += 1
    return tuple(kept) or None
