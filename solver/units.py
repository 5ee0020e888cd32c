"""Exact arithmetic: lengths as whole micrometres, costs as whole 1e-6 mm.

The search, the integer model and the specification all add these integers, so that a tie is a
tie on every machine and a tolerance of 1.5 cm includes 1.5 cm.
"""

from __future__ import annotations

MM = 1_000_000  # cost units in a millimetre of score


def micrometres(cm: float) -> int:
    """Whole micrometres of a length in cm."""
    return round(cm * 10_000)


def per_mm(price: float, um: int) -> int:
    """Cost of ``um`` micrometres at a price per mm (kept to 0.001)."""
    return round(price * 1000) * um


def cost(price: float, amount: float) -> int:
    """Cost of an amount (hundredths, degrees, stitches, pieces) at a price each."""
    return round(price * amount * MM)
