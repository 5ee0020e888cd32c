"""What each section costs, as plain functions over its tally: the specification of the score.

Every function returns ``{part: cost}`` in whole 1e-6 mm; the search's tables, the measuring and
the tests all call these, the integer model is held against them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi, radians, sin

from . import geometry
from .piece import Band, Brim, Crown, Even, Gauge, Piece, Prices
from .units import cost, micrometres, per_mm

FULLNESS_RANGE = {"flat": (0.95, 1.05), "domed": (0.85, 0.95)}
SLOPE_LIMIT = 1.10
SLOPE_STRONG = 1.25
STEP_PRICED = 3.0  # per cent
STEP_WARNED = 5.0
STEEPEST_BY_ANGLE = 60.0  # degrees; wishes above are judged by the edge's circumference

Parts = dict[str, int]


@dataclass(frozen=True, slots=True)
class CrownPlan:
    """What a crown's changes amount to: first rate, slower rates, part round, double rounds."""

    sectors: int
    slower: int
    part: bool
    doubles: int

    @property
    def special(self) -> int:
        """How many things beyond one plain rate."""
        return self.slower + self.part + self.doubles


def crown_plan(changes: Sequence[int], sectors: int) -> CrownPlan:
    """Read a crown's changes: rounds of ``sectors``, doubled ones, slower ones; the last slower
    rate is a part round when it is worked once."""
    rest = changes[1:]
    if rest.count(sectors) == len(rest):  # by far the most, and quickly told
        return CrownPlan(sectors, 0, False, 0)
    others = [c for c in rest if c not in (0, sectors, 2 * sectors)]
    part = bool(others) and 0 < others[-1] < sectors and others.count(others[-1]) == 1
    slower = len(set(others)) - part
    return CrownPlan(sectors, slower, part, rest.count(2 * sectors))


def outside(value: float, low: float, high: float) -> float:
    """How far a value lies outside a range."""
    return max(low - value, value - high, 0.0)


def crown_price(
    crown: Crown, prices: Prices, changes: Sequence[int], plan: CrownPlan, around: float | None
) -> Parts:
    """Fullness (or distance from the half sphere), slope, special rounds, sectors off the wish."""
    parts = Parts()
    width, height = crown.gauge.width_cm, crown.gauge.height_cm
    parts["fullness"] = cost(prices.fullness, 100 * crown_fullness_miss(crown, changes, around))
    steepest = geometry.crown_slope(changes, width, height)
    parts["slope"] = slope_price(prices, steepest, SLOPE_LIMIT)
    parts["second_rate"] = cost(prices.second_rate, plan.slower)
    parts["part_round"] = cost(prices.part_round, plan.part)
    parts["double_round"] = cost(prices.double_round, plan.doubles)
    if crown.sectors_wished is not None:
        parts["sectors"] = cost(prices.sectors, abs(plan.sectors - crown.sectors_wished))
    return parts


def crown_fullness(crown: Crown, changes: Sequence[int]) -> float:
    """Fullness at the last increase round."""
    stop = max((i for i, change in enumerate(changes, 1) if change > 0), default=len(changes))
    reach = crown.hole_cm / 2 + stop * crown.gauge.height_cm
    return geometry.fullness(sum(changes[:stop]), crown.gauge.width_cm, reach)


def crown_fullness_miss(crown: Crown, changes: Sequence[int], around: float | None) -> float:
    """How far the fullness lies outside its shape's range, or from the half sphere."""
    if crown.shape != "half sphere":
        return outside(crown_fullness(crown, changes), *FULLNESS_RANGE[crown.shape])
    counts, total = [], 0
    for change in changes:
        total += change
        counts.append(total)
    gauge = crown.gauge
    full = around if around is not None else total * gauge.width_cm
    return geometry.half_sphere_distance(
        counts, gauge.width_cm, gauge.height_cm, crown.hole_cm / 2, full
    )


def slope_price(prices: Prices, steepest: float | None, limit: float) -> int:
    """Price of a slope over its limit."""
    return 0 if steepest is None else cost(prices.slope, 100 * max(0.0, steepest - limit))


def band_price(band: Band, prices: Prices, repeat: int) -> Parts:
    """Width of a repeat, at the body's gauge, against the wish."""
    if band.repeat_wish_cm is None:
        return {}
    miss = abs(repeat_um(band, repeat) - micrometres(band.repeat_wish_cm))
    return {"repeat_width": per_mm(prices.repeat_width, miss)}


def repeat_um(band: Band, repeat: int) -> int:
    """Width of a repeat in micrometres at the body's gauge."""
    return micrometres(repeat * (band.wish_width_cm or band.gauge.width_cm))


def band_around_um(band: Band, count: int, repeats: int, give: int) -> int:
    """A band's circumference where it begins or ends: by its measured repeat if there is one."""
    width = band.gauge.width_cm
    if band.measured_repeat_cm is None:
        return micrometres(count * width)
    repeat = band.measured_repeat_cm + (give - band.measured_give) * width
    return micrometres(repeats * repeat + band.remainder * width)


