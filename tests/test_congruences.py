"""Counts that suit several repeats at once, and common multiples, against sympy."""

from __future__ import annotations

from dataclasses import replace

import pytest
from helpers import (
    CALM,
    plain_band,
    side_counts,
)
from hypothesis import given
from hypothesis import strategies as st
from sympy import ilcm
from sympy.ntheory.modular import solve_congruence

from evenround.solver import (
    Band,
    Crown,
    Even,
    Gauge,
    Limits,
    Piece,
    fit,
)
from evenround.solver.rows import band_rows

BODY = Gauge(0.5, 0.5)


def counts_that_suit(band: Band, low: int, high: int) -> set[int]:
    """Counts in an inclusive window on which the solver's band table closes."""
    return {row.count_in for row in band_rows(Piece((band,), start="chain"), band, low, high)}


@CALM
@given(
    st.lists(
        st.tuples(st.integers(2, 14), st.integers(0, 13), st.booleans()), min_size=1, max_size=4
    )
)
def test_counts_that_suit_several_repeats_at_once(bands: list[tuple[int, int, bool]]) -> None:
    low, high = 40, 260
    suits = set(range(low, high + 1))
    congruences = []
    for repeat, rest, in_pairs in bands:
        band = plain_band(BODY, repeat, remainder=rest % repeat, even_repeats=in_pairs)
        suits &= counts_that_suit(band, low, high)
        congruences.append((rest % repeat, 2 * repeat if in_pairs else repeat))
    solved = solve_congruence(*congruences)
    if solved is None:
        assert suits == set()
        return
    first, step = (int(n) for n in solved)
    assert step == ilcm(1, *(modulus for _, modulus in congruences))
    assert suits == {n for n in range(low, high + 1) if n % step == first}


def test_repeats_of_three_four_and_ten_with_some_over() -> None:
    congruences = [(0, 3), (1, 4), (5, 10)]
    solved = solve_congruence(*congruences)
    assert solved is not None
    bands = [plain_band(BODY, repeat, remainder=rest) for rest, repeat in congruences]
    common = set.intersection(*(counts_that_suit(band, 1, 200) for band in bands))
    assert common == {45, 105, 165} == {n for n in range(1, 201) if n % 60 == int(solved[0])}


@pytest.mark.parametrize("repeats", [(3, 4), (4, 6), (3, 4, 10), (6, 10, 15), (8, 12)])
def test_one_count_for_several_bands_is_a_multiple_of_all(repeats: tuple[int, ...]) -> None:
    bands = tuple(replace(plain_band(BODY, m), name=f"band {i}") for i, m in enumerate(repeats, 1))
    limits = Limits(around_cm=25, nudge_stitches=0)
    answer = fit(Piece(bands, start="chain", around_cm=55.0, limits=limits), best=100, near=False)
    step = ilcm(*repeats)
    assert side_counts(answer) == {n for n in range(60, 161) if n % step == 0}


@pytest.mark.parametrize(("sectors", "repeat"), [(8, 6), (6, 4), (8, 10), (12, 5), (7, 6)])
def test_same_sectors_and_no_nudge_force_steps_of_their_common_multiple(
    sectors: int, repeat: int
) -> None:
    # trade.md: the same sectors and the same nudge in two sizes force a step of lcm(sectors, m)
    crown = Crown(
        BODY,
        start_range=(sectors, sectors),
        sector_range=(sectors, sectors),
        rates=1,
        part_round=False,
    )
    limits = Limits(around_cm=25, nudge_stitches=0)
    piece = Piece((crown, Even(BODY), plain_band(BODY, repeat)), around_cm=55.0, limits=limits)
    step = ilcm(sectors, repeat)
    answer = fit(piece, best=100, near=False)
    assert side_counts(answer) == {n for n in range(60, 161) if n % step == 0}
