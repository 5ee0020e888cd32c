"""Where the stitches of a round stand: along the round by their number, up by their height.

A row's places lie evenly along its length, as the tops of a round do; the row is shifted so that
its stitches stand over their feet as well as they can. ``u`` runs the way the round is worked,
``v`` from the start outward, both in units of a chart.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenround.solver import InternalCheckError
from evenround.tables.facts import proportions
from evenround.tables.rounds.counter import Below, plain_round
from evenround.tables.rounds.steps import Step

from .marks import Mark, marks_of

Spot = tuple[float, float]
CHAIN_HIGH = 0.45
ARCH = 0.25
"""How much higher an arch stands for every chain over the first, up to four."""


@dataclass(frozen=True, slots=True)
class Row:
    """A round laid out: its marks, where each place lies, where the next round begins to rise."""

    marks: tuple[Mark, ...]
    places: Below
    feet: tuple[Spot, ...]
    tops: tuple[Spot, ...]
    base: float
    rise: float

    @property
    def above(self) -> float:
        """Height of the next round's base."""
        return self.base + self.rise


def first_row(count: int, long: float, name: str = "st") -> Row:
    """A round of which only the count matters: what a chart stands on; none for a ring."""
    tops = tuple(((i + 0.5) * long / count, 0.0) for i in range(count))
    return Row((), plain_round(count, name), (), tops, 0.0, 0.0)


def next_row(
    steps: Sequence[Step], below: Row, long: float, *, shift: int = 0, repeat: float | None = None
) -> Row:
    """A round of ``long`` units worked on the row below, from its place ``shift`` on.

    ``repeat``: the units of one, by which a row that is moved along to stand over its feet may
    be set back; None = all rows begin where the first begins. Raises InternalCheckError where
    the round does not come out even, or a place it makes has no symbol of its own.
    """
    places = Below((*below.places.places[shift:], *below.places.places[:shift]))
    feet = (*below.tops[shift:], *((u + long, v) for u, v in below.tops[:shift]))
    marks, worked = marks_of(steps, places)
    stood = sorted(mark.top for mark in marks if mark.kind != "picot")
    if not worked.even or stood != list(range(worked.makes)):
        raise InternalCheckError("a round of a chart does not come out as it is counted")
    gap = long / worked.makes
    along = [(i + 0.5) * gap for i in range(worked.makes)]
    by = 0.0 if repeat is None else _slide(marks, feet, along)
    while repeat is not None and by > repeat / 2 + 1e-9:  # as good a repeat earlier: no creeping
        by, feet = by - repeat, tuple((u - repeat, v) for u, v in feet)
    heights = _heights(marks, worked.makes, below.above)
    tops = tuple(zip((u + by for u in along), heights, strict=True))
    rise = max((v for v in heights), default=below.above + 1.0) - below.above
    return Row(marks, worked.made, tuple(feet), tops, below.above, rise)


def _slide(marks: Sequence[Mark], feet: Sequence[Spot], along: Sequence[float]) -> float:
    """How far the row moves so that on average tops stand over their feet."""
    off = [
        sum(feet[i][0] for i in mark.feet) / len(mark.feet) - along[mark.top]
        for mark in marks
        if mark.feet
    ]
    return sum(off) / len(off) if off else 0.0


def height_of(mark: Mark) -> float:
    """How tall a stitch is drawn, a single crochet being 1 (proportions.csv)."""
    if mark.kind == "chain":
        return CHAIN_HIGH
    if mark.kind == "picot":
        return 0.0
    heights = proportions()
    name = mark.stitch.name.removeprefix("reverse ")
    if name == "sl st":
        return 0.5
    tallest = max(heights.values())
    return heights.get(name, tallest * 1.3) / heights["sc"]


def _heights(marks: Sequence[Mark], makes: int, base: float) -> list[float]:
    """Height of every place; chains hang between the stitches beside them."""
    out: list[float | None] = [None] * makes
    for mark in marks:
        if mark.kind in ("stitch", "bunch"):
            out[mark.top] = base + height_of(mark)
    known = [i for i, height in enumerate(out) if height is not None]
    if not known:
        return [base + CHAIN_HIGH] * makes
    return [
        height if height is not None else _between(out, known, i) for i, height in enumerate(out)
    ]


def _between(heights: Sequence[float | None], known: Sequence[int], place: int) -> float:
    """A chain's height: on the way from the stitch before it to the one after, round the join."""
    many = len(heights)
    before = max((i for i in known if i < place), default=known[-1] - many)
    after = min((i for i in known if i > place), default=known[0] + many)
    low, high = heights[before % many], heights[after % many]
    assert low is not None and high is not None
    share = (place - before) / (after - before)
    arch = ARCH * min(4, after - before - 2) * 4 * share * (1 - share)
    return low + (high - low) * share + arch - CHAIN_HIGH / 3
