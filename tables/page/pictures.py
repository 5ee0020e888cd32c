"""The drawings of one candidate, in the order a maker meets them.

A piece has no crown, or no band: what cannot be drawn is left out, and so is its place.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from evenround.solver.candidate import Candidate
from evenround.tables import draw
from evenround.tables.plan import Plan, Unit
from evenround.tables.words import clean

from .views import Picture

Draw = Callable[..., str]


def pictures(
    plan: Plan, candidate: Candidate, unit: Unit, *, left_handed: bool = False
) -> tuple[Picture, ...]:
    """Each drawing with its caption; colours come with the page, once for all."""
    made = []
    for kind, caption, function in _wanted(plan, candidate, unit, left_handed):
        try:
            svg = function(styled=False)
        except draw.NotDrawnError:
            continue
        made.append(Picture(svg, caption, kind))
    return tuple(made)


def _wanted(
    plan: Plan, candidate: Candidate, unit: Unit, left_handed: bool
) -> Iterator[tuple[str, str, Draw]]:
    def handed(function: Draw, *more: int | Unit) -> Draw:
        return partial(function, plan, candidate, *more, left_handed=left_handed)

    yield "side", "From the side, to scale", partial(draw.side_view, plan, candidate, unit)
    if candidate.tally.crown is not None:
        yield "crown", "The crown from above", handed(draw.crown_view, unit)
    yield "counts", "Stitches, round by round", partial(draw.counts_plot, plan, candidate, unit)
    if candidate.tally.crown is not None:
        yield "sector", "One sector of the crown", handed(draw.sector_chart)
    for section in draw.charted_sections(plan, candidate):
        name = clean(plan.piece.sections[section].name)
        yield "band", f"Stitch chart: {name}", handed(draw.band_chart, section, unit)
