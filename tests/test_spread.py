"""Changes spread over a round or a row: published placements, and evenness as such."""

from __future__ import annotations

from itertools import accumulate

import pytest
from helpers import CALM
from hypothesis import given
from hypothesis import strategies as st

from evenround.tables.rounds.counter import plain_round, work_round
from evenround.tables.rounds.pattern import Terms
from evenround.tables.rounds.reader import read_steps
from evenround.tables.rounds.steps import Stitch
from evenround.tables.rounds.writer import write_steps
from evenround.tables.spread import MOST_STITCHES, Spread, SpreadError, spread_out
from evenround.tables.spread_steps import spread_steps, spread_words

SC = Stitch("sc")


def on(spread: Spread) -> list[int]:
    """Where increases are worked."""
    return [first for first, *_ in spread.on]


def test_four_increases_on_51() -> None:
    # worked_examples 7: "Calculating where to place the increases", woolpackyarn.com
    found = spread_out(51, 4)
    assert on(found) == [13, 26, 39, 51]
    assert found.gaps == (13, 13, 13, 12)
    assert found.result == 55


def test_sixteen_increases_on_112() -> None:
    # worked_examples 7: same source, every 7th stitch
    found = spread_out(112, 16)
    assert on(found) == list(range(7, 113, 7))
    assert set(found.gaps) == {7}


def test_four_increases_on_40_in_a_row() -> None:
    # worked_examples 7: dummies.com, "How to increase at several points in the same row":
    # five groups of 8 between the four increases
    found = spread_out(40, 4, flat=True)
    assert found.gaps == (8, 8, 8, 8, 8)
    assert on(found) == [8, 16, 24, 32]


def test_186_less_8() -> None:
    # worked_examples 7: wilmade.com, evenly spaced increases and decreases: 186 less 8 = 178;
    # six gaps of 23 and two of 24 are reference's own arithmetic from 23.25
    found = spread_out(186, -8)
    assert found.result == 178
    assert sorted(found.gaps) == [23] * 6 + [24] * 2


def test_six_increases_on_18_half_a_gap_earlier() -> None:
    # worked_examples 7: "How to evenly space your increases/decreases", blog.lionbrand.com
    # 2011-07-03: at stitches 2, 5, 8, 11, 14, 17
    found = spread_out(18, 6, shift=True)
    assert on(found) == [2, 5, 8, 11, 14, 17]
    # the same round in a public tutorial on rounder circles, 2014 (worked_examples 7):
    # 1 plain, inc, (2 plain, inc) x 5, 1 plain
    assert found.plain == (1, 2, 2, 2, 2, 2, 1)


def test_staggered_rounds_of_a_published_hat() -> None:
    # C09, "Beach Raffia Crochet Hat", craftorator.com: rnd 5 "2 [i 4]5 i 2", brim rnd 3
    # "4 [i 9]11 i 5", brim rnd 11 "6 [i 13]11 i 7"
    assert spread_out(30, 6, shift=True).plain == (2, 4, 4, 4, 4, 4, 2)
    assert spread_out(120, 12, shift=True).plain == (4, *[9] * 11, 5)
    assert spread_out(168, 12, shift=True).plain == (6, *[13] * 11, 7)


def test_fifteen_increases_on_48() -> None:
    # C16, "Double Crochet Hat", stitchandunwind.com: gaps 3, 3, 3, 3, 4 three times (our turn
    # of it has the longer gap first)
    assert spread_out(48, 15).gaps == (4, 3, 3, 3, 3) * 3


# --- what holds of every spread ---------------------------------------------------------------


