"""What to warn of, never a refusal: fullness, slope, widths that step, stuck counts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from . import geometry, price
from .candidate import Notice
from .judge import Worked, edging_fits, stitch_width_cm
from .piece import Brim, Crown, Edging, Piece
from .tally import SectionTally

SHAPE_LIMIT = 0.10  # mean difference of fullness from a half sphere


def notices(piece: Piece, worked: Sequence[Worked]) -> Iterator[Notice]:
    """Every warning of a tally, section by section."""
    for w in worked:
        if isinstance(w.spec, Crown):
            yield from _crown_notices(piece, w.spec, w.tally)
        elif isinstance(w.spec, Brim):
            around = price.brim_around(w.spec, piece.around_cm, w.tally.count_in)
            yield from _brim_notices(w.spec, w.tally, around)
        elif isinstance(w.spec, Edging) and not w.spec.required and not edging_fits(w):
            yield Notice("edging", w.tally.name, w.tally.count_in, w.spec.figure.counts[0])
    for first, second in pairwise(worked):
        percent = price.step_percent(stitch_width_cm(first), stitch_width_cm(second))
        if percent > price.STEP_WARNED:
            yield Notice("width step", second.tally.name, percent, price.STEP_WARNED)


def _crown_notices(piece: Piece, crown: Crown, tally: SectionTally) -> Iterator[Notice]:
    miss = price.crown_fullness_miss(crown, tally.changes, piece.around_cm)
    full = price.crown_fullness(crown, tally.changes)
    ends = price.FULLNESS_RANGE.get(crown.shape)
    if ends is None and miss > SHAPE_LIMIT:
        yield Notice("shape", tally.name, miss, SHAPE_LIMIT)
    if ends is not None and miss > 1e-9:
        yield Notice("fullness", tally.name, full, ends[0] if full < ends[0] else ends[1])
    gauge = crown.gauge
    steepest = geometry.crown_slope(tally.changes, gauge.width_cm, gauge.height_cm)
    yield from _slope_notice(tally.name, steepest, price.SLOPE_LIMIT)


def _brim_notices(brim: Brim, tally: SectionTally, around: float) -> Iterator[Notice]:
    gauge = brim.gauge
    steepest = geometry.brim_slope(tally.changes, gauge.width_cm, gauge.height_cm)
    yield from _slope_notice(tally.name, steepest, price.brim_slope_limit(brim, around))
    if price.is_stuck(brim, tally.count_in):
        yield Notice("stuck brim", tally.name, tally.count_in, 0)
    if tally.sectors is not None and tally.sectors < 6:
        yield Notice("corners", tally.name, tally.sectors, 6)


def _slope_notice(name: str, steepest: float | None, limit: float) -> Iterator[Notice]:
    if steepest is not None and steepest > limit + 1e-9:
        strong = max(limit, price.SLOPE_STRONG)
        yield Notice("slope", name, steepest, limit, steepest > strong)
