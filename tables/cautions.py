"""What the maker must be told, one line each, wherever a hat is described."""

from __future__ import annotations

from .plan import Plan

BABY_HEAD_CM = 52.0
BABY = (
    "For a baby or small child: off for sleep and when nobody watches; no cords or ties, no "
    "small loose parts (the advice in EN 14682 for children's clothes up to age 7, though hats "
    "are outside its scope); follow local safe-sleep and product-safety rules."
)
SUN = "Openwork lets sun through: it is no sun protection."


def cautions(plan: Plan) -> tuple[str, ...]:
    """The cautions that apply: heads under 52 cm, open bands."""
    small = plan.head_cm is not None and plan.head_cm < BABY_HEAD_CM
    return (BABY,) * small + (SUN,) * plan.openwork
