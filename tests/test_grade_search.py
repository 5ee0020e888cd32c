"""All sizes together: our bucket hat, and hats of several sizes that other people published."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from importlib import import_module

import pytest
from helpers import FOUR_INCHES, INCH, flat_gauge, plain_band, plain_hat

from evenround.solver import Brim, Crown, Even, Family, Gauge, Limits, Piece, Rules, grade
from evenround.solver.family_rows import OutOfTimeError
from evenround.solver.family_sizes import Sizes
from evenround.tables.brief import example_brief, plan, read_brief

BUCKET = ("6-12 months", "1-3 years", "4-8 years", "adult S/M", "adult L")


def bucket() -> list[Piece]:
    brief = example_brief("bucket")
    return [plan(brief, size).piece for size in BUCKET]


def sides(family: Family) -> list[int]:
    return [member.measures.side_count for member in family.members]


def brim_sectors(family: Family) -> list[int | None]:
    return [brim.sectors if (brim := member.tally.brim) else None for member in family.members]


def with_brim(pieces: Sequence[Piece], low: int, high: int) -> list[Piece]:
    return [
        replace(
            piece,
            sections=tuple(
                replace(s, sector_range=(low, high)) if isinstance(s, Brim) else s
                for s in piece.sections
            ),
        )
        for piece in pieces
    ]


# --- demos.md: Tamsellick, a bucket hat in five sizes (ours, no outside source) ---------------


def test_the_buckets_two_families_without_its_brim_in_their_order() -> None:
    # demos.md: part round in the first and the last; in the second family three part rounds
    answer = grade([replace(piece, sections=piece.sections[:3]) for piece in bucket()])
    assert answer.status == "proven"
    assert [sides(f) for f in answer.families] == [[84, 88, 96, 104, 108], [84, 92, 96, 104, 108]]
    parts = [[m.measures.score_parts["part_round"] > 0 for m in f.members] for f in answer.families]
    assert [sum(each) for each in parts] == [2, 3]
    assert parts[0] == [True, False, False, False, True]


def test_the_buckets_one_family_with_its_brim() -> None:
    # demos.md: 92 has no brim sectors; 7, 8, 8, 8, 9 would do: in the family the fourth keeps 8
    answer = grade(bucket())
    assert answer.status == "proven"
    (family,) = answer.families
    assert sides(family) == [84, 88, 96, 104, 108]
    assert brim_sectors(family) == [7, 8, 8, 8, 9]
    brims = [member.tally.brim for member in family.members]
    assert [brim and brim.count_out for brim in brims] == [112, 120, 128, 136, 144]
    assert family.parts["odd_crown"] == 4_000_000  # the part rounds of the first and the last
    assert family.parts["further_sectors"] == 2_000_000  # 7 and 9 beside 8
    alone = sum(each.measures.cost_nm for each in answer.alone if each is not None)
    assert family.coherence_nm == family.cost_nm - alone == 6_000_000


def test_eight_brim_sectors_everywhere_is_a_conflict_of_the_first_and_the_last_size() -> None:
    # demos.md: the first size would be 1.6 cm small, the last 2.2 cm off either way
    answer = grade(with_brim(bucket(), 8, 8))
    assert answer.status == "impossible"
    assert answer.families == ()
    assert [conflict.sizes for conflict in answer.conflicts] == [(0,), (4,)]
    for conflict in answer.conflicts:
        assert conflict.fit is not None
        assert conflict.fit.near_misses
        assert "brim sectors" in conflict.fit.mends
    assert [each is None for each in answer.alone] == [True, False, False, False, True]


def test_a_count_that_a_size_cannot_keep_is_named() -> None:
    answer = grade(bucket(), Rules(counts={1: 92}))
    assert answer.status == "impossible"
    assert [(c.sizes, c.mends) for c in answer.conflicts] == [((1,), ("counts",))]


def test_two_sizes_that_cannot_rise_are_the_conflict() -> None:
    pieces = bucket()
    answer = grade([*pieces, pieces[2]], Rules(rising=True))
    assert answer.status == "impossible"
    (conflict,) = answer.conflicts
    assert len(conflict.sizes) == 2
    assert 5 in conflict.sizes
    assert conflict.mends == ("rising",)


def test_sides_that_turn_the_same_way() -> None:
    # round counts before the band all odd cost more here, and all odd is what "alike" comes to
    odd, alike = (grade(bucket(), Rules(sides=rule)) for rule in ("odd", "alike"))
    assert odd.families[0].cost_nm == alike.families[0].cost_nm
    assert odd.families[0].cost_nm > grade(bucket()).families[0].cost_nm


@pytest.mark.parametrize("best", [0, -1])
def test_best_must_be_positive(best: int) -> None:
    with pytest.raises(ValueError, match=f"best: found {best}"):
        grade(bucket(), best=best)


def test_no_pieces_and_no_such_size_are_refused() -> None:
    with pytest.raises(ValueError, match="pieces: found none"):
        grade([])
    with pytest.raises(ValueError, match="counts: found size 5; the sizes are 0 to 4"):
        grade(bucket(), Rules(counts={5: 84}))


def test_out_of_time_is_unproven() -> None:
    answer = grade(bucket(), time_limit=0.0)
    assert answer.status == "unproven"
    assert answer.conflicts == ()


def test_time_that_runs_out_over_a_conflict_leaves_it_impossible_and_unexplained(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # proven impossible by two paths before a conflict is looked for: no conflicts says "no time"
    def late(sizes: Sizes, deadline: float) -> None:
        raise OutOfTimeError

    monkeypatch.setattr(import_module("evenround.solver.grade"), "conflicts_of", late)
    first, second = bucket()[3], bucket()[0]
    answer = grade([first, second], Rules(rising=True))
    assert answer.status == "impossible"
    assert answer.families == ()
    assert answer.conflicts == ()
    assert None not in answer.alone


# --- published families -----------------------------------------------------------------------


def test_three_sizes_with_a_band_of_shells() -> None:
    # worked_examples 2, discmaster.textfiles.com: 16 in the ring, 60 (66, 72), 10 (11, 12) shells
    gauge = flat_gauge(12, 14, FOUR_INCHES)  # its gauge is not stated; any would do
    crown, even = plain_hat(gauge, (12, 16))
    pieces = [
        Piece((crown, even, plain_band(gauge, 6)), around_cm=count * gauge.width_cm)
        for count in (60, 66, 72)
    ]
    listed = {
        (tuple(sides(f)), f.shared.start, f.shared.crown_sectors)
        for f in grade(pieces, best=30).families
    }
    assert ((60, 66, 72), 16, 16) in listed


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
sector_range = [{low}, {high}]
"""


