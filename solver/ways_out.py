"""The cheapest ways out where nothing fits, each proven by solving the changed piece.

A requirement is given up as far as would still be the same design (``relax``), the best design
then is measured against the piece as asked, and the requirement is widened by just what that
design needs. What is promised is the best design of the piece so changed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import ceil
from time import monotonic

from .candidate import Breach, Candidate, Requirement
from .fit import checked
from .measure import measure
from .near import near_misses
from .piece import Band, Crown, Piece, Section
from .relax import FURTHER, RELAXINGS
from .requirements import ALTOGETHER
from .search import Found, search
from .tally import Tally
from .units import MM
from .ways import Ways
from .widen import Change, widened

FEWEST = 3  # different ways out that are looked for before two changes at once are tried
MOST_PAIRS = 40
ORDER: tuple[Requirement, ...] = (*RELAXINGS, "brim rhythm", "give")
REPEATS = range(-3, 7)
"""By how many stitches another repeat may differ."""
GAUGES = 2
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


def ways_out(
    piece: Piece, *, bare: Sequence[int] = (), most: int = 8, seconds: float = 5.0
) -> tuple[WayOut, ...]:
    """Different ways out, cheapest first. ``bare`` are the numbers (from 0) of the sections whose
    repeat is a bare number, which another number may replace. Two changes at once are only tried
    where fewer than three single ones do."""
    deadline, ways = monotonic() + seconds, Ways(piece)
    found = [*_single(ways), *_repeats(ways, bare), *_gauges(ways)]
    if len(found) < FEWEST:
        found += _pairs(ways, deadline)
    found.sort(key=lambda way: (way.price_nm, len(way.changes), way.changes))
    return tuple(_distinct(found))[:most]


def _distinct(found: Sequence[WayOut]) -> Iterator[WayOut]:
    seen = set()
    for way in found:
        if way.changes not in seen:
            seen.add(way.changes)
            yield way


def _single(ways: Ways) -> Iterator[WayOut]:
    for name in ORDER:
        if name == "repeat":
            continue  # another figure altogether: only a number that replaces it is a way out
        way = _giving_up(ways, (name,))
        if way is None and name in FURTHER:
            way = _giving_up(ways, (name,), far=True)
        if way is not None:
            yield way


def _pairs(ways: Ways, deadline: float) -> Iterator[WayOut]:
    names = [name for name in ORDER if name != "repeat"]
    for number, pair in enumerate(combinations(names, 2)):
        if number >= MOST_PAIRS * 4 or monotonic() > deadline:
            return
        way = _giving_up(ways, pair)
        if way is not None and len(way.changes) == 2:
            yield way


def _giving_up(ways: Ways, names: tuple[Requirement, ...], *, far: bool = False) -> WayOut | None:
    """The way out that gives up these requirements and no other."""
    piece = ways.piece
    for name in names:
        relax = (FURTHER if far else RELAXINGS).get(name) or ALTOGETHER[name]
        piece = relax(piece)
    if piece == ways.piece:
        return None
    design = _best(Ways(piece, like=ways), ways.piece)
    if design is None:
        return None
    tally, broken = design
    if not broken or {b.requirement for b in broken} - set(names):
        return None
    return _changed(ways, tally, broken)


def _best(ways: Ways, asked: Piece) -> tuple[Tally, tuple[Breach, ...]] | None:
    """The best design and what it breaks of the piece as asked."""
    design = next(iter(search(ways, 1).designs), None)
    if design is None:
        return None
    tally, _ = checked(ways, design)
    return tally, measure(asked, tally).breaches


def _changed(ways: Ways, tally: Tally, broken: Sequence[Breach]) -> WayOut | None:
    """The piece with just what the design needs, and the best design it then has."""
    changes, piece = widened(ways.piece, tally, broken)
    return _promised(ways, changes, piece)


def _promised(ways: Ways, changes: tuple[Change, ...], piece: Piece) -> WayOut | None:
    other = Ways(piece, like=ways)
    design = next(iter(search(other, 1).designs), None)
    if design is None or not changes:
        return None
    return _way(ways, changes, other, design)


def _way(ways: Ways, changes: tuple[Change, ...], other: Ways, design: Found) -> WayOut:
    tally, measures = checked(other, design)
    price = measure(ways.piece, tally).cost_nm
    return WayOut(changes, other.piece, Candidate(1, tally, measures, True), price)


# --- another repeat, another gauge -----------------------------------------------------------


def _repeats(ways: Ways, bare: Sequence[int]) -> Iterator[WayOut]:
    """The cheapest other repeat of each section that has a bare number."""
    for at in bare:
        section = ways.piece.sections[at]
        if not isinstance(section, Band):
            continue
        found = []
        for more in REPEATS:
            takes = section.figure.counts[0] + more
            if more == 0 or takes < 2:
                continue
            figure = replace(section.figure, counts=tuple(c + more for c in section.figure.counts))
            piece = _with_section(ways.piece, at, replace(section, figure=figure))
            change = Change("repeat", at, (takes,))
            way = _promised(ways, (change,), piece)
            if way is not None:
                found.append(way)
        yield from sorted(found, key=lambda way: way.price_nm)[:2]


def _gauges(ways: Ways) -> Iterator[WayOut]:
    """The gauges at which the nearest counts would be exactly as wide as asked."""
    piece, found = ways.piece, 0
    if piece.around_cm is None:
        return
    misses = [m for m in near_misses(ways) if m.breach.requirement == "circumference"]
    for miss in sorted(misses, key=lambda m: abs(m.miss_cm)):
        share = ceil(1000 * miss.exact_gauge * piece_width(piece) / 10) / 1000
        if abs(share - 1) > FURTHEST_GAUGE or found == GAUGES:
            continue
        changed = replace(piece, sections=tuple(_scaled(s, 1 / share) for s in piece.sections))
        way = _promised(ways, (Change("gauge", None, (share,)),), changed)
        if way is not None:
            found += 1
            yield way


def piece_width(piece: Piece) -> float:
    """Stitch width (cm) of the section the fit is judged by: the first below the crown."""
    sections = piece.sections
    below = isinstance(sections[0], Crown) and len(sections) > 1
    return sections[1 if below else 0].gauge.width_cm


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
