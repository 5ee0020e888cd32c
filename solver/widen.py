"""A requirement widened by just what a design needs: the change, and the piece so changed.

Values are rounded up to what a person would write (a millimetre, a degree, a per cent), so that
the change as printed is the change that was solved.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import TypeVar

from .candidate import Breach, Requirement
from .piece import Band, Brim, Crown, Edging, Even, Limits, Piece, Section
from .relax import ANOTHER_FIGURE
from .tally import SectionTally, Tally


@dataclass(frozen=True, slots=True, order=True)
class Change:
    """One change to a piece. ``what`` is the requirement widened, "gauge", or "wished width" (a
    band's own, in cm, instead of the tolerance of a repeat's width); ``section`` its
    number in the piece (None: the piece as a whole); ``value`` what is to be written: a tolerance
    (cm, degrees, share), a range, a number, 1 for allowed, a rhythm as (increases, block), the
    gauge as a share of what it was."""

    what: str
    section: int | None
    value: tuple[float, ...]


Widening = tuple[Change, Piece]
Widen = Callable[[Piece, Tally, Sequence[Breach]], Widening | None]
Kind = TypeVar("Kind", Crown, Brim, Edging)


def widened(
    piece: Piece, tally: Tally, broken: Sequence[Breach]
) -> tuple[tuple[Change, ...], Piece]:
    """The piece with every requirement that a tally breaks widened to let it in."""
    changes: list[Change] = []
    for mine in _together(broken):
        widen = _WIDEN.get(mine[0].requirement)
        done = None if widen is None else widen(piece, tally, mine)
        if done is None:
            return (), piece
        change, piece = done
        changes.append(change)
    return tuple(sorted(changes)), piece


def _together(broken: Sequence[Breach]) -> list[list[Breach]]:
    """Breaches that one change mends: those of one requirement, but a repeat that is no more the
    same figure by itself."""
    groups: dict[tuple[Requirement, str], list[Breach]] = {}
    for breach in broken:
        own = breach.requirement == "repeat width" and _share_off(breach) > ANOTHER_FIGURE
        groups.setdefault((breach.requirement, breach.section if own else ""), []).append(breach)
    return list(groups.values())


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


def _tolerance(wider: Callable[[Limits, float], Limits], step: float) -> Widen:
    def widen(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening:
        value = up(_off(breaches), step)
        changed = replace(piece, limits=wider(piece.limits, value))
        return Change(breaches[0].requirement, None, (value,)), changed

    return widen


def _share_off(breach: Breach) -> float:
    """How far a breach is from the middle of what is allowed, as a share of that."""
    assert breach.low is not None and breach.high is not None
    return abs(breach.found / ((breach.low + breach.high) / 2) - 1)


def _repeat_width(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening:
    """The tolerance; where that would let in another figure, another wish."""
    share = max(map(_share_off, breaches))
    if share > ANOTHER_FIGURE:
        return _wished_width(piece, breaches[0])
    value = up(share, 0.01)
    limits = replace(piece.limits, repeat_share=value)
    return Change("repeat width", None, (value,)), replace(piece, limits=limits)


def _wished_width(piece: Piece, breach: Breach) -> Widening:
    """The width found as the wish, as roundly as the tolerance lets it be written."""
    at, band = _band(piece, breach)
    slack = piece.limits.repeat_share
    roundly = (round(breach.found, places) for places in (1, 2))
    wish = next((w for w in roundly if abs(breach.found - w) <= slack * w), round(breach.found, 4))
    return _with(piece, at, replace(band, repeat_wish_cm=wish), "wished width", (wish,))


def _band(piece: Piece, breach: Breach) -> tuple[int, Band]:
    """The band that a breach names, and its number."""
    return next(
        (i, s)
        for i, s in enumerate(piece.sections)
        if isinstance(s, Band) and s.name == breach.section
    )


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


def _first(piece: Piece, kind: type[Kind]) -> tuple[int, Kind]:
    """The first section of a kind, and its number."""
    return next((i, s) for i, s in enumerate(piece.sections) if isinstance(s, kind))


def _with(piece: Piece, at: int, section: Section, what: str, value: tuple[float, ...]) -> Widening:
    """The piece with one section in another's place."""
    sections = (*piece.sections[:at], section, *piece.sections[at + 1 :])
    return Change(what, at, value), replace(piece, sections=sections)


