"""Steps -> text -> steps is the identity in both vocabularies; US -> UK -> US too."""

from __future__ import annotations

import pytest
from helpers import CALM
from hypothesis import given
from hypothesis import strategies as st
from rounds_strategies import rounds
from test_writer import SENTENCES

from evenround.tables.rounds.pattern import Terms
from evenround.tables.rounds.reader import read_steps
from evenround.tables.rounds.steps import Into, Repeat, Step
from evenround.tables.rounds.writer import write_steps

TERMS = st.sampled_from(["us", "uk"])


def unnamed(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """The steps without the names of groups, which the writer spells out."""
    out: list[Step] = []
    for step in steps:
        match step:
            case Into(parts=parts, times=times, target=target):
                out.append(Into(parts, times, target))
            case Repeat(steps=inner, times=times, left=left, more=more):
                out.append(Repeat(unnamed(inner), times, left, more))
            case _:
                out.append(step)
    return tuple(out)


@CALM
@given(rounds(), TERMS)
def test_what_is_written_is_read_as_it_was(steps: tuple[Step, ...], terms: Terms) -> None:
    text = write_steps(steps, terms)
    assert read_steps(text, terms) == steps, text


@CALM
@given(rounds(), TERMS)
def test_there_and_back_between_the_vocabularies(steps: tuple[Step, ...], terms: Terms) -> None:
    other: Terms = "uk" if terms == "us" else "us"
    text = write_steps(steps, terms)
    there = write_steps(read_steps(text, terms), other)
    assert write_steps(read_steps(there, other), terms) == text


@pytest.mark.parametrize(("steps", "us", "uk"), SENTENCES)
def test_every_sentence_is_read_back(steps: tuple[Step, ...], us: str, uk: str) -> None:
    assert read_steps(us, "us") == unnamed(steps)
    assert read_steps(uk, "uk") == unnamed(steps)