def rolled(low: int, high: int) -> list[Piece]:
    return [
        plan(
            read_brief(
                ROLLED.format(around=count * 4 / 14, low=low, high=high).encode(), "rolled brim"
            )
        ).piece
        for count in (66, 72)
    ]


def test_a_rolled_brim_in_two_sizes() -> None:
    # worked_examples 3, ThriftyFun tip tf41072356: 12 in the ring, 66 and 72; brims of 11 and 12,
    # for 66 is not a multiple of 12
    found = [
        f
        for f in grade(rolled(11, 12), best=20).families
        if (f.shared.start, f.shared.crown_sectors) == (12, 12)
    ]
    family = next(f for f in found if sides(f) == [66, 72])
    assert brim_sectors(family) == [11, 12]
    assert family.parts["further_sectors"] == 1_000_000


def test_five_sizes_with_half_rounds() -> None:
    # case C12, "Beanie crochet pattern", portacraft.com.au: 8 to 64 by eights, 64 (68-72-76-78);
    # 16 hdc, 10.5 rows = 10 cm
    gauge = Gauge(10 / 16, 10 / 10.5)
    counts = (64, 68, 72, 76, 78)
    crown = Crown(gauge, start_range=(8, 8), sector_range=(8, 8))
    pieces = [Piece((crown, Even(gauge)), around_cm=count * 10 / 16) for count in counts]
    assert [p.around_cm for p in pieces] == [40, 42.5, 45, 47.5, 48.75]
    families = grade(pieces, Rules(rising=True), best=10).families
    assert list(counts) in [sides(f) for f in families]


def test_five_sizes_with_a_shell_of_six() -> None:
    # case C18, "Make it Monday - Dainty Flower Beanie", mandobugcrafts.blogspot.com: 12 (15, 17,
    # 19, 21) in, 16 sts = 4 in, 6 a round; the smallest is published: 48, 8 shells
    gauge = flat_gauge(6, 16, 4 * INCH)
    crown = Crown(gauge, start_range=(6, 6), sector_range=(6, 6))
    pieces = [
        Piece((crown, Even(gauge), plain_band(gauge, 6)), around_cm=inches * INCH)
        for inches in (12, 15, 17, 19, 21)
    ]
    limits = Limits(around_cm=2.6, nudge_stitches=0)
    pieces = [replace(p, limits=limits) for p in pieces]
    first = grade(pieces, best=5).families[0]
    assert sides(first)[0] == 48
    assert first.members[0].measures.bands[0].repeats == 8
    # the rest is ours: 66 (half an inch under) before 72, 78 before 72, one sector number, no nudge
    assert sides(first) == [48, 60, 66, 78, 84]
    assert all(m.measures.nudges == () for m in first.members)