def _wider(allowed: tuple[int, int], found: float) -> tuple[int, int]:
    return min(allowed[0], int(found)), max(allowed[1], int(found))


def _brim_sectors(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening:
    at, brim = _first(piece, Brim)
    allowed = _wider(brim.sector_range, breaches[0].found)
    return _with(piece, at, replace(brim, sector_range=allowed), "brim sectors", allowed)


def _crown_sectors(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening:
    at, crown = _first(piece, Crown)
    allowed = _wider(crown.sector_range, breaches[0].found)
    return _with(piece, at, replace(crown, sector_range=allowed), "crown sectors", allowed)


def _start_count(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening:
    at, crown = _first(piece, Crown)
    allowed = _wider(crown.start_range, breaches[0].found)
    return _with(piece, at, replace(crown, start_range=allowed), "start count", allowed)


def _part_round(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening:
    at, crown = _first(piece, Crown)
    return _with(piece, at, replace(crown, part_round=True), "part round", (1,))


def _second_rate(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening:
    at, crown = _first(piece, Crown)
    return _with(piece, at, replace(crown, rates=2), "second rate", (2,))


def _edging(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening:
    at, edging = _first(piece, Edging)
    return _with(piece, at, replace(edging, required=False), "edging repeat", (0,))


def _worked(tally: Tally, at: int) -> SectionTally:
    """The tally of a section of the piece."""
    return [s for s in tally.sections if s.section != "nudge"][at]


def _firm_rounds(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening:
    at, brim = _first(piece, Brim)
    changes = _worked(tally, at).changes
    firm = next((i for i, change in enumerate(reversed(changes)) if change), len(changes))
    return _with(piece, at, replace(brim, firm_rounds=firm), "firm rounds", (firm,))


def _rhythm(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening | None:
    at, brim = _first(piece, Brim)
    rhythm = _worked(tally, at).rhythm
    if rhythm is None:
        return None
    wider = replace(brim, rhythms=(*brim.rhythms, rhythm))
    return _with(piece, at, wider, "brim rhythm", (rhythm.increases, rhythm.block))


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
    if isinstance(section, Band):
        allowed = _wider(section.rounds, found)
        return _with(piece, at, replace(section, rounds=allowed), "rounds", allowed)
    assert isinstance(section, Even)
    low, high = min(section.rounds[0], found), section.rounds[1]
    if high is None:
        return _with(piece, at, replace(section, rounds=(low, None)), "rounds", (low,))
    allowed = low, max(high, found)
    return _with(piece, at, replace(section, rounds=allowed), "rounds", allowed)


def _give(piece: Piece, tally: Tally, breaches: Sequence[Breach]) -> Widening | None:
    if len(breaches) != 1:
        return None
    at, band = _band(piece, breaches[0])
    allowed = _wider(band.give_range, breaches[0].found)
    return _with(piece, at, replace(band, give_range=allowed), "give", allowed)


TOLERANCES: dict[Requirement, Widen] = {
    "circumference": _tolerance(lambda limits, cm: replace(limits, around_cm=cm), 0.1),
    "depth": _tolerance(lambda limits, cm: replace(limits, depth_cm=cm), 0.1),
    "brim width": _tolerance(lambda limits, cm: replace(limits, brim_cm=cm), 0.1),
    "edge circumference": _tolerance(lambda limits, cm: replace(limits, edge_cm=cm), 0.1),
    "flare": _tolerance(lambda limits, deg: replace(limits, flare_deg=deg), 1.0),
}
"""Those whose change is one number, how far off is allowed."""

_WIDEN: dict[Requirement, Widen] = {
    **TOLERANCES,
    "repeat width": _repeat_width,
    "nudge": _nudge,
    "part round": _part_round,
    "second rate": _second_rate,
    "edging repeat": _edging,
    "brim sectors": _brim_sectors,
    "crown sectors": _crown_sectors,
    "start count": _start_count,
    "firm rounds": _firm_rounds,
    "brim rhythm": _rhythm,
    "rounds": _rounds,
    "give": _give,
}
