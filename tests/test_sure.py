"""What a slip of gauge does: the closed forms against simulation, and the trade's own numbers."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

import numpy as np
import pytest
from helpers import CALM, plain_band, plain_crown, plain_rounds, worked_band
from hypothesis import given
from hypothesis import strategies as st

from evenround.solver import Brim, Crown, Even, Gauge, Limits, Piece, SectionTally, Tally
from evenround.solver.sure import (
    Heads,
    Slip,
    around_range,
    chance_within,
    depth_range,
    heads_served,
    sure_of,
)

DRAWS = 200_000
BODY = Gauge(10 / 19, 10 / 15)


def three_errors(chance: float, draws: int = DRAWS) -> float:
    """Three standard errors of a share found by simulation; never quite nothing."""
    return 3 * sqrt(max(chance * (1 - chance), 1e-6) / draws)


def hat(band_gauge: Gauge = BODY, **limits: float) -> Piece:
    sections = (Crown(BODY), Even(BODY, "sides"), plain_band(band_gauge, 9))
    return Piece(sections, around_cm=57.5, limits=Limits(**limits))


def tally(count: int) -> Tally:
    """A hat of so many stitches all the way down."""
    crown = plain_crown(count, [], count)
    return Tally(count, (crown, plain_rounds(count, 3, "sides"), worked_band(count, 9)))


@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.parametrize(("count", "share"), [(108, 0.5 / 19), (117, 0.04), (99, 0.1)])
def test_the_chance_of_one_gauge_is_what_simulation_finds(
    count: int, share: float, seed: int
) -> None:
    piece, slip = hat(), Slip(0, share)
    sure = sure_of(piece, (slip, slip, slip), tally(count))
    gauges = np.random.default_rng(seed).normal(19, 19 * share, DRAWS)
    found = np.mean(abs(count * 10 / gauges - 57.5) <= 1.5)
    assert sure.chance == pytest.approx(found, abs=three_errors(sure.chance or 0))


@pytest.mark.parametrize("seed", [3, 4])
def test_gauges_that_slip_apart_multiply_and_those_of_one_stitch_do_not(seed: int) -> None:
    band = Gauge(10 / 18.8, 10 / 14)
    piece, counts = hat(band), tally(108)
    draws = np.random.default_rng(seed)
    body = 108 * 10 / draws.normal(19, 0.5, DRAWS)
    other = 108 * 10 / draws.normal(18.8, 0.6, DRAWS)
    apart = sure_of(piece, (Slip(0, 0.5 / 19), Slip(0, 0.5 / 19), Slip(1, 0.6 / 18.8)), counts)
    found = np.mean((abs(body - 57.5) <= 1.5) & (abs(other - 57.5) <= 1.5))
    assert apart.chance == pytest.approx(found, abs=three_errors(found))
    one = Slip(0, 0.5 / 19)
    together = sure_of(piece, (one, one, one), counts)
    wider = body * (19 / 18.8)  # the same slip, in proportion
    found = np.mean((abs(body - 57.5) <= 1.5) & (abs(wider - 57.5) <= 1.5))
    assert together.chance == pytest.approx(found, abs=three_errors(found))
    assert together.chance > (apart.chance or 0)


@pytest.mark.parametrize("share", [0.01, 0.5 / 19, 0.1])
def test_nineteen_of_twenty_simulated_hats_lie_in_the_range(share: float) -> None:
    low, high = around_range(56.8, share)
    around = 56.8 / np.random.default_rng(7).normal(1, share, DRAWS)
    assert np.mean(around < low) == pytest.approx(0.025, abs=three_errors(0.025))
    assert np.mean(around > high) == pytest.approx(0.025, abs=three_errors(0.025))


@pytest.mark.parametrize(
    "parts",
    [
        [(14.5, 0.5 / 15)],
        [(14.5, 0.5 / 15), (5.0, 0.5 / 8)],
        [(10.0, 0.1), (9.0, 0.1)],
        [(9.0, 0.03), (6.0, 0.05), (5.0, 0.04)],
        [(9.0, 0.03), (6.0, 0.0)],
        [(8.0, 0.03), (6.0, 0.06), (5.0, 0.04), (2.0, 0.08), (1.0, 0.1)],
        [(12.0, 0.25)],
        [(12.0, 0.15), (6.0, 0.2)],
    ],
)
def test_nineteen_of_twenty_simulated_depths_lie_in_the_range(
    parts: list[tuple[float, float]],
) -> None:
    low, high = depth_range(parts, fixed_cm=0.5)
    draws = np.random.default_rng(11)
    depth = 0.5 + sum(cm / draws.normal(1, share, DRAWS) for cm, share in parts)
    assert np.mean(depth < low) == pytest.approx(0.025, abs=three_errors(0.025))
    assert np.mean(depth > high) == pytest.approx(0.025, abs=three_errors(0.025))


def test_a_depth_goes_by_the_rounds_from_crown_to_brim() -> None:
    """Plain arithmetic: 9 rounds of the body and one of the band, which slips apart."""
    tall = Gauge(10 / 19, 10 / 8)
    piece = Piece((*hat(tall).sections, Brim(BODY, 4, flare_deg=30)), around_cm=57.5)
    body, band = Slip(0, 0.02, 0.5 / 15), Slip(1, 0.02, 0.5 / 8)
    brim = SectionTally("brim", "brim", 108, (0,) * 6)
    worked = replace(tally(108), sections=(*tally(108).sections, brim))
    sections = worked.sections
    sure = sure_of(piece, (body, body, band, body), worked)
    rounds = len(sections[0].changes) + len(sections[1].changes)
    expected = depth_range([(rounds * 10 / 15, 0.5 / 15), (10 / 8, 0.5 / 8)])
    assert (sure.depth_low_cm, sure.depth_high_cm) == pytest.approx(expected, abs=1e-3)
    unknown = sure_of(piece, (body, body, Slip(1, 0.02), body), worked)
    assert unknown.depth_low_cm is None and unknown.depth_high_cm is None
    assert depth_range([], 2.0) == (2.0, 2.0)


@CALM
@given(
    nominal=st.floats(40, 70),
    wish=st.floats(40, 70),
    limit=st.floats(0.1, 4),
    share=st.floats(0.001, 0.25),
)
def test_a_wider_tolerance_never_lowers_the_chance(
    nominal: float, wish: float, limit: float, share: float
) -> None:
    near = chance_within([(nominal, wish - limit, wish + limit)], share)
    far = chance_within([(nominal, wish - 2 * limit, wish + 2 * limit)], share)
    assert 0 <= near <= far <= 1


def test_a_gauge_known_for_certain_leaves_nothing_to_chance() -> None:
    assert chance_within([(57.0, 56.0, 58.0)], 0) == 1
    assert chance_within([(59.0, 56.0, 58.0)], 0) == 0
    assert around_range(57.0, 0) == (57.0, 57.0)


def test_places_that_cannot_both_hold_have_no_chance() -> None:
    assert chance_within([(50.0, 55.0, 56.0), (60.0, 55.0, 56.0)], 0.05) == 0


# dC = C x 0.5 / g on 56 cm, trade.md (common practice): one standard deviation of half a stitch
@pytest.mark.parametrize(("stitches", "off"), [(10, 2.8), (16, 1.75), (20, 1.4)])
def test_half_a_stitch_is_what_the_trade_says_it_is(stitches: int, off: float) -> None:
    low, high = around_range(56.0, 0.5 / stitches)
    assert (high - low) / 2 / 1.96 == pytest.approx(off, rel=0.01)  # 95 of 100: a normal table


def test_a_piece_without_a_wish_has_a_range_and_no_chance() -> None:
    piece = Piece((Crown(BODY), Even(BODY, "sides"), plain_band(BODY, 9)))
    sure = sure_of(piece, (Slip(0, 0.02),) * 3, tally(108))
    assert sure.chance is None
    assert sure.per_cent is None
    assert sure.low_cm < 108 * 10 / 19 < sure.high_cm


def test_slips_are_checked() -> None:
    with pytest.raises(ValueError, match=r"share: found 0\.3"):
        Slip(0, 0.3)
    with pytest.raises(ValueError, match=r"rounds_share: found -0\.1"):
        Slip(0, 0.1, -0.1)
    with pytest.raises(ValueError, match="slips: found 1 for 3 sections"):
        sure_of(hat(), (Slip(0, 0.1),), tally(108))


def test_heads_lie_about_the_one_the_hat_is_made_for() -> None:
    # 56 cm head, ease 1, tolerance 1.25: a hat of exactly 57
    heads = heads_served(57, 1, 1.25)
    assert (heads.low_cm, heads.high_cm) == (54.75, 57.25)


def test_stretch_decides_the_largest_head() -> None:
    snug = heads_served(53, -3, 1.5, stretch=0.08)
    assert snug.low_cm == 54.5
    assert snug.high_cm == pytest.approx(57.24)
    assert heads_served(53, -3, 1.5, stretch=0.02).any is False
    assert Heads(50.0, 50.0).any
