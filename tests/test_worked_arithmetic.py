"""Spacings, yarn and round counts that other people worked out, reproduced.

Each number names where it was published; the wording is never theirs.
"""

from __future__ import annotations

from itertools import accumulate

import pytest
from helpers import (
    CALM,
    INCH,
    disc,
    plain_rounds,
)
from hypothesis import given
from hypothesis import strategies as st

from evenround.solver import (
    Even,
    Gauge,
    Piece,
    SectionTally,
    Swatch,
    Tally,
    measure,
    recount,
)
from evenround.solver.recount import change_round, spread, work

# --- 4. worked_examples 4: "Chain Chomp hat", instructables.com ------------------------------


def test_a_correction_of_two_stitches_widely_spaced() -> None:
    # instructables.com: 4 sc, 8 hdc, 8 a round to 64, 2 increases with 31 plain before each: 66
    gaps = spread(64, 2)
    assert [gap - 1 for gap in gaps] == [31, 31]
    assert work(64, change_round(64, 2)) == 66
    crown = SectionTally("crown", "crown", 0, (4, 4, *[8] * 7), sectors=8)
    nudge = SectionTally("nudge", "nudge", 64, (2,))
    tally = Tally(4, (crown, nudge, plain_rounds(66, 10)))
    assert recount(tally)[:11] == (4, 8, 16, 24, 32, 40, 48, 56, 64, 66, 66)


# --- 7. worked_examples 7: spacing -----------------------------------------------------------


@pytest.mark.parametrize(
    ("stitches", "changes", "gaps"),
    [
        (51, 4, [12, 13, 13, 13]),  # "Calculating where to place the increases", woolpackyarn.com
        (112, 16, [7] * 16),  # the same source: every 7th stitch
        (40, 5, [8] * 5),  # dummies.com: five groups of 8 about four increases, flat
        (186, 8, [23] * 6 + [24] * 2),  # wilmade.com (186 less 8); the gaps are ours
        (18, 6, [3] * 6),  # blog.lionbrand.com 2011-07-03: at stitches 2, 5, 8, 11, 14, 17
    ],
)
def test_published_spacings(stitches: int, changes: int, gaps: list[int]) -> None:
    assert sorted(spread(stitches, changes)) == gaps


def test_fifty_one_and_four_are_the_published_marks_begun_elsewhere() -> None:
    # woolpackyarn.com: at stitches 13, 26, 39 and 51
    marks = [13, 26, 39, 51]
    published = [after - before for before, after in zip([0, *marks], marks, strict=False)]
    mine = spread(51, 4)
    assert published in [mine[i:] + mine[:i] for i in range(4)]


@pytest.mark.parametrize(
    ("count", "change", "after"),
    [
        (51, 4, 55),  # woolpackyarn.com
        (112, 16, 128),  # woolpackyarn.com
        (186, -8, 178),  # wilmade.com, evenly spaced increases and decreases
        (18, 6, 24),  # blog.lionbrand.com 2011-07-03
    ],
)
def test_rounds_of_published_spacings_come_out(count: int, change: int, after: int) -> None:
    assert work(count, change_round(count, change)) == after


@CALM
@given(st.integers(1, 300), st.data())
def test_gaps_are_as_even_as_whole_numbers_allow(stitches: int, data: st.DataObject) -> None:
    changes = data.draw(st.integers(1, stitches))
    gaps = spread(stitches, changes)
    assert (len(gaps), sum(gaps)) == (changes, stitches)
    length = data.draw(st.integers(1, changes))
    sums = [0, *accumulate(gaps * 2)]
    windows = [sums[i + length] - sums[i] for i in range(changes)]
    assert max(windows) - min(windows) <= 1


# --- 8. worked_examples 8: "Crochet yarn estimating", windchilde.com --------------------------


def test_yarn_of_a_square_by_area() -> None:
    # windchilde.com: 5 in squares; 32.08 in of yarn per square inch of hdc; 34 in square 37,084
    inches_in_swatch = 25 * 32.08
    swatch = Swatch(
        grams=10, area_cm2=25 * INCH**2, metres_per_gram=inches_in_swatch * INCH / 100 / 10
    )
    piece = Piece((Even(Gauge(INCH, INCH), swatch=swatch),), start="chain")
    yarn = measure(piece, Tally(34, (plain_rounds(34, 34),))).yarn
    assert yarn.metres is not None
    assert round(yarn.metres * 100 / INCH, -1) == 37_080
    assert yarn.parts[0].area_cm2 == pytest.approx(1156 * INCH**2)


# --- the round counts of the published discs, as plain arithmetic -----------------------------


@pytest.mark.parametrize("start", [8, 10, 12, 16])
def test_published_crowns_add_their_start_count(start: int) -> None:
    # worked_examples 1 (8), 6 (10), 3 (12), 2 (16): sources as above
    assert recount(disc(start, 3)) == (start, 2 * start, 3 * start)
