"""Near misses: side counts just outside one requirement, with the best hat each would give."""

from __future__ import annotations

from collections.abc import Iterator

from .candidate import Breach, NearMiss
from .layout import lay_out
from .measure import measure
from .piece import Band, Even, Piece, Section
from .recount import recount
from .relax import MENDS_A_BODY, MENDS_A_COUNT, relaxed, wider_around
from .search import search
from .ways import Ways

EACH_SIDE = 3


def near_misses(ways: Ways) -> tuple[NearMiss, ...]:
    """Up to three on either side of the wished circumference, the nearest, narrowest first."""
    piece, wish = ways.piece, _wish(ways)
    if wish is None:
        return ()
    wide = Ways(wider_around(piece), like=ways)
    low, high = wide.plan.window
    width = _width(ways)
    found: dict[bool, list[NearMiss]] = {False: [], True: []}
    others = _Relaxed(ways)
    for side in sorted(range(low, high + 1), key=lambda n: abs(n * width - wish)):
        larger = side * width > wish
        if len(found[larger]) == EACH_SIDE or search(ways, 1, side=side).designs:
            continue
        miss = others.nearest(side) or _miss(piece, wide, side)
        if miss is not None:
            found[larger].append(miss)
    return tuple(sorted([*found[False], *found[True]], key=lambda m: m.around_cm))


def _side_section(ways: Ways) -> Section:
    """The first section below the crown; the crown where there is none."""
    sections = ways.piece.sections
    below = ways.plan.crown is not None and len(sections) > 1
    return sections[1] if below else sections[0]


def _wish(ways: Ways) -> float | None:
    section = _side_section(ways)
    own = section.around_cm if isinstance(section, Even | Band) else None
    return ways.piece.around_cm if own is None else own


def _width(ways: Ways) -> float:
    return _side_section(ways).gauge.width_cm


def _miss(piece: Piece, other: Ways, side: int) -> NearMiss | None:
    """The best design with a side count in a piece whose one requirement was given up; None if
    there is none, or if it breaks more than one requirement of the piece as asked."""
    plain = piece.around_cm is not None  # own circumferences are reached by nudges
    designs = search(other, 1, side=side, plain_sides=plain).designs
    if not designs:
        return None
    tally = lay_out(other.plan, designs[0])
    recount(tally)
    measures = measure(piece, tally)
    broken = {breach.requirement for breach in measures.breaches}
    wish = measures.around_wish_cm
    if len(broken) != 1 or wish is None:
        return None
    worst = max(measures.breaches, key=_excess)
    return NearMiss(
        side_count=side,
        around_cm=measures.around_cm,
        miss_cm=measures.around_cm - wish,
        exact_gauge=10 / _width(other) * measures.around_cm / wish,
        breach=worst,
        tally=tally,
        measures=measures,
    )


def _excess(breach: Breach) -> float:
    ends = [e for e in (breach.low, breach.high) if e is not None]
    return min((abs(breach.found - e) for e in ends), default=0.0)


class _Relaxed:
    """The piece with each requirement but the circumference given up, made when asked for.

    A count that no body has is only helped by what bodies depend on.
    """

    def __init__(self, ways: Ways) -> None:
        self.ways = ways
        self._others = [
            (name, Ways(other, like=ways))
            for name, other in relaxed(ways.piece)
            if name in MENDS_A_COUNT
        ]

    def nearest(self, side: int) -> NearMiss | None:
        """The near miss of a side count that a single other requirement stands in the way of."""
        return next(self._misses(side), None)

    def _misses(self, side: int) -> Iterator[NearMiss]:
        has_body = side in self.ways.plain_by_side
        for name, other in self._others:
            if not has_body and name not in MENDS_A_BODY:
                continue
            miss = _miss(self.ways.piece, other, side)
            if miss is not None:
                yield miss
