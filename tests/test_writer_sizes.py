"""One sentence for several sizes: lists where numbers differ, each size reading its own back."""

from __future__ import annotations

from dataclasses import replace
from itertools import cycle, islice

import pytest
from helpers import CALM
from hypothesis import given, settings
from hypothesis import strategies as st
from rounds_strategies import rounds as step_rounds

from evenround.tables.rounds.lines import for_size
from evenround.tables.rounds.reader import read_steps
from evenround.tables.rounds.steps import Into, Repeat, Several, Skip, Step, Stitch, Together, Work
from evenround.tables.rounds.writer import write_steps
from evenround.tables.rounds.writer_sizes import BySize, by_size, form, in_sizes, write_for_sizes

HDC = Stitch("hdc")
TWO = Into((Several(HDC, 2),))


def test_lists_are_smallest_first_and_alone_where_all_are_alike() -> None:
    assert by_size(["60", "66", "72"]) == "60 (66, 72)"
    assert by_size(["60", "60"]) == "60"
    assert by_size(["60"]) == "60"
    assert f"{BySize([9, 9, 10])}" == "9 (9, 10)"
    assert BySize([9, 9, 10]) == 10


def increases(plain: int) -> tuple[Step, ...]:
    return (Repeat((TWO, Work(HDC, plain)), None),)


def test_an_increase_round_in_three_sizes() -> None:
    steps = [increases(n) for n in (9, 9, 10)]
    assert write_for_sizes(steps) == (
        "*2 hdc in next st, hdc in next 9 (9, 10) sts; rep from * around."
    )
    assert write_for_sizes(steps, "uk") == (
        "*2 htr in next st, htr in next 9 (9, 10) sts; rep from * around."
    )
    assert write_for_sizes(steps[:2]) == write_steps(steps[0])


def test_every_kind_of_number_is_listed() -> None:
    def steps(n: int) -> tuple[Step, ...]:
        inner = (Work(HDC, n), Skip(n), Into((Several(HDC, 3),), n))
        return (Repeat(inner, n), Together(HDC, 2, n), Repeat((TWO,), None, n))

    assert write_for_sizes([steps(2), steps(3)]) == (
        "[Hdc in next 2 (3) sts, sk next 2 (3) sts, 3 hdc in each of next 2 (3) sts] 2 (3) times, "
        "hdc2tog 2 (3) times, *2 hdc in next st; rep from * to last 2 (3) sts."
    )


@pytest.mark.parametrize(
    "other",
    [
        (Repeat((TWO, Work(Stitch("sc"), 9)), None),),
        (Repeat((TWO, Work(HDC, 9)), None, 2),),
        (Repeat((TWO, Work(HDC, 9)), 8),),
        (Repeat((TWO,), None),),
        (Repeat((Into((Several(HDC, 3),)), Work(HDC, 9)), None),),
        (*increases(9), TWO),
        (Work(HDC, None),),
    ],
)
def test_other_work_is_no_other_number(other: tuple[Step, ...]) -> None:
    assert form(other) != form(increases(9))
    with pytest.raises(ValueError, match="other steps"):
        in_sizes([increases(9), other])


def renumbered(steps: tuple[Step, ...], numbers: list[int]) -> tuple[Step, ...]:
    """The same steps with other numbers where there are numbers."""
    fresh = islice(cycle(numbers), None)

    def one(step: Step) -> Step:
        match step:
            case Work(n=int(), target="next"):
                return replace(step, n=next(fresh))
            case Skip():
                return Skip(next(fresh))
            case Repeat():
                inner = tuple(one(each) for each in step.steps)
                times = None if step.times is None else next(fresh) + 1
                return replace(step, steps=inner, times=times)
            case _:
                return step

    return tuple(one(step) for step in steps)


@settings(CALM, max_examples=60)
@given(
    step_rounds(),
    st.lists(st.lists(st.integers(1, 40), min_size=1, max_size=4), min_size=3, max_size=5),
    st.sampled_from(["us", "uk"]),
)
def test_each_size_reads_its_own_back(
    steps: tuple[Step, ...], numbers: list[list[int]], terms: str
) -> None:
    every = [renumbered(steps, each) for each in numbers]
    text = write_for_sizes(every, terms)  # type: ignore[arg-type]
    for at, own in enumerate(every):
        alone = write_steps(own, terms)  # type: ignore[arg-type]
        read = read_steps(for_size(text, at, len(every)), terms)  # type: ignore[arg-type]
        assert read == read_steps(alone, terms)  # type: ignore[arg-type]
