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


def pictures(plan: Plan, candidate: Candidate, unit: Unit) -> tuple[Picture, ...]:
    """Each drawing with its caption; colours come with the page, once for all."""
    made = []
    for kind, caption, function in _wanted(plan, candidate):
        try:
            svg = function(unit=unit, styled=False)
        except draw.NotDrawnError:
            continue
        made.append(Picture(svg, caption, kind=kind))
    return tuple(made)


def _wanted(plan: Plan, candidate: Candidate) -> Iterator[tuple[str, str, Draw]]:
    yield "side", "From the side, to scale", partial(draw.side_view, plan, candidate)
    if candidate.tally.crown is not None:
        yield "crown", "The crown from above", partial(draw.crown_view, plan, candidate)
    yield "counts", "Stitches, round by round", partial(draw.counts_plot, plan, candidate)
    if candidate.tally.crown is not None:
        yield "sector", "One sector of the crown", partial(draw.sector_chart, plan, candidate)
    for section in draw.charted_sections(plan, candidate):
        name = clean(plan.piece.sections[section].name)
        caption = f"Two repeats: {name}"
        yield "band", caption, partial(draw.band_chart, plan, candidate, section)