def band_width_cm(band: Band, repeat: int, give: int) -> float:
    """Width of one place of a band: by its measured repeat if there is one."""
    if band.measured_repeat_cm is None:
        return band.gauge.width_cm
    width = band.gauge.width_cm
    return (band.measured_repeat_cm + (give - band.measured_give) * width) / repeat


def edge_wish_cm(brim: Brim, around: float) -> float | None:
    """Wished edge circumference, where the wish is above 60 degrees or a fullness."""
    if brim.fullness is not None:
        return brim.fullness * (around + 2 * pi * brim.width_cm)
    assert brim.flare_deg is not None
    if brim.flare_deg <= STEEPEST_BY_ANGLE:
        return None
    return around + 2 * pi * brim.width_cm * sin(radians(brim.flare_deg))


def brim_around(brim: Brim, piece_around: float | None, count_in: int) -> float:
    """The circumference a brim's wish starts from: the head's, or what there is."""
    return piece_around if piece_around is not None else count_in * brim.gauge.width_cm


def brim_price(
    brim: Brim, prices: Prices, count_in: int, changes: Sequence[int], around: float, sectors: int
) -> Parts:
    """Width, flare (or edge radius), slope, sectors off the wish, a stuck count."""
    width, height = brim.gauge.width_cm, brim.gauge.height_cm
    slant_um = len(changes) * micrometres(height)
    parts = Parts()
    miss = abs(slant_um - micrometres(brim.width_cm))
    parts["brim_width"] = per_mm(prices.brim_width, miss)
    edge_wish = edge_wish_cm(brim, around)
    if edge_wish is None:
        assert brim.flare_deg is not None
        degrees, _ = geometry.flare(sum(changes), width, len(changes) * height)
        parts["flare"] = cost(prices.flare, abs(degrees - brim.flare_deg))
    else:
        off = abs(micrometres((count_in + sum(changes)) * width) - micrometres(edge_wish))
        parts["edge"] = round(per_mm(prices.edge, off) / (2 * pi))
    steepest = geometry.brim_slope(changes, width, height)
    parts["slope"] = slope_price(prices, steepest, brim_slope_limit(brim, around))
    if brim.sectors_wished is not None and sectors:
        parts["sectors"] = cost(prices.sectors, abs(sectors - brim.sectors_wished))
    parts["stuck_brim"] = cost(prices.stuck_brim, is_stuck(brim, count_in))
    return parts


def brim_slope_limit(brim: Brim, around: float) -> float:
    """1.10, or where ripples were asked for 1.10 of the slope that gives them."""
    if brim.fullness is None:
        return SLOPE_LIMIT
    grown = brim.fullness * (around + 2 * pi * brim.width_cm) - around
    return SLOPE_LIMIT * max(1.0, grown / (2 * pi * brim.width_cm))


def is_stuck(brim: Brim, count: int) -> bool:
    """Whether no allowed number of brim sectors divides the count."""
    low, high = brim.sector_range
    return all(count % sectors for sectors in range(low, high + 1))


def nudge_price(piece: Piece, change: int) -> Parts:
    """A nudge and its stitches; nothing where nudges are the shaping."""
    if piece.nudges_shape or change == 0:
        return {}
    prices = piece.prices
    return {"nudge": cost(prices.nudge, 1) + cost(prices.nudge_stitch, abs(change))}


def step_percent(first: float, second: float) -> float:
    """By how many per cent two stitch widths differ, the narrower one as the base."""
    return (max(first, second) / min(first, second) - 1) * 100


def step_price(prices: Prices, first: float, second: float) -> Parts:
    """Sections that meet at one count but not at one width."""
    over = max(0.0, step_percent(first, second) - STEP_PRICED)
    return {"width_step": cost(prices.width_step, over)}


def depth_price(piece: Piece, depth_um: int) -> Parts:
    """Depth along the fabric against the wish."""
    if piece.depth_cm is None:
        return {}
    return {"depth": per_mm(piece.prices.depth, abs(depth_um - micrometres(piece.depth_cm)))}


def one_round(piece: Piece) -> Gauge:
    """The gauge whose round is the default depth tolerance: the first even section's, else the
    first section's."""
    evens = (section for section in piece.sections if isinstance(section, Even))
    return next(evens, piece.sections[0]).gauge


def depth_limit_um(piece: Piece) -> int:
    """Depth tolerance in micrometres: one round if nothing else was said."""
    limit = piece.limits.depth_cm
    return micrometres(limit if limit is not None else one_round(piece).height_cm)


def brim_limit_um(piece: Piece, brim: Brim) -> int:
    """Brim width tolerance in micrometres: one round if nothing else was said."""
    limit = piece.limits.brim_cm
    return micrometres(limit if limit is not None else brim.gauge.height_cm)


def total(*parts: Parts) -> int:
    """Sum of all parts of all tables."""
    return sum(sum(part.values()) for part in parts)
