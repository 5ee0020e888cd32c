"""A brief made ready for the solver, with the words that numbers alone cannot carry."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from evenround.solver.piece import Piece
from evenround.solver.sure import Slip

from .rounds.figures import FigureRounds

Unit = Literal["cm", "in"]


@dataclass(frozen=True, slots=True)
class Plan:
    """One size of one brief.

    ``piece`` is what the solver works on. ``unit`` is the brief's own. ``over_cm`` is what its
    body gauge was stated over (10 or 10.16), ``gauge_stitches`` its stitches over that.
    ``section_stitches`` has the stitch's US abbreviation of every section of the piece, in
    order. ``assumptions`` are sentences about what nobody measured, ``notes`` about how the
    brief was read (a dropped "+ 1", the flags that replaced fields, the size picked).
    ``sizes`` names all sizes of the brief. ``section_rounds`` has for every section its figure
    in rounds, named or the brief's own; None where only counts were said, or nothing.
    ``slips`` says of every section how its gauge may slip, ``spread_words`` where that is known
    from; ``stretch`` is how far the fabric gives, as a share, where said.
    """

    title: str
    size: str
    sizes: tuple[str, ...]
    head_cm: float | None
    ease_cm: float | None
    unit: Unit
    over_cm: float
    gauge_stitches: float
    gauge_assumed: bool
    terms: Literal["us", "uk"]
    joined: bool
    piece: Piece
    section_stitches: tuple[str, ...]
    openwork: bool
    assumptions: tuple[str, ...]
    notes: tuple[str, ...]
    section_rounds: tuple[FigureRounds | None, ...] = ()
    slips: tuple[Slip, ...] = ()
    spread_words: tuple[str, ...] = ()
    stretch: float | None = None
