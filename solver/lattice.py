"""What a crown, a brim and a band can reach whatever the gauge: enumerated once for many yarns.

The counts are the same for every yarn; only what they measure differs. So the rows are kept as
sorted whole-number arrays, a slice of which is priced for each yarn and size (rank_score).
numpy is imported when a lattice is made.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from math import pi
from typing import Any

from . import price
from .ends import edging_cost
from .geometry import CROWN_WINDOW, brim_slope
from .nudge import nudge_limit, part_sectors
from .piece import Band, Brim, Crown, Edging, Gauge, Piece, Rhythm
from .rows import CrownRow, crown_rows, divisors, rhythm_changes
from .units import cost

NEVER = 1 << 56
"""More than any design costs; a few of them added still fit 64 bits."""

Array = Any  # numpy's arrays, which are not imported before they are needed


@dataclass(frozen=True, slots=True)
class Crowns:
    """Crowns by count: of those that no gauge could tell apart, the cheapest.

    Whole-number arrays, one entry a crown: ``count``, ``rounds``, the steepest part as
    ``grown`` stitches over ``over`` rounds (0 and 1 where there is none), ``fixed`` price in
    1e-6 mm, ``plain`` (sectors of a crown that may still get a part round, else 0). ``first``
    has for every count from ``low`` on where its crowns begin; ``low`` + len - 1 is the end.
    """

    low: int
    first: Array
    count: Array
    rounds: Array
    grown: Array
    over: Array
    fixed: Array
    plain: Array


def crowns_of(piece: Piece, crown: Crown, low: int, high: int) -> Crowns:
    """Every crown that stops on a count within the window."""
    some_gauge = replace(crown, gauge=Gauge(1.0, 1.0))  # the rows are the same for every gauge
    kept: dict[tuple[int, int, int], set[tuple[int, int, int]]] = {}
    for row in crown_rows(piece, some_gauge, low, high):
        plain = part_sectors(crown, row.sectors, row.special)
        key = (row.count, len(row.changes), plain)
        kept.setdefault(key, set()).add((*_steepest(row), _fixed(piece, crown, row)))
    rows = sorted(
        (*key[:2], *each, key[2]) for key, found in kept.items() for each in _undominated(found)
    )
    count, rounds, grown, over, fixed, plain = _columns(rows, 6)
    return Crowns(low, _firsts(count, low, high), count, rounds, grown, over, fixed, plain)


def _steepest(row: CrownRow) -> tuple[int, int]:
    """The steepest part of a crown, as geometry.crown_slope reads it."""
    grown = row.changes[1:]
    if len(grown) <= CROWN_WINDOW:
        return sum(grown), max(1, len(grown))
    most = max(sum(grown[i : i + CROWN_WINDOW]) for i in range(len(grown) - CROWN_WINDOW + 1))
    return most, CROWN_WINDOW


def _fixed(piece: Piece, crown: Crown, row: CrownRow) -> int:
    """The part of a crown's price that no gauge changes."""
    prices, plan = piece.prices, price.crown_plan(row.changes, row.sectors)
    total = cost(prices.second_rate, plan.slower) + cost(prices.part_round, plan.part)
    total += cost(prices.double_round, plan.doubles)
    if crown.sectors_wished is not None:
        total += cost(prices.sectors, abs(row.sectors - crown.sectors_wished))
    return total


def _undominated(rows: Iterable[tuple[int, int, int]]) -> list[tuple[int, int, int]]:
    """(grown, over, fixed) of which no other over as many rounds is as flat and as cheap."""
    out: list[tuple[int, int, int]] = []
    for row in sorted(rows):
        if not any(o[1] == row[1] and o[0] <= row[0] and o[2] <= row[2] for o in out):
            out.append(row)
    return out


def _columns(rows: Sequence[tuple[int, ...]], width: int) -> list[Array]:
    import numpy as np

    table = np.array(rows, dtype=np.int64).reshape(len(rows), width)
    return [np.ascontiguousarray(table[:, i]) for i in range(width)]


def _firsts(count: Array, low: int, high: int) -> Array:
    """Where the rows of each count from low to high begin, and where the last ones end."""
    import numpy as np

    return np.searchsorted(count, np.arange(low, high + 2))


@dataclass(frozen=True, slots=True)
class Brims:
    """Ways to shape a brim by the count it is worked on: ``grown`` stitches in all over the
    first ``shaped`` rounds by ``sectors``, in the manner ``way`` (row of ``sums``, ``overs``).

    ``sums[way, tail]`` stitches a sector over ``overs[way, tail]`` rounds are the steepest part
    where ``tail`` plain rounds follow. ``stuck`` has a price for every count from ``low`` on.
    """

    low: int
    first: Array
    count: Array
    grown: Array
    shaped: Array
    sectors: Array
    way: Array
    fixed: Array
    sums: Array
    overs: Array
    stuck: Array


