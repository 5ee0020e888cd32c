"""Measures any tally against a piece: the specification of what is allowed and what it costs.

Plain functions over a tally, whoever made it. The search and the integer model are tested
against this module; every candidate shown has been through it and through the recount.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import pi
from types import MappingProxyType
from typing import TypedDict

from . import geometry, price
from .candidate import PARTS, BandMeasure, Measures, Nudge
from .judge import (
    Judged,
    Worked,
    around_parts,
    depth_um,
    edging_fits,
    judged_places,
    pair,
    repeat_of,
    section_around_um,
    side_place,
    stitch_width_cm,
)
from .notice import notices
from .piece import Band, Brim, Crown, Edging, Piece
from .require import breaches, flare_of
from .tally import Tally
from .units import MM
from .yarn import yarn_of


def measure(piece: Piece, tally: Tally) -> Measures:
    """Measure a tally of every section of the piece, in order.

    Raises ValueError where its sections are not the piece's. What a requirement forbids is
    listed in ``breaches``, never raised.
    """
    worked = pair(piece, tally)
    judged = judged_places(piece, worked)
    depth = depth_um(worked)
    parts = _sum_parts(_all_parts(piece, worked, judged, depth))
    side = side_place(judged, worked)
    crown = next((w for w in worked if isinstance(w.spec, Crown)), None)
    brim = next((w for w in worked if isinstance(w.spec, Brim)), None)
    return Measures(
        side_count=side.count,
        around_cm=side.um / 10_000,
        around_wish_cm=None if side.wish_um is None else side.wish_um / 10_000,
        depth_cm=depth / 10_000,
        depth_wish_cm=piece.depth_cm,
        **_crown_measures(crown),
        **_brim_measures(piece, brim),
        bands=tuple(_band_measures(worked)),
        nudges=tuple(_nudges(worked)),
        round_widths_cm=tuple(_round_widths(worked)),
        yarn=yarn_of(piece, tally),
        cost_nm=sum(parts.values()),
        score_parts=MappingProxyType({p: parts[p] / MM for p in PARTS}),
        breaches=tuple(breaches(piece, worked, judged, depth)),
        notices=tuple(notices(piece, worked)),
    )


def _all_parts(
    piece: Piece, worked: Sequence[Worked], judged: Sequence[Judged], depth_um: int
) -> Iterator[price.Parts]:
    prices = piece.prices
    yield around_parts(piece, judged)
    yield price.depth_price(piece, depth_um)
    for w in worked:
        if w.nudge is not None:
            yield price.nudge_price(piece, w.nudge.count_out - w.nudge.count_in)
        if isinstance(w.spec, Crown):
            plan = price.crown_plan(w.tally.changes, w.tally.sectors or 0)
            yield price.crown_price(w.spec, prices, w.tally.changes, plan, piece.around_cm)
        elif isinstance(w.spec, Band):
            yield price.band_price(w.spec, prices, repeat_of(w))
        elif isinstance(w.spec, Brim):
            around = price.brim_around(w.spec, piece.around_cm, w.tally.count_in)
            yield price.brim_price(
                w.spec, prices, w.tally.count_in, w.tally.changes, around, w.tally.sectors or 0
            )
        elif isinstance(w.spec, Edging) and not w.spec.required and not edging_fits(w):
            yield {"edging": round(prices.edging * MM)}
    for first, second in pairwise(worked):
        yield price.step_price(prices, stitch_width_cm(first), stitch_width_cm(second))


def _sum_parts(tables: Iterator[price.Parts]) -> dict[str, int]:
    total = dict.fromkeys(PARTS, 0)
    for table in tables:
        for part, amount in table.items():
            total[part] += amount
    return total


class CrownFigures(TypedDict):
    """A crown's part of the measures."""

    fullness: float | None
    crown_slope: float | None
    crown_across_cm: float | None


def _crown_measures(crown: Worked | None) -> CrownFigures:
    if crown is None or not isinstance(crown.spec, Crown):
        return CrownFigures(fullness=None, crown_slope=None, crown_across_cm=None)
    gauge, changes = crown.spec.gauge, crown.tally.changes
    stop = max((i for i, change in enumerate(changes, 1) if change > 0), default=1)
    return CrownFigures(
        fullness=price.crown_fullness(crown.spec, changes),
        crown_slope=geometry.crown_slope(changes, gauge.width_cm, gauge.height_cm),
        crown_across_cm=crown.spec.hole_cm + 2 * stop * gauge.height_cm,
    )


class BrimFigures(TypedDict):
    """A brim's part of the measures."""

    brim_cm: float | None
    brim_wish_cm: float | None
    flare_deg: float | None
    flare_wish_deg: float | None
    over_flat: bool
    brim_fullness: float | None
    brim_slope: float | None
    edge_cm: float | None
    edge_wish_cm: float | None


NO_BRIM = BrimFigures(
    brim_cm=None,
    brim_wish_cm=None,
    flare_deg=None,
    flare_wish_deg=None,
    over_flat=False,
    brim_fullness=None,
    brim_slope=None,
    edge_cm=None,
    edge_wish_cm=None,
)


def _brim_measures(piece: Piece, w: Worked | None) -> BrimFigures:
    if w is None or not isinstance(w.spec, Brim):
        return NO_BRIM
    brim, tally = w.spec, w.tally
    width, height = brim.gauge.width_cm, brim.gauge.height_cm
    degrees, over = flare_of(brim, tally)
    slant = tally.rounds * height
    around = price.brim_around(brim, piece.around_cm, tally.count_in)
    return BrimFigures(
        brim_cm=slant,
        brim_wish_cm=brim.width_cm,
        flare_deg=degrees,
        flare_wish_deg=brim.flare_deg,
        over_flat=over,
        brim_fullness=geometry.fullness(
            tally.count_out, width, tally.count_in * width / (2 * pi) + slant
        ),
        brim_slope=geometry.brim_slope(tally.changes, width, height),
        edge_cm=tally.count_out * width,
        edge_wish_cm=price.edge_wish_cm(brim, around),
    )


def _band_measures(worked: Sequence[Worked]) -> Iterator[BandMeasure]:
    for w in worked:
        if isinstance(w.spec, Band) and w.tally.repeat and w.tally.repeats:
            give = w.tally.give if w.spec.figure.has_give else None
            around = section_around_um(w.spec, w.tally, w.tally.count_in)
            repeat_cm = price.repeat_um(w.spec, w.tally.repeat) / 10_000
            yield BandMeasure(
                name=w.tally.name,
                repeat=w.tally.repeat,
                repeats=w.tally.repeats,
                give=give,
                repeat_cm=repeat_cm,
                wish_cm=w.spec.repeat_wish_cm,
                around_cm=around / 10_000,
                remainder=w.spec.remainder,
            )


def _nudges(worked: Sequence[Worked]) -> Iterator[Nudge]:
    for w in worked:
        if w.nudge is not None:
            change = w.nudge.count_out - w.nudge.count_in
            yield Nudge(w.tally.name, w.first_round - 1, w.nudge.count_in, change)


def _round_widths(worked: Sequence[Worked]) -> Iterator[float]:
    before = worked[0].spec.gauge.width_cm
    for w in worked:
        if w.nudge is not None:
            yield w.nudge.count_out * before
        before = stitch_width_cm(w)
        for count in w.tally.counts:
            yield count * before
