"""A requirement widened by just what a design needs: the change, and the piece so changed.

Values are rounded up to what a person would write (a millimetre, a degree, a per cent), so that
the change as printed is the change that was solved.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import ceil

from .candidate import Breach, Requirement
from .piece import Band, Brim, Crown, Edging, Even, Piece, Rhythm, Section
from .tally import SectionTally, Tally


@dataclass(frozen=True, slots=True, order=True)
class Change:
    """One change to a piece. ``what`` is the requirement widened, or "gauge"; ``section`` its
    number in the piece (None: the piece as a whole); ``value`` what is to be written: a tolerance
    (cm, degrees, share), a range, a number, 1 for allowed, a rhythm as (increases, block), the
    gauge as a share of what it was."""

    what: str
    section: int | None
    value: tuple[float, ...]


Widening = tuple[Change, Piece]


def widened(
    piece: Piece, tally: Tally, broken: Sequence[Breach]
) -> tuple[tuple[Change, ...], Piece]:
    """The piece with every requirement that a tally breaks widened to let it in."""
    changes: list[Change] = []
    for name in dict.fromkeys(breach.requirement for breach in broken):
        mine = [breach for breach in broken if breach.requirement == name]
        done = _WIDEN[name](piece, tally, mine) if name in _WIDEN else None
        if done is None:
            return (), piece
        change, piece = done
        changes.append(change)
    return tuple(sorted(changes)), piece


def up(value: float, step: float) -> float:
    """Rounded up to a step."""
    return round(ceil(value / step - 1e-9) * step, 6)


def _off(breaches: Sequence[Breach]) -> float:
    """How far the worst is from the middle of what is allowed."""
    return max(
        abs(b.found - (b.low + b.high) / 2)
        for b in breaches
        if b.low is not None and b.high is not None
    )


def _tolerance(field: str, step: float) -> Callable[..., Widening | None]:
    def widen(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening | None:
        value = up(_off(breaches), step)
        limits = replace(piece.limits, **{field: value})  # type: ignore[arg-type]
        return Change(breaches[0].requirement, None, (value,)), replace(piece, limits=limits)

    return widen


def _repeat_width(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening:
    share = max(
        abs(b.found / ((b.low + b.high) / 2) - 1)
        for b in breaches
        if b.low is not None and b.high is not None
    )
    value = up(share, 0.01)
    limits = replace(piece.limits, repeat_share=value)
    return Change("repeat width", None, (value,)), replace(piece, limits=limits)


def _nudge(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening | None:
    """Stitches, share of the count and rounds apart as large nudges of the tally want them."""
    limits = piece.limits
    nudges = [s for s in tally.sections if s.section == "nudge"]
    if any(b.high is None for b in breaches):
        apart = int(min(b.found for b in breaches if b.high is None))
        limits = replace(limits, nudge_apart=min(limits.nudge_apart, apart))
    sizes = [abs(n.changes[0]) for n in nudges]
    shares = [abs(n.changes[0]) / n.count_in for n in nudges]
    limits = replace(
        limits,
        nudge_stitches=max(limits.nudge_stitches, *sizes),
        nudge_share=max(limits.nudge_share, *(up(share, 0.01) for share in shares)),
    )
    value = (limits.nudge_stitches, limits.nudge_share, limits.nudge_apart)
    return Change("nudge", None, value), replace(piece, limits=limits)


def _first(piece: Piece, kind: type[Section]) -> int:
    return next(i for i, s in enumerate(piece.sections) if isinstance(s, kind))


def _with(piece: Piece, at: int, what: str, value: tuple[float, ...], **new: object) -> Widening:
    section = replace(piece.sections[at], **new)  # type: ignore[arg-type]
    sections = (*piece.sections[:at], section, *piece.sections[at + 1 :])
    return Change(what, at, value), replace(piece, sections=sections)


def _wider(allowed: tuple[int, int], found: int) -> tuple[int, int]:
    return min(allowed[0], found), max(allowed[1], found)


def _range(kind: type[Section], field: str) -> Callable[..., Widening | None]:
    def widen(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening | None:
        at = _first(piece, kind)
        allowed = _wider(getattr(piece.sections[at], field), int(breaches[0].found))
        return _with(piece, at, breaches[0].requirement, allowed, **{field: allowed})

    return widen


def _part_round(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening:
    return _with(piece, _first(piece, Crown), "part round", (1,), part_round=True)


def _second_rate(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening:
    return _with(piece, _first(piece, Crown), "second rate", (2,), rates=2)


def _double_rounds(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening:
    found = int(breaches[0].found)
    return _with(piece, _first(piece, Crown), "double rounds", (found,), double_rounds=found)


def _edging(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening:
    return _with(piece, _first(piece, Edging), "edging repeat", (0,), required=False)


def _worked(tally: Tally, piece: Piece, at: int) -> SectionTally:
    """The tally of a section of the piece."""
    return [s for s in tally.sections if s.section != "nudge"][at]


def _firm_rounds(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening:
    at = _first(piece, Brim)
    changes = _worked(tally, piece, at).changes
    firm = next((i for i, change in enumerate(reversed(changes)) if change), len(changes))
    return _with(piece, at, "firm rounds", (firm,), firm_rounds=firm)


def _rhythm(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening | None:
    at = _first(piece, Brim)
    brim, rhythm = piece.sections[at], _worked(tally, piece, at).rhythm
    if not isinstance(brim, Brim) or rhythm is None:
        return None
    rhythms: tuple[Rhythm, ...] = (*brim.rhythms, rhythm)
    return _with(piece, at, "brim rhythm", (rhythm.increases, rhythm.block), rhythms=rhythms)


def _rounds(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening | None:
    """The first section whose number of rounds is outside its range; one such section only."""
    if len(breaches) != 1:
        return None
    at = next(
        i
        for i, s in enumerate(piece.sections)
        if isinstance(s, Even | Band) and s.name == breaches[0].section
    )
    section, found = piece.sections[at], int(breaches[0].found)
    assert isinstance(section, Even | Band)
    low, high = section.rounds
    allowed = (min(low, found), high if high is None else max(high, found))
    return _with(piece, at, "rounds", tuple(n for n in allowed if n is not None), rounds=allowed)


def _give(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening | None:
    if len(breaches) != 1:
        return None
    at = next(i for i, s in enumerate(piece.sections) if s.name == breaches[0].section)
    band = piece.sections[at]
    assert isinstance(band, Band)
    allowed = _wider(band.give_range, int(breaches[0].found))
    return _with(piece, at, "give", allowed, give_range=allowed)


_WIDEN: dict[Requirement, Callable[..., Widening | None]] = {
    "circumference": _tolerance("around_cm", 0.1),
    "depth": _tolerance("depth_cm", 0.1),
    "brim width": _tolerance("brim_cm", 0.1),
    "edge circumference": _tolerance("edge_cm", 0.1),
    "flare": _tolerance("flare_deg", 1.0),
    "repeat width": _repeat_width,
    "nudge": _nudge,
    "part round": _part_round,
    "second rate": _second_rate,
    "double rounds": _double_rounds,
    "edging repeat": _edging,
    "brim sectors": _range(Brim, "sector_range"),
    "crown sectors": _range(Crown, "sector_range"),
    "start count": _range(Crown, "start_range"),
    "firm rounds": _firm_rounds,
    "brim rhythm": _rhythm,
    "rounds": _rounds,
    "give": _give,
}
