"""``evenround sample``: a commented brief to start from."""

from __future__ import annotations

from .files import check_out, hand_over
from .options import Force, OutFile


def sample(
    out: OutFile = None,
    force: Force = False,
) -> None:
    """Write a commented brief to start from."""
    from evenround.tables.brief_starter import starter_text

    check_out(out, force=force)
    hand_over(starter_text(), out, force=force, format="toml")
