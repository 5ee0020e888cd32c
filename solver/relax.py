"""A piece with one requirement given up, for each requirement by its name.

Giving up is widening a limit far, never dropping it from the books: what is found is measured
against the piece as asked, and the measuring says by how much the requirement is missed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from .candidate import Requirement
from .piece import Band, Brim, Crown, Edging, Even, Figure, Limits, Piece, Section

Relaxing = Callable[[Piece], Piece]
USUAL = Limits()
ANOTHER_FIGURE = 0.33
"""By what share of its width a repeat may differ and still be the same figure."""
NO_WISH = 1e6
"""A share no repeat is off a wished width: a wish may be a slip, even of ten times."""


def of_limits(widen: Callable[[Limits], Limits]) -> Relaxing:
    """A piece with its limits widened."""
    return lambda piece: replace(piece, limits=widen(piece.limits))


def of_crown(widen: Callable[[Crown], Crown]) -> Relaxing:
    """A piece with its crown widened."""
    return each_section(lambda s: widen(s) if isinstance(s, Crown) else s)


def of_brim(widen: Callable[[Brim], Brim]) -> Relaxing:
    """A piece with its brim widened."""
    return each_section(lambda s: widen(s) if isinstance(s, Brim) else s)


def each_section(widen: Callable[[Section], Section]) -> Relaxing:
    """A piece with every section widened."""
    return lambda piece: replace(piece, sections=tuple(map(widen, piece.sections)))


def wider_around(piece: Piece, share: float = 0.05) -> Piece:
    """The circumference tolerance widened by a share of the circumference."""
    around = piece.around_cm or max(
        (s.around_cm or 0 for s in piece.sections if isinstance(s, Even | Band)), default=0
    )
    limit = piece.limits.around_cm + share * around
    return replace(piece, limits=replace(piece.limits, around_cm=limit))


def _more_nudge(limits: Limits) -> Limits:
    return replace(
        limits,
        nudge_stitches=max(USUAL.nudge_stitches, limits.nudge_stitches),
        nudge_share=max(USUAL.nudge_share, limits.nudge_share),
    )


def _wider_repeats(limits: Limits) -> Limits:
    """A figure more than a third wider or narrower is another figure: no use as a tolerance."""
    return replace(limits, repeat_share=max(limits.repeat_share, ANOTHER_FIGURE))


def _any_repeat(section: Section) -> Section:
    if not isinstance(section, Band):
        return section
    ones = Figure((1,) * len(section.figure.counts), (0,) * len(section.figure.counts))
    measured = section.measured_repeat_cm
    if measured is not None:  # one stitch of the swatch's repeat
        measured /= section.figure.at(section.measured_give)[0]
    return replace(
        section,
        figure=ones,
        repeat_wish_cm=None,
        measured_repeat_cm=measured,
        measured_give=0,
        give_range=(0, 0),
        even_repeats=False,
        remainder=0,
    )


def _any_rounds(piece: Piece) -> Piece:
    """Up to twenty figures in a band; fewer where several bands share what is to be filled."""
    bands = sum(isinstance(section, Band) for section in piece.sections)
    figures = max(3, round(20 ** (1 / max(1, bands))))

    def widen(section: Section) -> Section:
        if isinstance(section, Band):
            whole = section.figure.rounds
            return replace(section, rounds=(whole, max(section.rounds[1], figures * whole)))
        return replace(section, rounds=(0, None)) if isinstance(section, Even) else section

    return replace(piece, sections=tuple(map(widen, piece.sections)))


def _wished_edging(section: Section) -> Section:
    return replace(section, required=False) if isinstance(section, Edging) else section


def _widened(allowed: tuple[int, int]) -> tuple[int, int]:
    """A range of sectors or starts given up: never narrower than it was."""
    return min(4, allowed[0]), max(24, allowed[1])


RELAXINGS: dict[Requirement, Relaxing] = {
    "repeat width": of_limits(_wider_repeats),
    "part round": of_crown(lambda crown: replace(crown, part_round=True)),
    "nudge": of_limits(_more_nudge),
    "second rate": of_crown(lambda crown: replace(crown, rates=2)),
    "edging repeat": each_section(_wished_edging),
    "brim sectors": of_brim(lambda brim: replace(brim, sector_range=_widened(brim.sector_range))),
    "flare": of_limits(lambda limits: replace(limits, flare_deg=max(15.0, limits.flare_deg))),
    "edge circumference": of_limits(
        lambda limits: replace(limits, edge_cm=max(20.0, limits.edge_cm))
    ),
    "brim width": of_limits(lambda limits: replace(limits, brim_cm=max(3.0, limits.brim_cm or 0))),
    "firm rounds": of_brim(lambda brim: replace(brim, firm_rounds=0)),
    "depth": of_limits(lambda limits: replace(limits, depth_cm=max(6.0, limits.depth_cm or 0))),
    "rounds": _any_rounds,
    "crown sectors": of_crown(
        lambda crown: replace(crown, sector_range=_widened(crown.sector_range))
    ),
    "start count": of_crown(lambda crown: replace(crown, start_range=_widened(crown.start_range))),
    "circumference": wider_around,
    "repeat": each_section(_any_repeat),
}
"""In the order in which a maker would give them up."""

MENDS_A_COUNT = tuple(name for name in RELAXINGS if name not in ("circumference", "repeat"))
"""What may make a count possible that already has the right circumference."""

MENDS_A_BODY: tuple[Requirement, ...] = ("repeat width", "nudge")
"""What may let sections below the crown have another count."""


FURTHER: dict[Requirement, Relaxing] = {
    "repeat width": of_limits(
        lambda limits: replace(limits, repeat_share=max(NO_WISH, limits.repeat_share))
    ),
    "circumference": lambda piece: wider_around(piece, 0.20),
    "flare": of_limits(lambda limits: replace(limits, flare_deg=max(90.0, limits.flare_deg))),
    "edge circumference": of_limits(
        lambda limits: replace(limits, edge_cm=max(1000.0, limits.edge_cm))
    ),
}
"""Given up altogether, to tell which requirement is in the way."""


def relaxed(piece: Piece, *, far: bool = False) -> Iterator[tuple[Requirement, Piece]]:
    """The piece with each requirement given up in turn, where that changes anything; ``far``:
    given up altogether, not only as far as would still be the same design."""
    for name, relax in (RELAXINGS | (FURTHER if far else {})).items():
        other = relax(piece)
        if other != piece:
            yield name, other
