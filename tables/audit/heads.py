"""Whether a hat named by an age is far too small for any head of that age (heads.csv)."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from evenround.tables.facts import table
from evenround.tables.plan import Unit

from .findings import Finding
from .piece import Piece, Stated, shown

SNUG_CM = 4.0
"""As much smaller than the head as a snug hat is worn (common practice)."""
_AGE = re.compile(
    r"(?P<low>\d+)(?:\s*(?:-|\u2013|to)\s*(?P<high>\d+))?\s*(?P<unit>m(?:onth|o|th)?s?|y(?:ea)?rs?)\b",
    re.I,
)


def months(words: str) -> tuple[int, int] | None:
    """The months of an age in words: "3-9 months" -> (3, 9), "newborn" -> (0, 0)."""
    if re.search(r"\bnew[\s-]?born\b", words, re.I):
        return 0, 0
    found = _AGE.search(words)
    if found is None:
        return None
    times = 12 if found["unit"].lower().startswith("y") else 1
    low = int(found["low"]) * times
    return low, int(found["high"] or found["low"]) * times


def smallest_head(age: tuple[int, int]) -> float | None:
    """The smallest head (cm) in the table for ages that overlap; else for those that touch."""
    low, high = age
    overlapping, touching = [], []
    for row in table("heads"):
        other = months(row["wearer"])
        if other is None:
            continue
        head = float(row["head_cm_min"])
        if max(low, other[0]) < min(high, other[1]):
            overlapping.append(head)
        elif max(low, other[0]) <= min(high, other[1]):
            touching.append(head)
    return min(overlapping or touching, default=None)


def too_small(piece: Piece, gauges: Sequence[Stated], unit: Unit) -> Iterator[Finding]:
    """A body too small even when snug for the age its size is named by."""
    age = months(piece.name)
    head = None if age is None else smallest_head(age)
    if head is None or not gauges:
        return
    width = piece.body_count * gauges[-1].width
    if width < head - SNUG_CM:
        yield Finding(
            "size",
            f"{shown(width, unit)} is small for that age even when snug: the smallest heads are "
            f"about {shown(head, unit)}.",
        )
