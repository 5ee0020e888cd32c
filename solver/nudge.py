"""What a nudge may be: one round that adds or drops a few stitches, evenly spread."""

from __future__ import annotations

from collections.abc import Sequence

from .piece import Crown, Piece
from .price import crown_plan


def nudge_limit(piece: Piece, count: int) -> int:
    """Largest nudge allowed on a count: a share of it and a number of stitches."""
    share = int(count * piece.limits.nudge_share + 1e-9)
    return min(piece.limits.nudge_stitches, share)


def could_be_part_round(crown: Crown, changes: Sequence[int], sectors: int, change: int) -> bool:
    """Whether a nudge right after the crown is really the part round the crown may have: what
    it adds divides the count."""
    if not crown.part_round or crown_plan(changes, sectors).special:
        return False
    return 2 <= change < sectors and sum(changes) % change == 0