def brims_of(piece: Piece, brim: Brim, low: int, high: int, longest: int) -> Brims:
    """Every shaping of at most ``longest`` rounds on every count within the window."""
    import numpy as np

    ways = _ways(brim.rhythms, longest)
    tails = range(longest + 1)
    read = [[_steepest_block(*way, tail) for tail in tails] for way in ways]
    lengths = [len(rhythm_changes(1, *way)) if way[1] else 0 for way in ways]
    rows = []
    for count in range(low, high + 1):
        rows.append((count, 0, 0, 0, 0, 0))
        for sectors in divisors(count, *brim.sector_range):
            off = 0 if brim.sectors_wished is None else abs(sectors - brim.sectors_wished)
            fixed = cost(piece.prices.sectors, off)
            for i, (_, times) in enumerate(ways):
                if times:
                    rows.append((count, sectors * times, lengths[i], sectors, i, fixed))
    count, grown, shaped, sector, way, price_of = _columns(rows, 6)
    stuck = [cost(piece.prices.stuck_brim, price.is_stuck(brim, n)) for n in range(low, high + 1)]
    table = np.array(read, dtype=np.int64)
    return Brims(
        low,
        _firsts(count, low, high),
        count,
        grown,
        shaped,
        sector,
        way,
        price_of,
        np.ascontiguousarray(table[:, :, 0]),
        np.ascontiguousarray(table[:, :, 1]),
        np.array(stuck, dtype=np.int64),
    )


def _ways(rhythms: Iterable[Rhythm], longest: int) -> list[tuple[Rhythm, int]]:
    """Every rhythm with every number of increase rounds; the first has none."""
    out = [(Rhythm(1, 1), 0)]
    for rhythm in sorted(rhythms, key=lambda r: (r.block, r.increases)):
        for times in range(1, longest + 1):
            if len(rhythm_changes(1, rhythm, times)) > longest:
                break
            out.append((rhythm, times))
    return out


@cache
def _steepest_block(rhythm: Rhythm, times: int, tail: int) -> tuple[int, int]:
    """The steepest block of a brim of one sector, as geometry.brim_slope reads it: stitches
    over rounds."""
    changes = (*(rhythm_changes(1, rhythm, times) if times else ()), *[0] * tail)
    slope = brim_slope(changes, 1.0, 1.0)
    if slope is None:
        return 0, 1
    share = Fraction(slope * 2 * pi).limit_denominator(1000)
    return share.numerator, share.denominator


@dataclass(frozen=True, slots=True)
class Fits:
    """Ways a band closes, by the count it is worked on; without a band one a count.

    ``repeat`` 0 is no band. ``first`` as in Crowns.
    """

    low: int
    first: Array
    count: Array
    give: Array
    repeat: Array
    repeats: Array
    out: Array


def fits_of(band: Band | None, low: int, high: int) -> Fits:
    """Every way a band closes on a count within the window, whatever its widths."""
    rows = list[tuple[int, ...]]()
    for count in range(low, high + 1):
        if band is None:
            rows.append((count, 0, 0, 0, count))
            continue
        for give in range(band.give_range[0], band.give_range[1] + 1):
            per_repeat = band.figure.at(give)
            if per_repeat[0] < 1:
                continue
            repeats, over = divmod(count - band.remainder, per_repeat[0])
            if over or repeats < 1 or (band.even_repeats and repeats % 2):
                continue
            out = repeats * per_repeat[-1] + band.remainder
            rows.append((count, give, per_repeat[0], repeats, out))
    count_, give_, repeat, repeats_, out_ = _columns(rows, 5)
    return Fits(low, _firsts(count_, low, high), count_, give_, repeat, repeats_, out_)


@dataclass(frozen=True, slots=True)
class Counts:
    """What hangs on a count alone, for counts from 0 on: the largest ``nudge`` on it, the
    ``edge`` (what an edging costs right on it) and ``mended`` (with a nudge before it). And the
    ``nudge_cost`` of so many stitches, whichever way."""

    nudge_cost: Array
    nudge: Array
    edge: Array
    mended: Array


def counts_of(piece: Piece, edging: Edging | None, most: int) -> Counts:
    """The tables for counts from 0 to ``most``."""
    import numpy as np

    reach = range(piece.limits.nudge_stitches + 1)
    nudge_cost = [price.total(price.nudge_price(piece, n)) for n in reach]
    nudge = [nudge_limit(piece, count) for count in range(most + 1)]
    edge = [_edge(piece, edging, count) for count in range(most + 1)]
    mended = [NEVER] * (most + 1)
    if edging is not None:
        for count, limit in enumerate(nudge):
            for n in (n for n in range(-limit, limit + 1) if n):
                with_it = nudge_cost[abs(n)] + _edge(piece, edging, count + n)
                mended[count] = min(mended[count], with_it)
    return Counts(*(np.array(each, dtype=np.int64) for each in (nudge_cost, nudge, edge, mended)))


def _edge(piece: Piece, edging: Edging | None, count: int) -> int:
    found = edging_cost(piece, edging, count)
    return NEVER if found is None else found
