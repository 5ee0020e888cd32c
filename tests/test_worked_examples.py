"""Hats and spacings that other people worked out: the tool lists their counts or reproduces
their arithmetic. Each number names where it was published; the wording is never theirs.
"""

from __future__ import annotations

from itertools import pairwise
from math import pi

import pytest
from helpers import (
    FOUR_INCHES,
    INCH,
    flat_gauge,
    plain_band,
    plain_crown,
    plain_hat,
    plain_rounds,
    side_counts,
    worked_band,
)

from evenround.solver import (
    Brim,
    Crown,
    Even,
    Gauge,
    Limits,
    Measures,
    Piece,
    Rhythm,
    SectionTally,
    Tally,
    disc_gauge,
    fit,
    measure,
    recount,
)
from evenround.solver.geometry import fullness
from evenround.tables.brief import Flags, brief_from_flags, plan, read_brief

# --- 1. worked_examples 1: "Another hat for Thing 2, part 2", mamas2hands.com, 2017-03-04 ----


def half_round_hat() -> Piece:
    """Head 22 in worn an inch snug, 4 sts per inch, round gauge taken flat for hdc."""
    sections = plain_hat(flat_gauge(8, 4, INCH), (7, 10))
    return Piece(sections, around_cm=21 * INCH, depth_cm=0.365 * 22 * INCH)


def test_half_a_round_at_the_end_of_a_crown() -> None:
    # mamas2hands.com 2017: 84 sts, 21 in; ten rounds of 8 are 80, then 4 more in round 11
    piece = half_round_hat()
    answer = fit(piece)
    assert answer.status == "proven"
    assert len(answer.candidates) == 10
    assert 84 in side_counts(answer)
    first = next(c for c in answer.candidates if c.tally.crown_rates == ((8, 9), (4, 1)))
    assert first.measures.side_count == 84
    assert first.tally.round_counts[:11] == (8, 16, 24, 32, 40, 48, 56, 64, 72, 80, 84)
    assert first.tally.stop_round == 11
    assert first.measures.around_cm == pytest.approx(21 * INCH)
    # a further full round would be 88 sts, 22 in: too big
    too_big = next(m for m in answer.near_misses if m.side_count == 88)
    assert too_big.around_cm == pytest.approx(22 * INCH)
    # crown diameter aimed at: 6.69 in (21 / pi = 6.68)
    wish = first.measures.around_wish_cm
    assert wish is not None
    assert round(wish / pi / INCH, 2) == 6.68


def test_half_a_round_from_flags() -> None:
    # the same hat as typed: mamas2hands.com 2017
    flags = Flags(head="22in", ease="-1in", gauge="16 / 4in", stitch="hdc")
    made = plan(brief_from_flags(flags)).piece
    crown = made.sections[0]
    assert isinstance(crown, Crown)
    assert crown.gauge.flat_rate == pytest.approx(8)
    assert crown.gauge.width_cm == pytest.approx(INCH / 4)
    answer = fit(made)
    assert 84 in side_counts(answer)
    assert ((8, 9), (4, 1)) in [c.tally.crown_rates for c in answer.candidates]


# --- 2. worked_examples 2: crown-down hat, sizes S (M, L), discmaster.textfiles.com ----------


@pytest.mark.parametrize(
    ("slow_rounds", "count", "shells"), [(2, 60, 10), (3, 66, 11), (4, 72, 12)]
)
def test_two_rates_and_a_band_of_shells(slow_rounds: int, count: int, shells: int) -> None:
    # discmaster.textfiles.com: 16, 32, 48, then 6 a round to 60 (66, 72); 10 (11, 12) shells
    gauge = flat_gauge(12, 14, FOUR_INCHES)  # its gauge is not stated; any would do
    crown, even = plain_hat(gauge, (10, 16))
    piece = Piece((crown, even, plain_band(gauge, 6)), around_cm=count * gauge.width_cm)
    tally = Tally(
        16,
        (
            plain_crown(16, [(16, 2), (6, slow_rounds)], 16),
            plain_rounds(count, 6),
            worked_band(count, 6),
        ),
    )
    found = measure(piece, tally)
    assert found.breaches == ()
    assert recount(tally)[:5] == (16, 32, 48, 54, 60)
    assert found.bands[0].repeats == shells
    assert found.score_parts["second_rate"] == piece.prices.second_rate
    # and the tool lists that crown at that circumference
    listed = fit(piece, best=80, near=False).candidates
    assert ((16, 2), (6, slow_rounds)) in [c.tally.crown_rates for c in listed]


