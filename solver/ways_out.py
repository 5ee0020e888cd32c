"""The cheapest ways out where nothing fits, each proven by solving the changed piece.

A requirement is given up as far as would still be the same design (``relax``), the best design
then is measured against the piece as asked, and the requirement is widened by just what that
design needs. What is promised is the best design of the piece so changed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product
from math import ceil
from time import monotonic
from typing import Protocol, TypeVar

from .candidate import Candidate, Measures, NearMiss, Requirement
from .fit import checked
from .layout import lay_out
from .measure import measure
from .piece import Band, Brim, Piece, Section, side_section
from .relax import RELAXINGS, Relaxing
from .requirements import ALTOGETHER, asked_for
from .search import Found, search
from .units import MM
from .ways import Ways, body_of
from .widen import TOLERANCES, Change, widened

FEWEST = 3
"""Different ways out that are looked for before more changes at once are tried."""
MOST_AT_ONCE = 3
RUFFLE = 1.5
"""Fullness over which fabric is a ruffle: half as much again as lies flat (our own limit)."""
LEAST_GAIN_NM = MM // 10  # prices are shown to a tenth of a millimetre
ORDER: tuple[Requirement, ...] = (
    *(name for name in RELAXINGS if name != "repeat"),  # only a number that replaces it is one
    "brim rhythm",
    "give",
)
NEAR: dict[Requirement, Relaxing] = ALTOGETHER | RELAXINGS
"""Each requirement given up as far as would still be the same design."""
REPEATS = range(-3, 7)
"""By how many stitches another repeat may differ."""
FURTHEST_GAUGE = 0.10  # a gauge further off is another yarn


@dataclass(frozen=True, slots=True)
class WayOut:
    """Changes to a piece and the hat they give: ``piece`` is the piece so changed, ``candidate``
    its best design. ``price_nm``: what that design scores by the piece as asked, in 1e-6 mm."""

    changes: tuple[Change, ...]
    piece: Piece
    candidate: Candidate
    price_nm: int

    @property
    def price_mm(self) -> float:
        """The price in millimetres of the score."""
        return self.price_nm / MM


def ruffled(piece: Piece, measures: Measures) -> bool:
    """Whether a crown or a brim has so much more than flat (than asked, of a brim) that it is a
    ruffle and no crown or brim: then a design meets what is asked, and still is no way out."""
    brim = next((s for s in piece.sections if isinstance(s, Brim)), None)
    asked = 1.0 if brim is None or brim.fullness is None else brim.fullness
    return (measures.fullness or 0.0) > RUFFLE or (measures.brim_fullness or 0.0) > RUFFLE * asked


class _AWay(Protocol):
    """What two ways out are compared by."""

    @property
    def changes(self) -> tuple[Change, ...]: ...
    @property
    def candidate(self) -> Candidate: ...
    @property
    def price_nm(self) -> int: ...


Out = TypeVar("Out", bound=_AWay)


def different(ways: Iterable[Out]) -> list[Out]:
    """Without those that only add to another: they make its changes, each at least as far, and
    more, and have nothing better for it."""
    all_of_them = list(ways)
    return [
        way
        for way in all_of_them
        if not any(_adds(way, other) and not _gains(way, other) for other in all_of_them)
    ]


def _adds(way: _AWay, other: _AWay) -> bool:
    """Whether a way out makes another's changes and then some."""
    return len(way.changes) > len(other.changes) and all(
        any(_goes_as_far(mine, theirs) for mine in way.changes) for theirs in other.changes
    )


def _goes_as_far(mine: Change, theirs: Change) -> bool:
    """The same change, or the same tolerance widened no less."""
    if (mine.what, mine.section) != (theirs.what, theirs.section):
        return False
    return mine.value == theirs.value or (mine.what in TOLERANCES and mine.value > theirs.value)


def _gains(way: _AWay, other: _AWay) -> bool:
    """Whether a way out gives another hat, and one that visibly scores better."""
    another = way.candidate.tally != other.candidate.tally
    return another and way.price_nm + LEAST_GAIN_NM <= other.price_nm


def ways_out(
    ways: Ways,
    misses: Sequence[NearMiss],
    conflicts: Sequence[Sequence[Requirement]] = (),
    *,
    bare: Sequence[int] = (),
    most: int = 8,
    seconds: float = 5.0,
) -> tuple[WayOut, ...]:
    """Different ways out of a piece that cannot be made, cheapest first.

    ``misses`` are its near misses; ``conflicts`` those of its requirements that are known not to
    hold together: a way out gives up one of each at least, so they save looking elsewhere.
    ``bare`` are the numbers (from 0) of the sections whose repeat is a bare number, which another
    number may replace. More changes at once are only tried where fewer do not give three ways.
    """
    deadline, tables = monotonic() + seconds, _Tables(ways)
    found = {way.changes: way for way in (*_repeats(tables, bare), *_gauges(tables, misses))}
    for at_once, giving_up in product(range(1, MOST_AT_ONCE + 1), (NEAR, ALTOGETHER)):
        if at_once > 1 and len(different(found.values())) >= FEWEST:
            break
        tried = {tuple(change.what for change in changes) for changes in found}
        for names, piece in _given_up(ways.piece, conflicts, at_once, giving_up):
            if monotonic() > deadline:
                break
            if tuple(sorted(names)) in tried:
                continue
            way = _way_out(tables, names, piece)
            if way is not None and len({change.what for change in way.changes}) == at_once:
                found.setdefault(way.changes, way)
    ranked = sorted(
        different(found.values()), key=lambda way: (way.price_nm, len(way.changes), way.changes)
    )
    return tuple(ranked[:most])


