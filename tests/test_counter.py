"""The counter on single rounds: what is used, made, left over and missing, worked by hand."""

from __future__ import annotations

import pytest

from evenround.tables.rounds.counter import (
    MOST_PLACES,
    MOST_STEPS,
    CountError,
    Reading,
    plain_round,
    work_round,
)
from evenround.tables.rounds.reader import read_steps
from evenround.tables.rounds.steps import Chain, Into, Picot, Repeat, Several, Stitch, Work

SC, DC = Stitch("sc"), Stitch("dc")


@pytest.mark.parametrize(
    ("text", "has", "uses", "makes", "over", "short"),
    [
        ("sc in each st around", 10, 10, 10, 0, 0),
        ("2 sc in each st around", 10, 10, 20, 0, 0),
        ("sc in next 7 sts", 10, 7, 7, 3, 0),
        ("sc in next 12 sts", 10, 12, 12, 0, 2),
        ("*sc in next st, 2 sc in next st; rep from * around", 10, 10, 15, 0, 0),
        ("*sc in next 3 sts, sc2tog; rep from * around", 10, 10, 8, 0, 0),
        ("*dc in next st, ch 1, sk next st; rep from * around", 10, 10, 10, 0, 0),
        ("[sc in next 2 sts, sk next st] 3 times", 10, 9, 6, 1, 0),
        (
            "*2 sc in next st, sc in next st; rep from * to last 2 sts, sc in next 2 sts",
            10,
            10,
            14,
            0,
            0,
        ),
        ("(dc, ch 1, dc) in next st, sk 2 sts, sc in next 7 sts", 10, 10, 10, 0, 0),
    ],
)
def test_a_round_by_hand(text: str, has: int, uses: int, makes: int, over: int, short: int) -> None:
    worked = work_round(read_steps(text), plain_round(has))
    assert (worked.uses, worked.makes, worked.over, worked.short) == (uses, makes, over, short)


@pytest.mark.parametrize(
    ("reading", "makes", "over"), [("whole", 12, 1), ("part", 13, 0), ("plain", 13, 0)]
)
def test_a_left_over_is_read_three_ways(reading: Reading, makes: int, over: int) -> None:
    """[sc in next 2 sts, 2 sc in next st] on 10: three repeats use 9, make 12; the tenth place is
    left, or is the first of the two plain ones, or is one plain stitch."""
    steps = read_steps("*sc in next 2 sts, 2 sc in next st; rep from * around")
    worked = work_round(steps, plain_round(10), reading=reading)
    assert (worked.makes, worked.over, worked.over_in_repeat) == (makes, over, 1)


def test_every_space_is_worked_once() -> None:
    mesh = work_round(
        read_steps("*dc in next st, ch 2, sk next 2 sts; rep from * around"), plain_round(12)
    )
    assert (mesh.spaces(), mesh.makes) == (4, 12)
    worked = work_round(read_steps("3 sc in each ch-2 sp around"), mesh.made)
    assert (worked.makes, worked.short) == (12, 0)


def test_the_rest_of_a_figure_is_passed_over_when_asked() -> None:
    shells = work_round(
        read_steps("*sc in next st, sk 1 st, 5 dc in next st, sk 1 st; rep from * around"),
        plain_round(12),
    )
    steps = read_steps("*sc in next sc, sc in center dc of shell; rep from * around")
    worked = work_round(steps, shells.made, past=True, reading="part")
    assert (shells.makes, worked.makes, worked.short) == (18, 6, 0)


def test_a_repeat_that_does_not_fit_keeps_to_the_rest_of_the_figure() -> None:
    """By hand: five of a shell and three more; after the shell's middle a repeat of four does not
    fit on the three, and the stitch behind it goes into the first of them, not into the shell."""
    below = work_round(read_steps("5 dc in next st, sc in next 3 sts"), plain_round(4)).made
    steps = (Work(SC, 1, "middle"), Repeat((Work(SC, 4),)), Work(SC))
    worked = work_round(steps, below, past=True)
    assert (worked.uses, worked.over, worked.makes) == (6, 2, 2)


def test_what_never_ends_is_refused() -> None:
    picots = (Repeat((Repeat((Picot(3),), 3000),), 3000),)
    with pytest.raises(CountError, match=f"more than {MOST_STEPS:,} steps"):
        work_round(picots, plain_round(6))
    with pytest.raises(CountError, match="never ends"):
        work_round((Repeat((Chain(1),)),), plain_round(6))
    with pytest.raises(CountError, match=f"more than {MOST_PLACES:,}"):
        work_round((Work(SC, MOST_PLACES + 1, "ring"),), plain_round(1))


def test_a_long_round_with_stitches_left_for_the_end_is_counted_step_by_step() -> None:
    """Every step is looked at once: as many steps again would pass the limit."""
    has = MOST_PLACES - 1
    pair = Into((Several(SC, 1),), 1)
    worked = work_round((Repeat((pair,), left=99), Work(DC, 99)), plain_round(has))
    assert (worked.uses, worked.makes, worked.over) == (has, has, 0)
