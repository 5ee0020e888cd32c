"""What a nudge may be: one round that adds or drops a few stitches, evenly spread."""

from __future__ import annotations

from collections.abc import Sequence

from .piece import Crown, Piece
from .price import crown_plan


def nudge_limit(piece: Piece, count: int) -> int:
    """Largest nudge allowed on a count: a share of it and a number of stitches."""
    share = int(count * piece.limits.nudge_share + 1e-9)
    return min(piece.limits.nudge_stitches, share)


def part_sectors(crown: Crown, sectors: int, special: int) -> int:
    """Sectors of a crown that may still get a part round: of fewer increases, a number that
    divides its count. 0 where none may follow: it is not allowed, or the crown has something
    ``special`` already."""
    return sectors if crown.part_round and not special else 0


def could_be_part_round(crown: Crown, changes: Sequence[int], sectors: int, change: int) -> bool:
    """Whether a nudge right after the crown is really the part round the crown may have: what
    it adds divides the count."""
    most = part_sectors(crown, sectors, crown_plan(changes, sectors).special)
    return 2 <= change < most and sum(changes) % change == 0