class _Tables:
    """The piece as asked and, for pieces near it, tables that share all they have in common."""

    def __init__(self, ways: Ways) -> None:
        self.ways, self.piece = ways, ways.piece
        self._by_body: dict[object, Ways] = {}

    def best(self, piece: Piece) -> tuple[Ways, Found] | None:
        """The best design of a piece, with its tables; None where there is none."""
        body = body_of(piece)
        ways = Ways(piece, like=self._by_body.get(body, self.ways))
        self._by_body.setdefault(body, ways)
        design = next(iter(search(ways, 1).designs), None)
        return None if design is None else (ways, design)


def _given_up(
    piece: Piece,
    conflicts: Sequence[Sequence[Requirement]],
    at_once: int,
    giving_up: Mapping[Requirement, Relaxing],
) -> Iterator[tuple[tuple[Requirement, ...], Piece]]:
    """So many requirements at once of which each conflict has one, and the piece without them;
    what is given up altogether only where that is further than near."""
    asked = asked_for(piece)
    real = [name for name in ORDER if name in asked]
    further = {name for name in real if giving_up[name](piece) != NEAR[name](piece)}
    for names in combinations(real, at_once):
        if giving_up is not NEAR and further.isdisjoint(names):
            continue
        if any(set(conflict).isdisjoint(names) for conflict in conflicts):
            continue
        other = piece
        for name in names:
            other = giving_up[name](other)
        yield names, other


def _way_out(tables: _Tables, names: tuple[Requirement, ...], piece: Piece) -> WayOut | None:
    """The way out by the best design of a piece with these requirements given up: they widened
    by just what that design needs, and the best design there then is."""
    best = tables.best(piece)
    if best is None:
        return None
    tally = lay_out(best[0].plan, best[1])
    broken = measure(tables.piece, tally).breaches
    if not broken or {breach.requirement for breach in broken} - set(names):
        return None
    return _promised(tables, *widened(tables.piece, tally, broken))


def _promised(tables: _Tables, changes: tuple[Change, ...], piece: Piece) -> WayOut | None:
    """The changed piece's best design; None where nothing was changed, or there is none."""
    best = tables.best(piece) if changes else None
    if best is None:
        return None
    tally, measures = checked(*best)
    if ruffled(piece, measures):
        return None
    price = measure(tables.piece, tally).cost_nm
    return WayOut(changes, piece, Candidate(1, tally, measures, True), price)


# --- another repeat, another gauge -----------------------------------------------------------


def _repeats(tables: _Tables, bare: Sequence[int]) -> Iterator[WayOut]:
    """The cheapest other repeat of each section that has a bare number."""
    for at in bare:
        section = tables.piece.sections[at]
        if not isinstance(section, Band):
            continue
        found = []
        for more in REPEATS:
            takes = section.figure.counts[0] + more
            if more == 0 or takes < 2:
                continue
            figure = replace(section.figure, counts=tuple(c + more for c in section.figure.counts))
            piece = _with_section(tables.piece, at, replace(section, figure=figure))
            change = Change("repeat", at, (takes,))
            way = _promised(tables, (change,), piece)
            if way is not None:
                found.append(way)
        yield from sorted(found, key=lambda way: way.price_nm)[:2]


def _gauges(tables: _Tables, near: Sequence[NearMiss]) -> Iterator[WayOut]:
    """The nearest gauges on either side at which the piece can be made."""
    piece, tighter = tables.piece, set[bool]()
    for share in _shares(piece, near):
        if abs(share - 1) > FURTHEST_GAUGE or (share > 1) in tighter:
            continue
        changed = replace(piece, sections=tuple(_scaled(s, 1 / share) for s in piece.sections))
        way = _promised(tables, (Change("gauge", None, (share,)),), changed)
        if way is not None:
            tighter.add(share > 1)
            yield way


def _shares(piece: Piece, near: Sequence[NearMiss]) -> Iterator[float]:
    """Those at which the nearest counts would be exactly as wide as asked, as shares of the
    gauge there is; in steps of a hundredth where every section has a width of its own."""
    if piece.around_cm is None:
        yield from (1 + side * step / 100 for step in range(1, 11) for side in (1, -1))
        return
    misses = [miss for miss in near if miss.breach.requirement == "circumference"]
    width = side_section(piece).gauge.width_cm
    for miss in sorted(misses, key=lambda miss: abs(miss.miss_cm)):
        yield ceil(1000 * miss.exact_gauge * width / 10) / 1000


def _scaled(section: Section, share: float) -> Section:
    """A section with every stitch wider and higher by a share, as another hook makes it."""
    gauge = section.gauge
    wider = replace(gauge, width_cm=gauge.width_cm * share, height_cm=gauge.height_cm * share)
    if not isinstance(section, Band):
        return replace(section, gauge=wider)
    return replace(
        section,
        gauge=wider,
        wish_width_cm=_times(section.wish_width_cm, share),
        measured_repeat_cm=_times(section.measured_repeat_cm, share),
        measured_height_cm=_times(section.measured_height_cm, share),
    )


def _times(value: float | None, share: float) -> float | None:
    return None if value is None else value * share


def _with_section(piece: Piece, at: int, section: Section) -> Piece:
    return replace(piece, sections=(*piece.sections[:at], section, *piece.sections[at + 1 :]))