# --- 3. worked_examples 3: rolled-brim adult hat, ThriftyFun tip tf41072356 ------------------

ROLLED = """
stitch = "dc"
head = "{around}in"
ease = 0
gauge = {{ dc = "14 / 4in" }}
[[sections]]
kind = "crown"
[[sections]]
kind = "even"
[[sections]]
kind = "brim"
stitch = "sc"
width = 7.6
flare = 30
firm_rounds = 6
"""


@pytest.mark.parametrize(
    ("count", "sectors", "counts"),
    [(66, 11, (77, 77, 88, 88, 99)), (72, 12, (84, 84, 96, 96, 108))],
)
def test_brim_sectors_that_are_not_the_crowns(
    count: int, sectors: int, counts: tuple[int, ...]
) -> None:
    # ThriftyFun tf41072356: 14 dc = 4 in; 66 has brim sectors 11, 72 has 12; every second
    # round, three times, then six plain rounds; the whole brim about 30 degrees on average
    text = ROLLED.format(around=count * 4 / 14)
    piece = plan(read_brief(text.encode(), "rolled brim")).piece
    crown, _, brim = piece.sections
    assert isinstance(crown, Crown) and isinstance(brim, Brim)
    assert crown.gauge.flat_rate == pytest.approx(12)
    assert brim.gauge.flat_rate == pytest.approx(6)  # sc in proportion
    answer = fit(piece, best=60)
    listed = [
        c
        for c in answer.candidates
        if c.measures.side_count == count
        and c.tally.brim is not None
        and (c.tally.brim.sectors, c.tally.brim.rhythm) == (sectors, Rhythm(1, 2))
    ]
    published = [c for c in listed if c.tally.brim and c.tally.brim.counts[:5] == counts]
    assert published
    tally, measures = published[0].tally, published[0].measures
    assert tally.brim is not None
    assert tally.brim.counts[5:] == (counts[-1],) * 6
    assert measures.flare_deg is not None
    assert 28 <= measures.flare_deg <= 35
    # its own slope tells of the steep shaped part
    assert measures.brim_slope is not None
    assert measures.brim_slope > 0.7
    # its crown: 12 a round to 60, then 6 in one round (every tenth stitch); 72 adds 6 more
    rates = ((12, 4), (6, 1)) if count == 66 else ((12, 4), (6, 2))
    assert rates in [c.tally.crown_rates for c in answer.candidates]


@pytest.mark.parametrize(("count", "sectors"), [(66, 11), (72, 12)])
def test_brim_sectors_that_are_not_the_crowns_from_flags(count: int, sectors: int) -> None:
    # ThriftyFun tf41072356; flags have one stitch, so its brim is in dc here
    flags = Flags(
        head=f"{count * 4 / 14}in", ease="0", gauge="14 / 4in", stitch="dc", brim="3in", flare="30"
    )
    answer = fit(plan(brief_from_flags(flags)).piece)
    found = {
        (c.measures.side_count, c.tally.brim.sectors) for c in answer.candidates if c.tally.brim
    }
    assert (count, sectors) in found


