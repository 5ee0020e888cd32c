"""The fabric a section's yarn goes into, by hand."""

from __future__ import annotations

from itertools import pairwise

import pytest
from helpers import plain_rounds

from evenround.solver import Band, Edging, Even, Figure, Gauge, Piece, SectionTally, Tally, measure

SQUARE = Gauge(1.0, 1.0)


def test_places_inside_a_figure_take_no_yarn_of_their_own() -> None:
    """A band of fans lies as wide as the stitches it is worked on, a growing one as a trapeze,
    whatever places there are between; an edging of shells along the round it is on. Centimetre
    squares, so the areas are by hand."""
    fans = Figure((8, 12, 8), (0, 0, 0))
    grows = Figure((8, 20, 12), (0, 0, 0))
    shells = Figure((4, 9), (0, 0))
    for figure, rounds, area in (
        (fans, 4, 4 * 40),
        (grows, 2, 50 + 60),  # 40 before it, half way, 60
    ):
        piece = Piece((Band(SQUARE, figure, rounds=(rounds, rounds)),), start="chain")
        per_repeat = figure.over(0, rounds)
        changes = tuple(5 * (b - a) for a, b in pairwise(per_repeat))
        band = SectionTally("band", "band", 40, changes, 8, 5, None, per_repeat)
        (part,) = measure(piece, Tally(40, (band,))).yarn.parts
        assert part.area_cm2 == pytest.approx(area)
    piece = Piece((Even(SQUARE), Edging(SQUARE, shells)), start="chain")
    edging = SectionTally("edging", "edging", 40, (50,))
    parts = measure(piece, Tally(40, (plain_rounds(40, 3), edging))).yarn.parts
    assert [part.area_cm2 for part in parts] == [pytest.approx(120), pytest.approx(40)]
