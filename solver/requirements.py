"""What it means to give a requirement up altogether, for telling which of them conflict.

Wider than a way out would go (``relax``): a requirement that is left out must not be able to stand
in the way. Every one is still a limit, so that the search stays finite.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from .candidate import Requirement
from .piece import Band, Brim, Piece, Rhythm, Section
from .relax import FURTHER, RELAXINGS, Relaxing

EVERY_RHYTHM = (*(Rhythm(1, block) for block in range(1, 6)), Rhythm(2, 3))


def _any_give(piece: Piece) -> Piece:
    return replace(piece, sections=tuple(map(_give, piece.sections)))


def _give(section: Section) -> Section:
    if isinstance(section, Band) and section.figure.has_give:
        return replace(section, give_range=(0, max(30, section.give_range[1])))
    return section


def _any_rhythm(piece: Piece) -> Piece:
    sections = (
        replace(s, rhythms=tuple(dict.fromkeys((*s.rhythms, *EVERY_RHYTHM))))
        if isinstance(s, Brim)
        else s
        for s in piece.sections
    )
    return replace(piece, sections=tuple(sections))


def _far_nudge(piece: Piece) -> Piece:
    limits = piece.limits
    return replace(
        piece,
        limits=replace(
            limits,
            nudge_stitches=max(8, limits.nudge_stitches),
            nudge_share=max(0.10, limits.nudge_share),
            nudge_apart=min(1, limits.nudge_apart),
        ),
    )


ALTOGETHER: dict[Requirement, Relaxing] = {
    **RELAXINGS,
    **FURTHER,
    "nudge": _far_nudge,
    "give": _any_give,
    "brim rhythm": _any_rhythm,
}
"""Every requirement that can be given up, and the piece without it."""

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
    "edging repeat",
    "brim sectors",
    "brim rhythm",
    "flare",
    "edge circumference",
    "firm rounds",
    "brim width",
    "rounds",
    "depth",
)


def asked_for(piece: Piece) -> tuple[Requirement, ...]:
    """The requirements a piece has: those whose giving up changes it."""
    return tuple(name for name in ORDER if ALTOGETHER[name](piece) != piece)


def without(piece: Piece, names: Iterable[Requirement]) -> Piece:
    """The piece with these given up altogether."""
    given_up = set(names)
    for name in ORDER:
        if name in given_up:
            piece = ALTOGETHER[name](piece)
    return piece
