"""What it means to give a requirement up altogether, for telling which of them conflict.

Wider than a way out would go (``relax``): a requirement that is left out must not be able to stand
in the way. Every one is still a limit, so that the search stays finite.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from .candidate import Requirement
from .piece import Band, Brim, Limits, Piece, Rhythm, Section
from .price import edge_wish_cm
from .relax import FURTHER, RELAXINGS, Relaxing, each_section, of_brim, of_limits

EVERY_RHYTHM = (*(Rhythm(1, block) for block in range(1, 6)), Rhythm(2, 3))


def _any_give(section: Section) -> Section:
    if isinstance(section, Band) and section.figure.has_give:
        return replace(section, give_range=(0, max(30, section.give_range[1])))
    return section


def _any_rhythm(brim: Brim) -> Brim:
    return replace(brim, rhythms=tuple(dict.fromkeys((*brim.rhythms, *EVERY_RHYTHM))))


def _far_nudge(limits: Limits) -> Limits:
    return replace(
        limits,
        nudge_stitches=max(8, limits.nudge_stitches),
        nudge_share=max(0.10, limits.nudge_share),
        nudge_apart=min(1, limits.nudge_apart),
    )


ALTOGETHER: dict[Requirement, Relaxing] = {
    **RELAXINGS,
    **FURTHER,
    "nudge": of_limits(_far_nudge),
    "give": each_section(_any_give),
    "brim rhythm": of_brim(_any_rhythm),
}
"""Every requirement that can be given up, and the piece without it."""

OF_THE_END: tuple[Requirement, ...] = (
    "edging repeat",
    "brim sectors",
    "brim rhythm",
    "flare",
    "edge circumference",
    "firm rounds",
    "brim width",
)
"""What only the brim and the edging have to meet."""

# tried in this order: while those that would make the tables wide are kept, the rest is cheap
ORDER: tuple[Requirement, ...] = (
    "circumference",
    "repeat",
    "nudge",
    "crown sectors",
    "start count",
    "part round",
    "second rate",
    "repeat width",
    "give",
    *OF_THE_END,
    "rounds",
    "depth",
)


def _by_angle(piece: Piece) -> bool | None:
    """Whether the brim's flare is judged in degrees; None without a brim."""
    brim = next((s for s in piece.sections if isinstance(s, Brim)), None)
    return None if brim is None else edge_wish_cm(brim, piece.around_cm or 0.0) is None


_SAID: dict[Requirement, Callable[[Piece], bool]] = {
    "repeat width": lambda piece: any(
        isinstance(s, Band) and s.repeat_wish_cm is not None for s in piece.sections
    ),
    "flare": lambda piece: _by_angle(piece) is True,
    "edge circumference": lambda piece: _by_angle(piece) is False,
    "brim width": lambda piece: _by_angle(piece) is not None,
    "depth": lambda piece: piece.depth_cm is not None,
}
"""Tolerances there always are, and whether the piece says what they are of."""


def asked_for(piece: Piece) -> tuple[Requirement, ...]:
    """The requirements a piece has: what it says something of, and whose giving up changes it."""
    return tuple(
        name
        for name in ORDER
        if (name not in _SAID or _SAID[name](piece)) and ALTOGETHER[name](piece) != piece
    )


def without(piece: Piece, names: Iterable[Requirement]) -> Piece:
    """The piece with these given up altogether."""
    given_up = set(names)
    for name in ORDER:
        if name in given_up:
            piece = ALTOGETHER[name](piece)
    return piece


def possible_without(
    piece: Piece, names: Iterable[Requirement], possible: Callable[[Piece], bool]
) -> bool:
    """Whether a piece is possible with these given up altogether, or fewer of them.

    Giving up more never hurts, but for one: without its repeat a band lies as wide as the
    swatch's stitches on average, and with give, plain stitches are wider or narrower than those.
    """
    given_up = set(names)
    if possible(without(piece, given_up)):
        return True
    uneven = any(
        isinstance(s, Band) and s.measured_repeat_cm is not None and s.figure.has_give
        for s in piece.sections
    )
    if "repeat" not in given_up or not uneven:
        return False
    return possible(without(piece, given_up - {"repeat"}))
