"""Rounds that grow or shrink, as steps: they come out, evenly spread, shifted as published."""

from __future__ import annotations

import pytest
from helpers import CALM
from hypothesis import given
from hypothesis import strategies as st

from evenround.solver import InternalCheckError
from evenround.tables.pattern.shaping import change_round
from evenround.tables.rounds.counter import plain_round, work_round
from evenround.tables.rounds.steps import Into, Repeat, Step, Stitch, Together, Work
from evenround.tables.rounds.writer import write_steps

SC = Stitch("sc")


def written_out(steps: tuple[Step, ...], count: int) -> list[str]:
    """Each place's fate in order: "." plain, "i" an increase, "d" the two of a decrease."""
    out: list[str] = []
    for step in steps:
        match step:
            case Work(n=n):
                out += ["."] * (count - len(out) if n is None else n)
            case Into(times=n):
                out += ["i"] * (count - len(out) if n is None else n)
            case Together():
                out += ["d", "d"]
            case Repeat(steps=inner, times=times, left=left):
                block = written_out(inner, 0)
                times = (count - left - len(out)) // len(block) if times is None else times
                out += block * times
            case _:
                raise AssertionError(step)
    return out


@CALM
@given(st.integers(3, 130), st.data(), st.booleans())
def test_every_change_comes_out(count: int, data: st.DataObject, shift: bool) -> None:
    change = data.draw(st.integers(-(count // 2), 2 * count))
    steps = change_round(SC, count, change, shift=shift)
    worked = work_round(steps, plain_round(count))
    assert (worked.even, worked.makes) == (True, count + change)


@CALM
@given(st.integers(4, 130), st.data(), st.booleans())
def test_gaps_differ_by_one_at_most_over_the_join_too(
    count: int, data: st.DataObject, shift: bool
) -> None:
    changes = data.draw(st.integers(1, count - 1))
    marks = written_out(change_round(SC, count, changes, shift=shift), count)
    assert len(marks) == count
    at = [i for i, mark in enumerate(marks) if mark == "i"]
    gaps = {(b - a) % count or count for a, b in zip(at, [*at[1:], at[0]], strict=True)}
    assert len(at) == changes
    assert max(gaps) - min(gaps) <= 1


def test_a_shifted_round_as_published() -> None:
    """Rounds of six, the fourth: 1 plain, inc, (2 plain, inc) x5, 1 plain (worked_examples 7:
    public tutorial on rounder circles, 2014)."""
    steps = change_round(SC, 18, 6, shift=True)
    assert "".join(written_out(steps, 18)) == ".i" + "..i" * 5 + "."
    assert write_steps(steps) == (
        "Sc in next st, 2 sc in next st, *sc in next 2 sts, 2 sc in next st; rep from * to last "
        "st, sc in next st."
    )


def test_increases_fall_where_published() -> None:
    """18 + 6: at stitches 2, 5, 8, 11, 14, 17 of 18 (worked_examples 7: "How to evenly space your
    increases/decreases", blog.lionbrand.com 2011-07-03)."""
    marks = written_out(change_round(SC, 18, 6, shift=True), 18)
    assert [i for i, mark in enumerate(marks, 1) if mark == "i"] == [2, 5, 8, 11, 14, 17]


@pytest.mark.parametrize(
    ("count", "changes", "before", "rest"),
    [
        # C09 of the cases ("Helping our users. Beach Raffia Crochet Hat", craftorator.com)
        (30, 6, 2, 2),  # rnd 5: sc 2, (Inc, sc 4) x 5, Inc, sc 2
        (42, 6, 3, 3),  # rnd 7
        # C04 ("Helping our users. Crochet Beach Hat", craftorator.com), rnds 12 and 14: 3 before
        # the first and, put right, 2 after the last; 4 before and 3 after
        (72, 12, 3, 2),
        (96, 12, 4, 3),
    ],
)
def test_shifted_rounds_of_published_hats(count: int, changes: int, before: int, rest: int) -> None:
    marks = "".join(written_out(change_round(SC, count, changes, shift=True), count))
    plain = "." * (count // changes - 1)
    assert marks == "." * before + f"i{plain}" * (changes - 1) + "i" + "." * rest


def test_unshifted_increases_stand_first_in_their_sectors() -> None:
    assert write_steps(change_round(SC, 24, 6, shift=False)) == (
        "*2 sc in next st, sc in next 3 sts; rep from * around."
    )


def test_a_nudge_is_spelt_out() -> None:
    """51 sts, 4 increases, gaps 13, 13, 13, 12 (worked_examples 7: "Calculating where to place
    the increases", woolpackyarn.com)."""
    marks = written_out(change_round(SC, 51, 4, shift=True), 51)
    at = [i for i, mark in enumerate(marks) if mark == "i"]
    gaps = [(b - a) % 51 for a, b in zip(at, [*at[1:], at[0]], strict=True)]
    assert sorted(gaps) == [12, 13, 13, 13]
    assert write_steps(change_round(SC, 112, -2, shift=True)) == (
        "Sc in next 27 sts, sc2tog, sc in next 54 sts, sc2tog, sc in next 27 sts."
    )


def test_more_cannot_go_than_there_are_pairs() -> None:
    with pytest.raises(InternalCheckError, match="9 stitches cannot lose 5"):
        change_round(SC, 9, -5, shift=False)
