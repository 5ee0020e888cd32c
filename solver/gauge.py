"""Gauge from what was measured: a swatch, a flat disc, a disc that cups; and what an error costs.

Plain numbers in, a Gauge out. Lengths are centimetres. Every function raises ValueError, naming
the number at fault, on anything that cannot have been measured (zero, negative, not finite).
"""

from __future__ import annotations

from math import isfinite, pi

from .piece import Gauge


def _positive(name: str, value: float) -> float:
    if not isfinite(value) or value <= 0:
        raise ValueError(f"{name}: found {value}; it must be more than 0")
    return value


def swatch_gauge(stitches: float, rounds: float, over_cm: float) -> Gauge:
    """Gauge of a swatch with ``stitches`` by ``rounds`` over ``over_cm`` both ways.

    >>> swatch_gauge(20, 10, 10).height_cm
    1.0
    """
    over = _positive("over_cm", over_cm)
    return Gauge(over / _positive("stitches", stitches), over / _positive("rounds", rounds))


def disc_gauge(rounds: int, stitches: int, across_cm: float, hole_cm: float = 0.0) -> Gauge:
    """Gauge of a disc of ``rounds`` rounds with ``stitches`` in the last, ``across_cm`` wide.

    ``hole_cm`` is the width across the hole. By construction the disc comes out flat
    (2 pi h / w = stitches / rounds without a hole), so measure one that cups with
    ``cupped_disc_gauge`` instead.
    """
    _positive("rounds", rounds)
    _positive("stitches", stitches)
    _positive("across_cm", across_cm)
    if not isfinite(hole_cm) or not 0 <= hole_cm < across_cm:
        raise ValueError(f"hole_cm: found {hole_cm}; it must be from 0 to less than {across_cm}")
    return Gauge(pi * across_cm / stitches, (across_cm - hole_cm) / (2 * rounds))


def cupped_disc_gauge(
    rounds: int, stitches: int, along_cm: float, edge_cm: float, hole_cm: float = 0.0
) -> Gauge:
    """Gauge of a disc that cups or ripples, measured on the fabric itself.

    ``along_cm`` runs along the fabric from edge to edge over the middle (over the hole as
    well), ``edge_cm`` once round the outer edge.
    """
    _positive("rounds", rounds)
    _positive("stitches", stitches)
    _positive("along_cm", along_cm)
    if not isfinite(hole_cm) or not 0 <= hole_cm < along_cm:
        raise ValueError(f"hole_cm: found {hole_cm}; it must be from 0 to less than {along_cm}")
    return Gauge(_positive("edge_cm", edge_cm) / stitches, (along_cm - hole_cm) / (2 * rounds))


def circumference_error(around_cm: float, gauge_per_10cm: float, stitches: float = 0.5) -> float:
    """How far off (cm, either way) a circumference is when the gauge is ``stitches`` off in 10 cm.

    dC = C x dg / g; half a stitch is ordinary (common practice, no source).
    """
    if not isfinite(stitches) or stitches < 0:
        raise ValueError(f"stitches: found {stitches}; it must be 0 or more")
    return _positive("around_cm", around_cm) * stitches / _positive("gauge", gauge_per_10cm)
