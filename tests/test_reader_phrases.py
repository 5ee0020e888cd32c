"""A phrase is looked for roughly first: the rough look misses none and keeps their order."""

from __future__ import annotations

import re
from itertools import product
from pathlib import Path

import pytest

from evenround.tables.rounds.pattern import Terms
from evenround.tables.rounds.reader_lexer import plain
from evenround.tables.rounds.reader_phrases import Known, machine, phrase_at
from evenround.tables.rounds.reader_words import PHRASES, STITCHES
from evenround.tables.rounds.vocabulary import stitch_words, usual_groups, words_pattern

FOLDER = Path(__file__).parent
TEXTS = sorted([*FOLDER.glob("styles/*.txt"), *FOLDER.glob("cases/*.txt")])
TERMS: tuple[Terms, ...] = ("us", "uk")


@pytest.mark.parametrize("terms", TERMS)
def test_the_first_phrase_that_matches_is_found(terms: Terms) -> None:
    """Every place of every line of the patterns in this folder, against each phrase in turn."""
    own = ("bump",)
    known = Known(tuple(stitch_words(terms)), (*usual_groups(), *own), own)
    exact = [(kind, re.compile(text)) for kind, _, text in machine(known)[1]]
    lines = {plain(line) for path in TEXTS for line in path.read_text("utf-8").splitlines()}
    lines |= {"front post hdc around bump", "fl sc in next 2 sts", "back post of next st, bl dc"}
    found = 0
    for line in sorted(lines):
        for at in range(len(line)):
            first = next(
                ((kind, match.span()) for kind, p in exact if (match := p.match(line, at))), None
            )
            kind, match = phrase_at(line, at, known)
            assert (None if match is None else (kind, match.span())) == first, line[at:]
            found += first is not None
    assert found > 1000


def test_only_phrases_that_say_where_no_stitch_may_follow_are_never_rough() -> None:
    """A rough stitch in "not before a stitch" would refuse too much."""
    refusing = {kind for kind, text in PHRASES if re.search(rf"\(\?!(?:(?!\)).)*{STITCHES}", text)}
    assert refusing == {"POST", "LOOP"}


@pytest.mark.parametrize("terms", TERMS)
def test_words_with_one_beginning_are_told_apart_longest_first(terms: Terms) -> None:
    names = [*stitch_words(terms), *usual_groups()]
    written_out = "|".join(
        re.escape(name).replace(r"\ ", r"\s+") for name in sorted(names, key=len, reverse=True)
    )
    for ending in ("", r"(?![a-z])"):
        one = re.compile(f"(?:{words_pattern(names)}){ending}")
        other = re.compile(f"(?:{written_out}){ending}")
        for text in (*names, *(a + b for a, b in product(names[::7], ("s", " st", "tog", "h")))):
            matches = [pattern.match(text) for pattern in (one, other)]
            assert len({match and match[0] for match in matches}) == 1, text
    assert words_pattern([]) == ""
