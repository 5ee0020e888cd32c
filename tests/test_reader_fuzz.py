"""Any text at all: the reader answers or refuses with its own error, and claims nothing odd."""

from __future__ import annotations

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from evenround.tables.rounds.pattern import Pattern
from evenround.tables.rounds.reader import ReadError, read_pattern, read_steps

VOCABULARY = (
    "sc hdc dc 2 3 12 inc dec * ** ( ) [ ] { } , ; . : - x times more rep from around end to "
    "last in next each every other st sts same ring ch ch-1 sp sk join turn Rnd Rnds 1 2-5 Size "
    'M only shell V blo FPdc and counts as not (12) (8, 10) 8 (10) = " cm gauge | \n \u00d7 '
    "\u2013 \u00bd once third magic miss htr sl 99999999 until rounds over remaining middle of "
    "picot sc2tog"
)
WORDS = st.sampled_from(VOCABULARY.split(" "))
TEXTS = st.one_of(
    st.text(max_size=200),
    st.lists(WORDS, max_size=40).map(" ".join),
    st.lists(WORDS, max_size=30).map(lambda words: "Rnd 1: " + " ".join(words)),
)


@settings(max_examples=400, deadline=None)
@given(TEXTS)
def test_a_pattern_is_read_or_refused(text: str) -> None:
    try:
        pattern = read_pattern(text)
    except ReadError as refused:
        assert str(refused)
        return
    assert pattern.rounds
    sound(pattern, text)


def sound(pattern: Pattern, text: str) -> None:
    lines = text.splitlines()
    for unread in pattern.unread:
        assert unread.why and 1 <= unread.where.line <= len(lines)
        assert 1 <= unread.where.column <= len(lines[unread.where.line - 1]) + 2
    for told in pattern.rounds:
        assert (told.steps is None) == (told.unread is not None)
        assert told.steps is None or told.steps or told.as_rounds is not None
        several = len(told.sizes if told.sizes is not None else pattern.sizes)
        assert len(told.printed) in (0, 1, several)
        assert told.steps is None or len(told.steps) in (0, 1, several)
        assert told.steps is not None or told.unread in pattern.unread


@settings(max_examples=400, deadline=None)
@given(st.one_of(st.text(max_size=80), st.lists(WORDS, max_size=25).map(" ".join)))
def test_an_instruction_is_read_or_refused(text: str) -> None:
    for terms in ("us", "uk"):
        try:
            assert read_steps(text, terms)
        except ReadError as refused:
            assert str(refused) and 1 <= refused.column <= len(text) + 1


@pytest.mark.parametrize(
    "text",
    [
        "Rnd 1: " + "(" * 3000 + "sc" + ")" * 3000,
        "Rnd 1: " + "*" * 4000,
        "Rnd 1: " + "sc, " * 100_000,
        "Rnd 1: " + "9" * 4000 + " sc in ring",
        "Rnds 1-999999: sc in each st",
        "Rnd 1: sc (" + "1, " * 1500 + "1)",
        "Rnd 1: " + "1 (1 " * 900,
        "Gauge " + "1/" * 2000 + "\nRnd 1: 6 sc in ring",
        "Sizes " + " " * 4000 + "\nRnd 1: 6 sc in ring",
        "Rnd 1: sc" + "\n2 sc in next st," * 5000,
        "Sizes S (M" + " : L" * 900 + ")\nRnd 1: 8 (9" + " : 9" * 900 + ") sc in ring",
        "Rnd 1: " + "inc 6 sts " * 400,
        "Rnd 1-2 (" + "3-4, " * 900 + "5): sc in ring",
    ],
    ids=[
        "deep",
        "stars",
        "long",
        "huge",
        "many",
        "list",
        "open",
        "slashes",
        "blank",
        "wrapped",
        "colons",
        "evenly",
        "label",
    ],
)
def test_what_nobody_writes_is_answered_soon(text: str) -> None:
    begun = time.process_time()
    pattern = read_pattern(text)
    # what takes a second here would take hours if it grew faster than the text
    assert time.process_time() - begun < 20
    assert pattern.rounds
    sound(pattern, text)
