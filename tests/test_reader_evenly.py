"""Increases and decreases said only by how many: "sc around, inc 6 sts evenly" (the trade's usual
words). However they are spread, the round takes every stitch and makes as many more or fewer.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenround.tables.audit import audit_pattern
from evenround.tables.rounds.counter import plain_round, work_round
from evenround.tables.rounds.reader import ReadError, read_pattern, read_steps
from evenround.tables.rounds.steps import Into, Several, Spread, Stitch, Together, Work
from evenround.tables.rounds.stepwise import spread_out
from evenround.tables.rounds.writer import write_steps

SC, HDC = Stitch("sc"), Stitch("hdc")

WORDINGS: list[tuple[Spread, list[str]]] = [
    (
        Spread(6, SC),
        [
            "inc 6 sts evenly around",
            "sc around, inc 6 sts evenly around",
            "sc in each st around, increasing 6 sts evenly",
            "Sc in each st around, increase six stitches evenly spaced around.",
            "sc around, inc 6 evenly",
            "sc around, inc evenly 6 times",
            "work 6 increases evenly around",
            "sc around with 6 evenly spaced increases",
            "inc 6 sts evenly, sc in all others",
            "evenly inc 6 sts in the round",
        ],
    ),
    (
        Spread(-2, HDC),
        [
            "hdc around, dec 2 sts evenly around",
            "hdc in each st, decreasing 2 sts evenly across round",
            "hdc in each st around, dec 2 evenly",
        ],
    ),
    (Spread(4, Stitch("sc", "back")), ["sc in back loop of each st around, inc 4 sts evenly"]),
]


@pytest.mark.parametrize(
    ("step", "text"), [(step, text) for step, texts in WORDINGS for text in texts]
)
def test_reads(step: Spread, text: str) -> None:
    assert read_steps(text) == (step,)


@pytest.mark.parametrize(
    ("text", "column", "why"),
    [
        ("inc evenly to 48 sts", 1, "how many"),
        ("inc 0 sts evenly", 1, "none"),
        ("inc 6 sts evenly over next 20 sts", 18, "what to work"),
        ("sc around, inc 6 sts evenly, sc in next 3 sts", 1, "before the round is over"),
        ("*sc 3, inc* around, inc 3 sts evenly", 21, "before the changes"),
        ("(sc 2, inc 6 sts evenly) x 3", 8, "before the changes"),
    ],
)
def test_what_does_not_say_enough_is_refused(text: str, column: int, why: str) -> None:
    with pytest.raises(ReadError) as refused:
        read_steps(text)
    assert (refused.value.column, why in str(refused.value)) == (column, True)


def test_rounds_are_counted_and_a_wrong_count_is_a_fault() -> None:
    text = (
        "Rnd 1: 8 sc in ring\nRnd 2: sc around, inc 6 sts evenly (14)\nRnd 3: inc 4 sts evenly "
        "(18)\nRnd 4: sc around, dec 2 sts evenly around. (16)\nRnd 5: inc 6 sts evenly (21)"
    )
    audit = audit_pattern(read_pattern(text))
    assert [row.makes for row in audit.rounds] == [8, 14, 18, 16, 22]
    assert [fault.line for fault in audit.faults] == [5]


@given(st.integers(1, 300), st.integers(-150, 400).filter(bool))
def test_every_stitch_is_used_and_so_many_more_made(places: int, changes: int) -> None:
    worked = work_round((Spread(changes, SC),), plain_round(places))
    if -2 * changes > places:
        assert worked.short == -2 * changes - places
        return
    assert (worked.uses, worked.makes, worked.short) == (places, places + changes, 0)


def test_the_gaps_differ_by_one_at_most() -> None:
    increased = spread_out(Spread(3, SC), 13)
    two = Into((Several(SC, 2),))
    assert increased == (Work(SC, 4), two, Work(SC, 3), two, Work(SC, 3), two)
    assert spread_out(Spread(-2, SC), 5) == (Work(SC, 1), Together(SC), Together(SC))


@pytest.mark.parametrize("terms", ["us", "uk"])
@pytest.mark.parametrize("step", [step for step, _ in WORDINGS])
def test_written_and_read_back(terms: str, step: Spread) -> None:
    vocabulary = "us" if terms == "us" else "uk"
    assert read_steps(write_steps((step,), vocabulary), vocabulary) == (step,)
