"""Near misses: side counts just outside one requirement, with the best hat each would give."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

from .candidate import Breach, NearMiss, Requirement
from .layout import lay_out
from .measure import measure
from .piece import Band, Brim, Edging, Even, Piece, side_section
from .recount import recount
from .relax import MENDS_A_BODY, MENDS_A_COUNT, relaxed, wider_around
from .requirements import OF_THE_END, asked_for, without
from .search import search, search_plain
from .ways import Ways

EACH_SIDE = 3
MOST_BODIES = 3_000


def near_misses(ways: Ways, shown: Collection[int] = ()) -> tuple[NearMiss, ...]:
    """Up to three on either side of the wished circumference, the nearest, narrowest first.

    ``shown`` are side counts that candidates have. Where nothing lies within a twentieth of the
    circumference outside the tolerance, a fifth is looked at.
    """
    if _wish(ways) is None:
        return ()
    others = _Relaxed(ways)
    found = _within(ways, others, shown, 0.05)
    if not all(found.values()):
        wider = _within(ways, others, shown, 0.20)
        found = {side: found[side] or wider[side][:1] for side in found}
    return tuple(sorted([*found[False], *found[True]], key=lambda m: m.around_cm))


def misses_alone(piece: Piece, names: Collection[Requirement]) -> tuple[NearMiss, ...]:
    """Near misses where only these requirements are asked for, everything else given up; what
    lies below them is left off."""
    alone = without(piece, {name for name in asked_for(piece) if name not in names})
    if not set(OF_THE_END).intersection(names):
        kept = tuple(s for s in alone.sections if not isinstance(s, Brim | Edging))
        alone = replace(alone, sections=kept or alone.sections)
    return near_misses(Ways(alone))


def _within(
    ways: Ways, others: _Relaxed, shown: Collection[int], share: float
) -> dict[bool, list[NearMiss]]:
    """Near misses on the smaller and the larger side, as far as a share past the tolerance."""
    piece, wish = ways.piece, _wish(ways) or 0.0
    wide = Ways(wider_around(piece, share), like=ways)
    low, high = wide.plan.window
    width = _width(ways)
    found: dict[bool, list[NearMiss]] = {False: [], True: []}
    for side in sorted(range(low, high + 1), key=lambda n: abs(n * width - wish)):
        larger = side * width > wish
        if len(found[larger]) == EACH_SIDE or side in shown:
            continue
        if search_plain(ways, side) is not None:
            continue
        miss = others.nearest(side) or _miss(piece, wide, side)
        if miss is not None:
            found[larger].append(miss)
    return found


def _wish(ways: Ways) -> float | None:
    section = side_section(ways.piece)
    own = section.around_cm if isinstance(section, Even | Band) else None
    return ways.piece.around_cm if own is None else own


def _width(ways: Ways) -> float:
    return side_section(ways.piece).gauge.width_cm


def _miss(piece: Piece, other: Ways, side: int) -> NearMiss | None:
    """The best design with a side count in a piece whose one requirement was given up; None if
    there is none, or if it breaks more than one requirement of the piece as asked."""
    design = search_plain(other, side)
    if design is None and _needs_nudges(piece):
        design = next(iter(search(other, 1, side=side, most=MOST_BODIES).designs), None)
    if design is None:
        return None
    tally = lay_out(other.plan, design)
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


def _needs_nudges(piece: Piece) -> bool:
    """Whether a piece may need a nudge further down: several bands, or circumferences of their
    own."""
    return piece.around_cm is None or sum(isinstance(s, Band) for s in piece.sections) > 1


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