@st.composite
def spreads(draw: st.DrawFn, most: int = 120) -> Spread:
    stitches = draw(st.integers(1, most))
    increases = st.integers(1, stitches)
    fewer = st.integers(1, max(1, stitches // 2)).map(lambda n: -n)
    changes = draw(st.one_of(increases, fewer) if stitches > 1 else increases)
    return spread_out(stitches, changes, flat=draw(st.booleans()), shift=draw(st.booleans()))


def windows_differ_by_at_most_one(marks: list[int], *, ring: bool) -> bool:
    """Whether any two windows of equal length hold as many marks, give or take one: maximal
    evenness (Clough and Douthett 1991; Toussaint 2005)."""
    n = len(marks)
    sums = [0, *accumulate(marks + marks if ring else marks)]
    for length in range(1, n):
        starts = range(n if ring else n - length + 1)
        held = [sums[i + length] - sums[i] for i in starts]
        if max(held) - min(held) > 1:
            return False
    return True


def marks_of(spread: Spread) -> list[int]:
    """1 for every stitch of the new round that is a change, an increase by its first: of a
    decrease the one stitch made, of an increase the stitch of the old round."""
    units = spread.stitches if spread.changes > 0 else spread.result
    marks = [0] * units
    at = 0
    for plain in spread.plain[:-1]:
        at += plain
        marks[at] = 1
        at += 1
    return marks


@CALM
@given(spreads())
def test_a_spread_is_maximally_even(spread: Spread) -> None:
    marks = marks_of(spread)
    assert sum(marks) == abs(spread.changes)
    assert windows_differ_by_at_most_one(marks, ring=not spread.flat)


def test_the_measure_of_evenness_catches_a_lump() -> None:
    assert windows_differ_by_at_most_one([1, 0, 0, 1, 0, 0], ring=True)
    assert not windows_differ_by_at_most_one([1, 1, 0, 0, 0, 0], ring=True)


@CALM
@given(spreads())
def test_stitches_gaps_and_plain_add_up(spread: Spread) -> None:
    many = abs(spread.changes)
    assert len(spread.on) == many
    assert sum(spread.gaps) == spread.stitches
    assert sum(spread.plain) + many * spread.uses == spread.stitches
    assert all(plain >= 0 for plain in spread.plain)
    used = [stitch for each in spread.on for stitch in each]
    assert used == sorted(set(used))
    assert set(used) <= set(range(1, spread.stitches + 1))
    if not spread.flat:
        runs = [b[-1] - a[-1] for a, b in zip(spread.on, spread.on[1:], strict=False)]
        assert list(spread.gaps[1:]) == runs
        assert max(spread.gaps) - min(spread.gaps) <= 1


@CALM
@given(spreads())
def test_in_the_round_a_spread_ends_at_the_join_and_a_shift_halves_a_gap(spread: Spread) -> None:
    first, last = spread.plain[0], spread.plain[-1]
    if spread.shift:
        assert abs(first - last) <= 1
    elif spread.flat:
        assert -1 <= last - first <= 1
    else:
        assert last == 0


@CALM
@given(spreads(), st.sampled_from(["us", "uk"]))
def test_words_are_read_back_as_the_steps_they_came_from(spread: Spread, terms: Terms) -> None:
    steps = spread_steps(spread, SC)
    worked = work_round(steps, plain_round(spread.stitches))
    assert worked.even
    assert worked.over_in_repeat == 0
    assert worked.makes == spread.result
    words = spread_words(spread, SC, terms)
    assert words == write_steps(steps, terms)
    assert read_steps(words, terms) == steps


@CALM
@given(spreads(most=40))
def test_steps_work_the_changes_where_the_positions_say(spread: Spread) -> None:
    """Worked up to and over each position, the count has changed by that many."""
    from evenround.tables.rounds.steps import Into, Repeat, Step, Together, Work

    found: list[int] = []

    def walk(steps: tuple[Step, ...], at: int) -> int:
        for step in steps:
            match step:
                case Work(n=n):
                    at += n or 0
                case Into(times=times):
                    for _ in range(times or spread.stitches - at):
                        at += 1
                        found.append(at)
                case Together(times=times):
                    for _ in range(times or (spread.stitches - at) // 2):
                        found.append(at + 1)
                        at += 2
                case Repeat(steps=inner, times=times, left=left):
                    if times is None:
                        while at < spread.stitches - left:
                            at = walk(inner, at)
                    else:
                        for _ in range(times):
                            at = walk(inner, at)
        return at

    assert walk(spread_steps(spread, SC), 0) == spread.stitches
    assert found == on(spread)


@pytest.mark.parametrize(
    ("spread", "words"),
    [
        (spread_out(112, 16), "*Sc in next 6 sts, 2 sc in next st; rep from * around."),
        (
            spread_out(51, 4),
            "[Sc in next 12 sts, 2 sc in next st] 3 times, sc in next 11 sts, 2 sc in next st.",
        ),
        (spread_out(6, 6), "2 sc in each st around."),
        (spread_out(6, 6, flat=True), "2 sc in each of next 6 sts."),
        (spread_out(6, -3), "Sc2tog around."),
        # "sc in next st, sc2tog around" would be read as both over and over
        (spread_out(17, -8), "Sc in next st, [sc2tog] 8 times."),
        (spread_out(7, -3), "Sc in next st, [sc2tog] 3 times."),
        (
            spread_out(100, -7),
            "Sc in next 13 sts, sc2tog, [sc in next 12 sts, sc2tog] 2 times, sc in next 13 sts, "
            "sc2tog, *sc in next 12 sts, sc2tog; rep from * around.",
        ),
        (
            spread_out(40, 4, flat=True),
            "*Sc in next 7 sts, 2 sc in next st; rep from * to last 8 sts, sc in next 8 sts.",
        ),
        (
            spread_out(60, 40),
            "*Sc in next st, 2 sc in each of next 2 sts; rep from * around.",
        ),
    ],
)
def test_words_are_short(spread: Spread, words: str) -> None:
    assert spread_words(spread, SC, "us") == words


def test_a_long_round_stays_quick_and_right() -> None:
    found = spread_out(MOST_STITCHES, 4999)
    assert spread_words(found, SC, "us").count("2 sc") < 20


@pytest.mark.parametrize(
    ("stitches", "changes", "message"),
    [
        (0, 4, "STITCHES: found 0; a whole number from 1 to 10,000"),
        (-5, 4, "STITCHES: found -5"),
        (10**9, 4, "STITCHES: found 1,000,000,000"),
        (40, 0, "CHANGES: found 0; how many increases"),
        (40, 41, "CHANGES: found 41 increases; at most one in each stitch, and there are 40"),
        (40, -21, "CHANGES: found 21 decreases; each takes two stitches, and there are 40"),
        (1, -1, "each takes two stitches, and there are 1"),
        (40, 10**9, "found 1,000,000,000 increases"),
    ],
)
def test_numbers_that_make_no_sense(stitches: int, changes: int, message: str) -> None:
    with pytest.raises(SpreadError, match=message):
        spread_out(stitches, changes)
