"""The nearest designs, in numbers: crowns, sections, prices of a change, against plain loops."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from helpers import CALM
from hypothesis import given
from hypothesis import strategies as st

from evenround.solver import Figure
from evenround.solver.adapt import CHANGE_PARTS, change_parts, nudges_of, uneven_rounds
from evenround.solver.adapt_crowns import crowns, full_rate, stopped, with_sectors
from evenround.solver.adapt_design import Adapted, Asked, Design, NewFigure
from evenround.solver.adapt_search import adapt, side_count
from evenround.solver.recount import recount
from evenround.solver.suits import Multiple, usual_nudge
from evenround.solver.tally import SectionTally, Tally


def cap(changes: Sequence[int], rounds: int = 10) -> Tally:
    """A crown and even rounds."""
    crown = SectionTally("crown", "crown", 0, tuple(changes), sectors=max(changes))
    return Tally(changes[0], (crown, SectionTally("even", "sides", sum(changes), (0,) * rounds)))


def to_repeat(tally: Tally, repeat: int, best: int = 8, **more: object) -> tuple[Adapted, ...]:
    """The designs whose sides suit a repeat."""
    design = Design(tally, (None,) * len(tally.sections))
    asked = Asked(repeats={1: Multiple(repeat)}, **more)  # type: ignore[arg-type]
    return adapt(design, asked, best)


def crown_of(found: Adapted) -> tuple[int, ...]:
    crown = found.tally.crown
    assert crown is not None
    return crown.changes


# --- checked against the outside ----------------------------------------------------------


def test_64_becomes_66_by_two_stitches() -> None:
    # worked_examples 4: instructables.com hat: 4 sc, 8 hdc, 8 a round to 64, then 2 increases
    # with 31 plain before each
    first = to_repeat(cap([4, 4, *[8] * 7]), 6)[0]
    assert crown_of(first) == (4, 4, *[8] * 7, 2)
    assert side_count(first.tally) == 66
    assert first.tally.sections[-1].rounds == 9, "the depth stays: an even round less"


@pytest.mark.parametrize(("repeat", "below"), [(7, 56), (9, 54)])
def test_60_becomes_63_for_a_repeat_of_7_or_9(repeat: int, below: int) -> None:
    # case C16: "Double Crochet Hat", stitchandunwind.com; 15 over 48 or 3 over 60 is ours
    found = to_repeat(cap([12] * 5), repeat)
    assert side_count(found[0].tally) == 63
    listed = {crown_of(each) for each in found}
    assert (12, 12, 12, 12, 12, 3) in listed, "three more over 60"
    assert (12, 12, 12, 12, 15) in listed, "15 over 48"
    assert below in {side_count(each.tally) for each in found}


def test_a_brim_of_12_sectors_becomes_11_on_66() -> None:
    # worked_examples 3: rolled-brim hat, ThriftyFun tip tf41072356: 72, brim 84, 96, 108 by
    # twelves; on 66 the brim is 77, 88, 99 by elevens
    crown = SectionTally("crown", "crown", 0, (12, 12, 12, 12, 12, 6, 6), sectors=12)
    even = SectionTally("even", "sides", 72, (0,) * 8)
    brim = SectionTally("brim", "brim", 72, (12, 0, 12, 0, 12, *[0] * 6), sectors=12)
    design = Design(Tally(12, (crown, even, brim)), (None, None, None))
    every = adapt(design, Asked(repeats={1: Multiple(11)}), 3)
    found = next(each for each in every if side_count(each.tally) == 66)
    assert crown_of(found) == (12, 12, 12, 12, 12, 6)
    new = found.tally.brim
    assert new is not None
    assert new.changes == (11, 0, 11, 0, 11, *[0] * 6)
    assert [c for c, change in zip(new.counts, new.changes, strict=True) if change] == [77, 88, 99]


def test_only_the_band() -> None:
    # 60 to 63 or 56 with the crown as it is (case C16's counts)
    found = to_repeat(cap([12] * 5), 7, band_only=True)
    assert {crown_of(each) for each in found} == {(12,) * 5}
    assert [sum(nudges_of(each.tally).values()) for each in found[:2]] == [3, -4]


# --- crowns against plain loops -----------------------------------------------------------


@st.composite
def crown_changes(draw: st.DrawFn) -> tuple[int, ...]:
    sectors = draw(st.integers(5, 12))
    rounds = draw(st.integers(2, 7))
    part = draw(st.sampled_from([0, *(n for n in range(2, sectors) if sectors % n == 0)]))
    return (sectors,) * rounds + ((part,) if part else ())


@CALM
@given(crown_changes(), st.integers(-12, 12), st.integers(0, 12))
def test_crowns_lie_in_the_range_once_each(changes: tuple[int, ...], off: int, wide: int) -> None:
    low = max(4, sum(changes) + off)
    found = list(crowns(changes, low, low + wide))
    assert len(found) == len(set(found))
    for crown, nudge in found:
        assert low <= sum(crown) + nudge <= low + wide
        assert abs(nudge) <= usual_nudge(sum(crown))
        assert crown[0] == changes[0]
        shared = min(len(crown), len(changes)) - 1
        assert crown[:shared] == changes[:shared], "a crown changes only at its end"
    if low <= sum(changes) <= low + wide:
        assert (stopped(changes), 0) in found


@CALM
@given(crown_changes())
def test_every_count_between_two_rounds_is_reached(changes: tuple[int, ...]) -> None:
    whole = sum(changes)
    reached = {sum(crown) + nudge for crown, nudge in crowns(changes, whole, whole + 12)}
    assert {whole, whole + full_rate(changes)} <= reached | {whole + full_rate(changes)}
    for more in range(2, full_rate(changes)):
        if whole % more == 0:
            assert whole + more in reached, "a part round that divides"


def test_other_sectors() -> None:
    assert with_sectors((8, 8, 8), 6) == (6, 6, 6)
    assert with_sectors((16, 16, 16), 8) == (16, 8, 8)
    found = list(crowns((8,) * 8, 60, 66, sectors=6))
    assert ((6,) * 10, 0) in found


def test_fixed_rounds_stay() -> None:
    found = list(crowns((6,) * 10, 30, 80, fixed=8))
    assert min(sum(crown) + nudge for crown, nudge in found) >= 48 - usual_nudge(48)
    assert all(crown[:8] == (6,) * 8 for crown, _ in found)


# --- the search -----------------------------------------------------------------------------


@CALM
@given(crown_changes(), st.integers(2, 12), st.integers(0, 6))
def test_what_is_listed_suits_counts_and_is_ranked(
    changes: tuple[int, ...], repeat: int, rounds: int
) -> None:
    before = cap(changes, rounds)
    found = to_repeat(before, repeat)
    costs = [each.cost for each in found]
    assert costs == sorted(costs)
    for each in found:
        assert side_count(each.tally) % repeat == 0
        assert recount(each.tally) == each.tally.round_counts
        assert each.parts == change_parts(before, each.tally)
        assert each.cost == sum(each.parts[part] for part in CHANGE_PARTS)
    if sum(changes) % repeat == 0 and sum(changes) >= 2 * repeat:
        assert found[0].tally == before and found[0].cost == 0


def exhaustive(changes: tuple[int, ...], repeat: int) -> int:
    """The smallest price of any near cap, by plain loops over its last two rounds."""
    before, best = cap(changes, 5), 10**9
    for cut in range(1, len(changes) + 1):
        base = changes[:cut]
        for tail in ((), *((a,) for a in range(2, 25)), (changes[0], changes[0])):
            crown = (*base, *tail)
            if crown[-1] > sum(crown[:-1]) > 0 or sum(crown) % repeat:
                continue
            uneven = bool(tail) and sum(base) % tail[0] and tail[0] < changes[0]
            if sum(crown) < 2 * repeat or (uneven and cut == len(changes)):
                continue  # fewer than the sectors after the crown: only what divides
            rounds = 5 + len(changes) - len(crown)
            if rounds < 1:
                continue
            after = cap(crown, rounds)
            best = min(best, sum(change_parts(before, after).values()))
    return best


@CALM
@given(st.integers(6, 12), st.integers(3, 6), st.integers(3, 12))
def test_the_first_is_as_near_as_plain_loops_find(sectors: int, rounds: int, repeat: int) -> None:
    changes = (sectors,) * rounds
    found = to_repeat(cap(changes, 5), repeat)
    assert found
    assert found[0].cost <= exhaustive(changes, repeat)


def banded(count: int, repeat: int, edge: int) -> Tally:
    """A hat of 8 sectors with a band, a brim of 8 and an edging of one round."""
    repeats = count // repeat
    out = count + 4 * 8
    return Tally(
        8,
        (
            SectionTally("crown", "crown", 0, (8,) * (count // 8), sectors=8),
            SectionTally("even", "sides", count, (0,) * 6),
            SectionTally(
                "band", "band", count, (0, 0), repeat, repeats, None, (repeat, repeat, repeat)
            ),
            SectionTally("brim", "brim", count, (8, 0, 8, 0, 8, 0, 8, 0), sectors=8),
            SectionTally("edging", "edging", out, (0,), edge, out // edge, None, (edge, edge)),
        ),
    )


def test_a_band_a_brim_and_an_edging_all_come_out() -> None:
    before = banded(96, 4, 4)
    design = Design(before, (None, None, Multiple(4), None, Multiple(4)))
    found = adapt(design, Asked(repeats={2: Multiple(10)}), 6)
    assert found
    for each in found:
        sections = {s.section: s for s in each.tally.sections}
        assert sections["band"].count_in % 10 == 0 and sections["band"].rounds == 2
        adds = {change for change in sections["brim"].changes if change}
        assert len(adds) == 1 and sections["brim"].count_in % adds.pop() == 0
        assert sections["edging"].count_in % 4 == 0
        assert [bool(c) for c in sections["brim"].changes] == [True, False] * 4, "its rhythm stays"


def brimmed(adds: Sequence[int]) -> Tally:
    """A cap of 60 with a brim of these rounds."""
    crown = SectionTally("crown", "crown", 0, (12,) * 5, sectors=12)
    even = SectionTally("even", "sides", 60, (0,) * 5)
    return Tally(12, (crown, even, SectionTally("brim", "brim", 60, tuple(adds), sectors=12)))


@pytest.mark.parametrize(
    ("adds", "becomes"),
    [
        # the raffia hat's habit (case C09): every round its own number; each the nearest that
        # divides what it is worked on
        ((10, 0, 12, 0, 12), (9, 0, 12, 0, 12)),
        ((-10, -10), (-9, -9)),
        ((0, 0, 0), (0, 0, 0)),
    ],
)
def test_brims_of_other_kinds(adds: tuple[int, ...], becomes: tuple[int, ...]) -> None:
    design = Design(brimmed(adds), (None, None, None))
    first = adapt(design, Asked(repeats={1: Multiple(7)}), 1)[0]
    brim = first.tally.brim
    assert brim is not None and brim.count_in == 63
    assert brim.changes == becomes
    assert recount(first.tally) == first.tally.round_counts


def test_a_brim_that_no_number_near_suits_is_no_design() -> None:
    # 67 is prime: a brim of different numbers finds none near, and a nudge back to the 60 it had
    # is more than a usual one; to 61 it is one stitch
    design = Design(brimmed((10, 0, 12)), (None, None, None))
    assert adapt(design, Asked(target=67, reach=0.4), 5) == ()
    back = adapt(design, Asked(target=61, reach=0.4), 1)[0]
    assert nudges_of(back.tally)[2] == -1
    assert back.tally.brim == design.tally.brim


def test_a_nudge_that_was_there_stays_when_only_the_band_changes() -> None:
    crown = SectionTally("crown", "crown", 0, (8,) * 8, sectors=8)
    nudge = SectionTally("nudge", "nudge", 64, (2,))
    even = SectionTally("even", "sides", 66, (0,) * 5)
    band = SectionTally("band", "band", 66, (0,), 6, 11, None, (6, 6))
    design = Design(Tally(8, (crown, nudge, even, band)), (None, None, Multiple(6)))
    found = adapt(design, Asked(repeats={2: Multiple(7)}, band_only=True), 2)
    assert [nudges_of(each.tally) for each in found] == [{1: 2, 2: -3}, {1: 2, 2: 4}]
    assert [each.tally.sections[2].rounds for each in found] == [4, 4]


def test_a_figure_is_begun_again_as_often_as_its_rounds_ask() -> None:
    waves = Figure((8, 10, 8), (1, 1, 1))
    assert waves.over(2, 0) == (10,)
    assert waves.over(2, 3) == (10, 12, 10, 12)
    assert Figure((4, 2), (0, 0)).over(0, 1) == (4, 2)


def test_another_figure_brings_its_counts() -> None:
    design = Design(banded(96, 4, 4), (None, None, Multiple(4), None, Multiple(4)))
    wanted = Multiple(8, 0, 1, (0, 8))
    new = NewFigure(Figure((8, 10, 8), (1, 1, 1)), 2)
    found = adapt(design, Asked(repeats={2: wanted}, figures={2: new}), 4)
    band = next(s for s in found[0].tally.sections if s.section == "band")
    assert band.repeat is not None and band.repeats is not None and band.give is not None
    assert band.repeat == 8 + band.give
    assert band.counts == (band.repeats * (band.repeat + 2), band.repeats * band.repeat)


def test_a_target_counts_instead_of_the_old_count() -> None:
    before = cap([8] * 10)
    found = adapt(Design(before, (None, None)), Asked(target=96.2, reach=3.0), 3)
    assert side_count(found[0].tally) == 96
    assert all(93.2 <= side_count(each.tally) <= 99.2 for each in found)
    assert found[0].parts["counts"] == 200


def test_nothing_near_is_nothing() -> None:
    assert to_repeat(cap([6, 6, 6]), 40) == ()
    with pytest.raises(ValueError, match="best: found 0"):
        to_repeat(cap([6, 6, 6]), 6, best=0)


def test_a_section_whose_repeat_nobody_saw_only_stays_as_it_was() -> None:
    crown = SectionTally("crown", "crown", 0, (8,) * 8, sectors=8)
    band = SectionTally("band", "band", 64, (0, 0))
    even = SectionTally("even", "sides", 64, (0,) * 3)
    design = Design(Tally(8, (crown, band, even)), (None, None, None))
    found = adapt(design, Asked(repeats={2: Multiple(6)}), 5)
    assert found
    for each in found:
        assert each.tally.sections[1].count_in == 64


def sun_hat(count: int, sectors: int, last: int = 0) -> Tally:
    """A hat of 9 sectors with 7 increase rounds in its brim, an edging of 6 after a nudge."""
    out = count + 7 * sectors
    edged = out + last
    nudge = (SectionTally("nudge", "nudge", out, (last,)),) if last else ()
    return Tally(
        9,
        (
            SectionTally("crown", "crown", 0, (*[9] * 10, count - 90), sectors=9),
            SectionTally("even", "sides", count, (0,) * 11),
            SectionTally("band", "band", count, (0, 0), 3, count // 3, None, (3, 3, 3)),
            SectionTally("brim", "brim", count, (sectors, 0) * 7 + (0, 0), sectors=sectors),
            *nudge,
            SectionTally("edging", "edging", edged, (0,), 6, edged // 6, None, (6, 6)),
        ),
    )


def test_how_far_a_brim_spreads_counts_more_than_its_sectors() -> None:
    # our own sun hat: 162 at the edge; on 96 with 6 sectors it is 138, a bucket hat's
    before = sun_hat(99, 9)
    cost = {
        name: sum(change_parts(before, after).values())
        for name, after in (
            ("bucket", sun_hat(96, 6)),
            ("as wide", sun_hat(96, 8, -2)),
            ("wider", sun_hat(96, 12)),
        )
    }
    assert cost["as wide"] < min(cost["bucket"], cost["wider"])


@pytest.mark.parametrize("repeat", [6, 8, 12])
def test_a_brim_is_kept_by_a_nudge_back_to_its_count(repeat: int) -> None:
    before = sun_hat(99, 9)
    design = Design(before, (None, None, Multiple(3), None, Multiple(6)))
    found = adapt(design, Asked(repeats={2: Multiple(repeat)}), 5)
    first = found[0].tally
    assert side_count(first) == 96
    assert first.brim == before.brim
    assert nudges_of(first) == {3: 3}
    edges = [each.tally.brim.count_out for each in found if each.tally.brim is not None]
    assert min(edges) > 138, "a bucket hat's edge"


# --- the prices -----------------------------------------------------------------------------


def test_what_a_change_costs() -> None:
    before, after = cap([12] * 5), cap([12, 12, 12, 12, 15])
    assert change_parts(before, after) == {
        "counts": 3000,
        "crown": 2000,
        "uneven": 3000,
        "nudges": 0,
        "rounds": 0,
        "brim": 0,
    }
    assert sum(change_parts(before, before).values()) == 0
    assert change_parts(before, cap([12] * 5, 12))["rounds"] == 2000
    assert uneven_rounds(SectionTally("crown", "crown", 0, (12, 12, 9))) == 1
    assert uneven_rounds(SectionTally("crown", "crown", 0, (4, 4, 8, 8))) == 0
    other = Tally(12, before.sections[:1])
    with pytest.raises(ValueError, match="the same sections"):
        change_parts(before, other)


def test_a_nudge_that_goes_costs_a_third() -> None:
    nudge = SectionTally("nudge", "nudge", 60, (-4,))
    crown, even = cap([12] * 5).sections
    nudged = Tally(12, (crown, nudge, SectionTally("even", "sides", 56, (0,) * 9)))
    plain = Tally(12, (crown, even))
    assert change_parts(nudged, plain)["nudges"] == 1000
    assert change_parts(plain, nudged)["nudges"] == 3000