def test_the_pages_sizes_are_far_wider_than_its_own_gauge() -> None:
    # ThriftyFun tf41072356: 66 and 72 sts are 18.9 and 20.6 in against 22 and 24: -14 %
    width = FOUR_INCHES / 14
    for count, inches, head in ((66, 18.9, 22), (72, 20.6, 24)):
        piece = Piece((Even(Gauge(width, width)),), start="chain", around_cm=head * INCH)
        found = measure(piece, Tally(count, (plain_rounds(count, 1),)))
        assert round(found.around_cm / INCH, 1) == inches
        assert found.around_miss_cm is not None
        assert round(100 * found.around_miss_cm / (head * INCH)) == -14
        assert [b.requirement for b in found.breaches] == ["circumference"]


# --- 5. worked_examples 5: child's bucket hat, scribd document 877311526 ---------------------


def test_a_double_round_and_a_mesh_of_threes() -> None:
    # scribd 877311526: 12, 24, 48, 60 (12 increases), 66 (6), groups of three: 22, none over
    gauge = flat_gauge(12, 14)
    crown = Crown(gauge, start_range=(10, 16), double_rounds=1)
    piece = Piece(
        (crown, Even(gauge), plain_band(gauge, 3)), around_cm=66 * gauge.width_cm, depth_cm=None
    )
    worked = plain_crown(12, [(12, 1), (24, 1), (12, 1), (6, 1)], 12)
    tally = Tally(12, (worked, plain_rounds(66, 0), worked_band(66, 3)))
    found = measure(piece, tally)
    assert found.breaches == ()
    assert recount(tally)[:5] == (12, 24, 48, 60, 66)
    assert found.bands[0].repeats == 22
    assert found.score_parts["double_round"] == piece.prices.double_round
    assert found.score_parts["part_round"] == piece.prices.part_round
    # without leave for a double round the same tally is refused, for that reason only
    strict = Piece((plain_hat(gauge, (10, 16))[0], *piece.sections[1:]), around_cm=piece.around_cm)
    assert [b.requirement for b in measure(strict, tally).breaches] == ["double rounds"]


# --- 6. worked_examples 6: warmdetroit.org hat sheet c3 --------------------------------------

DISC = """
unit = "in"
head = 20
ease = 0
depth = 8
gauge = { hdc = { rounds = 4, stitches = 40, across = 5, lies_flat = true } }
tolerances = { circumference = 0.5 }
[[sections]]
kind = "crown"
start_range = [10, 10]
[[sections]]
kind = "even"
"""


def test_a_gauge_given_as_a_disc() -> None:
    # warmdetroit.org hat sheet c3: 0.3927 in and 0.625 in a stitch, 10.19 x 6.4 in 4 in
    gauge = disc_gauge(4, 40, 5 * INCH)
    assert round(gauge.width_cm / INCH, 4) == 0.3927
    assert gauge.height_cm / INCH == pytest.approx(0.625)
    assert round(FOUR_INCHES / gauge.width_cm, 2) == 10.19
    assert FOUR_INCHES / gauge.height_cm == pytest.approx(6.4)
    assert gauge.flat_rate == pytest.approx(10)
    assert round(20 * INCH / gauge.width_cm, 1) == 50.9


def test_a_brief_with_a_disc_lists_one_more_round_of_ten() -> None:
    # warmdetroit.org hat sheet c3: 50 sts, 19.6 in for about 20 in
    piece = plan(read_brief(DISC.encode(), "disc")).piece
    listed = fit(piece).candidates
    plain = [c for c in listed if c.tally.crown_rates == ((10, 4),) and not c.measures.nudges]
    assert [c.measures.side_count for c in plain] == [50]
    assert round(plain[0].measures.around_cm / INCH, 1) == 19.6
    assert recount(plain[0].tally)[:5] == (10, 20, 30, 40, 50)


# --- 10. worked_examples 10: depth -----------------------------------------------------------


