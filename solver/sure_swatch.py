"""What repeated measurements say: the mean, the spread, and what can be wrong with them.

Counts are read to the half stitch, so nothing is known better than such a reading: a spread is
never taken as less than half a stitch over the square root of 12 (the standard deviation of an
even distribution half a stitch wide).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import sqrt
from statistics import fmean, stdev

from .gauge import disc_gauge
from .piece import Gauge

READING = 0.5
"""Swatches are read to half a stitch (common practice, no source)."""

LEAST_SPREAD = READING / sqrt(12)
"""No spread is known to be less: the standard deviation of readings that wide."""

_RATIOS = (1.008, 1.024)  # half as much again and half as little as 4 in over 10 cm


@dataclass(frozen=True, slots=True)
class Repeated:
    """Measurements of one thing: how many, their mean, standard deviation, and the standard
    error of the mean. The last two are None for a single one."""

    count: int
    mean: float
    deviation: float | None
    error: float | None


def repeated(counts: Sequence[float]) -> Repeated:
    """Mean and spread (dividing by n - 1) of one or more measurements, ValueError for none."""
    if not counts:
        raise ValueError("counts: found none; at least one measurement is needed")
    mean = fmean(counts)
    if len(counts) == 1:
        return Repeated(1, mean, None, None)
    deviation = stdev(counts)
    return Repeated(len(counts), mean, deviation, deviation / sqrt(len(counts)))


def spread_share(counts: Sequence[float]) -> float | None:
    """The standard deviation over the mean, no less than a reading's; None for fewer than two."""
    found = repeated(counts) if counts else None
    if found is None or found.deviation is None:
        return None
    return max(found.deviation, LEAST_SPREAD) / found.mean


def looks_mixed(counts: Sequence[float]) -> tuple[tuple[float, ...], tuple[float, ...]] | None:
    """The two bunches of measurements of which one seems to be over 10 cm, the other over 4 in.

    Two bunches of two or more each, farther apart than either is wide, with means in a ratio
    near 1.016. None where there are no such bunches. A suspicion, never a proof.
    """
    ordered = sorted(counts)
    if len(ordered) < 4:
        return None
    gaps = [high - low for low, high in pairwise(ordered)]
    at = max(range(1, len(gaps) - 1), key=lambda i: gaps[i]) + 1
    low, high = tuple(ordered[:at]), tuple(ordered[at:])
    apart = high[0] - low[-1]
    widest = max(low[-1] - low[0], high[-1] - high[0])
    ratio = fmean(high) / fmean(low)
    return (low, high) if apart > widest and _RATIOS[0] <= ratio <= _RATIOS[1] else None


@dataclass(frozen=True, slots=True)
class Disc:
    """A disc as measured, in cm. ``lies_flat`` None: nobody said."""

    rounds: int
    stitches: int
    gauge: Gauge
    across_cm: float
    lies_flat: bool | None = None


def flat_disc(
    rounds: int, stitches: int, across_cm: float, hole_cm: float = 0.0, flat: bool | None = None
) -> Disc:
    """A disc measured across; it calls itself flat, whoever says so."""
    return Disc(rounds, stitches, disc_gauge(rounds, stitches, across_cm, hole_cm), across_cm, flat)


def largest(discs: Sequence[Disc]) -> Disc:
    """The disc to take the gauge from: the one of the most rounds, then the widest."""
    return max(discs, key=lambda disc: (disc.rounds, disc.across_cm))


def width_spread(discs: Sequence[Disc]) -> float:
    """By what share the widest stitch of the discs is wider than the narrowest."""
    widths = [disc.gauge.width_cm for disc in discs]
    return max(widths) / min(widths) - 1


def reading_spread(discs: Sequence[Disc], step_cm: float) -> float:
    """The share that reading each disc to the nearest ``step_cm`` could account for: half a
    step too much on the disc of the widest stitch, half too little on that of the narrowest."""
    wide = max(discs, key=lambda disc: disc.gauge.width_cm)
    narrow = min(discs, key=lambda disc: disc.gauge.width_cm)
    return step_cm / 2 / wide.across_cm + step_cm / 2 / narrow.across_cm
