"""Our three scenarios, size by size: what plain enumeration found before there was a tool.

The numbers are those of demos.md (ours, no outside source).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from helpers import (
    brims,
    side_counts,
)
from sympy import ilcm

from evenround.solver import (
    Brim,
    Candidate,
    Fit,
    Piece,
    fit,
)
from evenround.tables.brief import (
    Flags,
    brief_from_flags,
    example_brief,
    plan,
)

# --- demos.md: Oskerrow Bay, a garden hat -----------------------------------------------------


@cache
def garden() -> Fit:
    return fit(plan(example_brief("garden")).piece, best=60)


def garden_with(side: int, sectors: int, block: int) -> list[Candidate]:
    return [
        c
        for c in garden().candidates
        if c.measures.side_count == side
        and c.tally.brim is not None
        and c.tally.brim.rhythm is not None
        and (c.tally.brim.sectors, c.tally.brim.rhythm.block) == (sectors, block)
        and c.tally.brim.rhythm.increases == 1
    ]


def test_the_garden_hats_side_counts() -> None:
    # demos.md: 108 and 110 remain; the naive 109 is prime; 112 is a near miss
    answer = garden()
    assert answer.status == "proven"
    assert side_counts(answer) == {108, 110}
    (near,) = [m for m in answer.near_misses if m.side_count == 112]
    assert round(near.miss_cm, 1) == 1.4
    assert near.breach.requirement == "repeat width"
    assert near.exact_gauge == pytest.approx(10 * 112 / 57.5)


@pytest.mark.parametrize(
    ("side", "sectors", "block", "times", "last", "flare"),
    [
        (108, 9, 2, 9, 189, 51.8),
        (108, 18, 4, 5, 198, 60.8),
        (110, 22, 5, 4, 198, 58.6),
    ],
)
def test_the_garden_hats_brims(
    side: int, sectors: int, block: int, times: int, last: int, flare: float
) -> None:
    # demos.md: 19 rounds, the last 2 firm; every final count is a multiple of the picot's 3
    assert (side, sectors, block, last) in brims(garden())
    for candidate in garden_with(side, sectors, block):
        brim, measures = candidate.tally.brim, candidate.measures
        assert brim is not None
        if brim.count_out != last:
            continue
        assert brim.rounds == 19
        assert brim.changes.count(sectors) == times
        assert brim.changes[-2:] == (0, 0)
        assert last % 3 == 0
        assert measures.flare_deg is not None
        assert round(measures.flare_deg, 1) == flare


def test_ten_sectors_end_on_two_hundred_and_do_not_suit_the_picot() -> None:
    # demos.md: 10 sectors every second round end on 200, not a multiple of 3
    found = [c for c in garden_with(110, 10, 2) if c.tally.brim and c.tally.brim.count_out == 200]
    assert found
    for candidate in found:
        assert [n.before for n in candidate.measures.nudges][-1] == "picot edge"
    assert 200 % 3 != 0


def test_the_garden_hats_crown_and_band() -> None:
    # demos.md: 108 = 8 x 13 + a part round of 4; 12 repeats of 9 (4.74 cm), 56.8 cm;
    # band counts 108, 132, 108, 132, 108; 14 crown rounds + 8 even + band = 19.67 cm
    listed = garden().candidates
    hat = next(
        c
        for c in listed
        if c.tally.crown_rates == ((8, 12), (4, 1)) and c.measures.side_count == 108
    )
    assert hat.tally.stop_round == 14
    even, band = hat.tally.sections[1:3]
    assert (even.rounds, band.repeat, band.repeats) == (8, 9, 12)
    assert (band.count_in, *band.counts) == (108, 132, 108, 132, 108)
    assert round(hat.measures.depth_cm, 2) == 19.67
    assert round(hat.measures.around_cm, 1) == 56.8
    assert round(hat.measures.bands[0].repeat_cm, 2) == 4.74
    # 110 = 8 x 14 - 2, 11 repeats of 10 (5.26 cm), 57.9 cm
    other = next(c for c in listed if c.tally.crown_rates == ((8, 13),))
    assert [n.change for n in other.measures.nudges] == [-2]
    assert (other.measures.bands[0].repeats, other.measures.bands[0].repeat) == (11, 10)
    assert round(other.measures.bands[0].repeat_cm, 2) == 5.26
    assert round(other.measures.around_cm, 1) == 57.9


# --- demos.md: Tamsellick, a bucket hat in five sizes -----------------------------------------

SIZES = [
    # size, side count, part round, brim sectors, brim rounds, edge: demos.md
    ("6-12 months", 84, True, 7, 7, 112),
    ("1-3 years", 88, False, 8, 7, 120),
    ("4-8 years", 96, False, 8, 8, 128),
    ("adult S/M", 104, False, 8, 8, 136),
    ("adult L", 108, True, 9, 8, 144),
]


@cache
def bucket(size: str) -> Fit:
    return fit(plan(example_brief("bucket"), size).piece, best=60)


def without_brim(piece: Piece) -> Piece:
    return replace(piece, sections=piece.sections[:3])


@pytest.mark.parametrize(("size", "side", "part", "sectors", "rounds", "edge"), SIZES)
def test_the_bucket_hat_size_by_size(
    size: str, side: int, part: bool, sectors: int, rounds: int, edge: int
) -> None:
    # demos.md: every second round, four times, over 7, 7, 8, 8, 8 rounds; flares 28 to 34
    answer = bucket(size)
    assert answer.status == "proven"
    assert side_counts(answer) == {side}
    assert (side, sectors, 2, edge) in brims(answer)
    hat = next(
        c
        for c in answer.candidates
        if (c.tally.brim and c.tally.brim.rhythm and c.tally.brim.rhythm.block) == 2
        and c.tally.brim is not None
        and (c.tally.brim.sectors, c.tally.brim.count_out) == (sectors, edge)
    )
    assert hat.tally.brim is not None
    assert hat.tally.brim.rounds == rounds
    assert hat.tally.brim.changes.count(sectors) == 4
    assert edge % 4 == 0
    assert hat.measures.flare_deg is not None
    assert 28 <= hat.measures.flare_deg <= 34
    assert (hat.measures.score_parts["part_round"] > 0) is part
    assert hat.tally.crown_rates is not None
    assert hat.tally.crown_rates[0][0] == 8


def test_the_bucket_hats_two_families_without_its_brim() -> None:
    # demos.md: 84, 88, 96, 104, 108 and 84, 92, 96, 104, 108
    found = [
        side_counts(fit(without_brim(plan(example_brief("bucket"), row[0]).piece), best=60))
        for row in SIZES
    ]
    assert found == [{84}, {88, 92}, {96}, {104}, {108}]


def test_ninety_two_has_no_number_of_brim_sectors() -> None:
    # demos.md: 92 = 4 x 23
    (near,) = [m for m in bucket("1-3 years").near_misses if m.side_count == 92]
    assert near.breach.requirement == "brim sectors"
    piece = plan(example_brief("bucket"), "1-3 years").piece
    wide = replace(piece, limits=replace(piece.limits, flare_deg=60))
    stuck = [c for c in fit(wide, best=60).candidates if c.measures.side_count == 92]
    assert stuck
    assert all("stuck brim" in {n.what for n in c.measures.notices} for c in stuck)


def test_circumferences_of_the_bucket_hats() -> None:
    # demos.md: 46.7, 48.9, 53.3, 57.8, 60.0 cm
    found = [round(bucket(row[0]).candidates[0].measures.around_cm, 1) for row in SIZES]
    assert found == [46.7, 48.9, 53.3, 57.8, 60.0]


@pytest.mark.parametrize(
    ("size", "off"), [("6-12 months", {80: -1.6}), ("adult L", {104: -2.2, 112: 2.2})]
)
def test_eight_brim_sectors_everywhere_cannot_be(size: str, off: dict[int, float]) -> None:
    # demos.md: the first size would be 1.6 cm small, the last 2.2 cm off either way
    piece = plan(example_brief("bucket"), size).piece
    eight = tuple(
        replace(s, sector_range=(8, 8)) if isinstance(s, Brim) else s for s in piece.sections
    )
    answer = fit(replace(piece, sections=eight))
    assert answer.status == "impossible"
    assert "brim sectors" in answer.mends
    near = {m.side_count: round(m.miss_cm, 1) for m in answer.near_misses}
    assert off.items() <= near.items()


# --- demos.md: Hollin Quarn, a cowl -----------------------------------------------------------


def test_the_cowls_four_tallies() -> None:
    # demos.md: four tallies lie within 2 cm at every band; 104, 105, 110, 114 is one
    answer = fit(plan(example_brief("cowl")).piece, best=60)
    found = {
        tuple(s.count_in for s in c.tally.sections if s.section == "band"): c
        for c in answer.candidates
    }
    assert len(answer.candidates) == 4
    assert set(found) == {
        (100, 105, 110, 114),
        (100, 108, 110, 114),
        (104, 105, 110, 114),
        (104, 108, 110, 114),
    }
    cowl = found[104, 105, 110, 114].measures
    assert [n.change for n in cowl.nudges] == [1, 5, 4]
    assert [round(b.around_cm, 1) for b in cowl.bands] == [61.2, 61.8, 64.7, 67.1]
    assert cowl.score_parts["nudge"] == 0
    wishes = (60, 60 + 8 / 3, 60 + 16 / 3, 68)
    for candidate in answer.candidates:
        for band, wish in zip(candidate.measures.bands, wishes, strict=True):
            assert abs(band.around_cm - wish) <= 2


def test_one_count_for_the_whole_cowl_is_impossible() -> None:
    # demos.md: one count for all would be a multiple of 60: 35 or 71 cm
    piece = plan(example_brief("cowl")).piece
    stiff = replace(piece, limits=replace(piece.limits, nudge_stitches=0))
    assert fit(stiff, near=False).status == "impossible"
    assert ilcm(4, 3, 10, 6) == 60
    width = piece.sections[0].gauge.width_cm
    assert [round(n * width) for n in (60, 120)] == [35, 71]


def test_a_repeat_of_the_flags_is_kept() -> None:
    # demos.md, Tamsellick's mesh of 4 by flags: every band that is listed closes on its count
    flags = Flags(head="56cm", ease="1", gauge="18 x 13.5 / 10cm", depth="19", repeat="4")
    answer = fit(plan(brief_from_flags(flags)).piece)
    assert answer.candidates
    for candidate in answer.candidates:
        (band,) = (s for s in candidate.tally.sections if s.section == "band")
        assert band.count_in % 4 == 0
    assert 104 in side_counts(answer)