def test_depth_and_crown_of_a_head_of_22_inches() -> None:
    # thecountrywillows.com, hat sizing: disc 22 / pi = 7.0 in, depth 22 x 0.4 = 8.8 in
    around = 22 * INCH
    gauge = flat_gauge(8, 88, around)  # eleven rounds of eight are the head exactly
    crown, even = plain_hat(gauge, (7, 10))
    piece = Piece((crown, even), around_cm=around, depth_cm=0.4 * around)
    best = fit(piece).candidates[0]
    across = best.measures.crown_across_cm
    assert across is not None
    assert round(across / INCH, 1) == 7.0
    assert round(0.4 * around / INCH, 1) == 8.8
    assert abs(best.measures.depth_cm - 8.8 * INCH) <= gauge.height_cm / 2 + 1e-4


def test_a_childs_depth_is_four_tenths_of_the_head() -> None:
    # thecountrywillows.com, hat sizing: head x 0.4
    flags = Flags(head="50cm", ease="0", gauge="16 x 12 / 10cm")
    assert plan(brief_from_flags(flags)).piece.depth_cm == pytest.approx(20)


# --- 11. worked_examples 11: raffia sun hat in sc, craftorator.com ----------------------------


def raffia(over_cm: float) -> tuple[Piece, Tally]:
    """Gauge 17 x 21 over 10 cm or 4 in (not said). Its eyelets' repeat is not said either: they
    stand here as plain rounds, which leave the count as they find it."""
    gauge = Gauge(over_cm / 17, over_cm / 21)
    brim = Brim(gauge, width_cm=12 * gauge.height_cm, fullness=1.12, firm_rounds=0)
    crown = Crown(gauge, start_range=(5, 8))
    piece = Piece(
        (crown, Even(gauge), brim), around_cm=58.4, limits=Limits(around_cm=1.5, edge_cm=3)
    )
    slow = [change for _ in range(4) for change in (0, 6)]
    changes = (8, 8, 8, *[6] * 8, *slow, 0, 4)
    ends = (110, 120, 132, 132, 144, 144, 156, 156, 168, 168, 180)
    counts = (100, 100, *ends)
    grown = tuple(b - a for a, b in pairwise(counts))
    return piece, Tally(
        8,
        (
            SectionTally("crown", "crown", 0, changes, sectors=8),
            plain_rounds(100, 4),
            SectionTally("brim", "brim", 100, grown, sectors=10),
        ),
    )


def fullness_after(found: Measures, tally: Tally, gauge: Gauge, rounds: int) -> float:
    count = tally.round_counts[rounds - 1]
    assert found.round_widths_cm[rounds - 1] == pytest.approx(count * gauge.width_cm)
    return fullness(count, gauge.width_cm, rounds * gauge.height_cm)


@pytest.mark.parametrize(("over_cm", "around"), [(10.0, 58.8), (FOUR_INCHES, 59.8)])
def test_a_stiff_hat_beyond_flat_is_warned_about_not_refused(over_cm: float, around: float) -> None:
    # craftorator.com: 100 sts = 58.8 or 59.8 cm; fullness 1.29 at round 11, 0.94 at the end
    piece, tally = raffia(over_cm)
    gauge = piece.sections[0].gauge
    counts = recount(tally)
    assert counts[:3] == (8, 16, 24)
    assert counts[10] == 72
    assert counts[20] == 100
    assert counts[-1] == 180
    found = measure(piece, tally)
    assert found.breaches == ()
    assert round(found.around_cm, 1) == around
    assert round(fullness_after(found, tally, gauge, 11), 2) == 1.29
    assert found.fullness is not None
    assert round(found.fullness, 2) == 0.94
    # brim about 1.3 of flat, over its whole width; its shaped part is steeper still
    assert found.over_flat
    assert found.flare_deg == 90
    whole = (180 - 100) * gauge.width_cm / (2 * pi * 12 * gauge.height_cm)
    assert round(whole, 1) == 1.3
    assert found.brim_slope is not None
    assert found.brim_slope > whole
    warned = {(n.section, n.what, n.strong) for n in found.notices}
    assert ("crown", "slope", True) in warned
    assert ("brim", "slope", True) in warned
