"""Whole patterns in the styles people write, all of them our own (tests/styles), read and counted
to the end.

Every count was worked by hand: the places a round leaves, stitches and chains alike.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from evenround.tables.audit import audit_pattern
from evenround.tables.rounds.reader import read_pattern

STYLES = Path(__file__).parent / "styles"
PLACES: tuple[tuple[str, str, tuple[int, ...]], ...] = (
    ("every_bracket", "us", (6, 12, 18, 24, 30, 36, 36, 42, 42, 42, 42, 42)),
    ("chain_counts", "us", (12, 24, 36, 48, 48, 48, 48, 48)),
    ("uk_number_first", "uk", (6, 12, 18, 24, 24, 24, 24)),
    ("sizes_by_strokes", "us", (60, 66, 72, 50, 60, 66, 50, 60, 66, 50, 60, 66)),
    ("no_counts", "us", (8, 16, 24, 32, 32, 32, 32, 32, 32)),
    ("numbers_as_words", "us", (6, 12, 18, 24)),
    ("two_in_each_of_the_first", "us", (12, 19, 21)),
    ("abbreviations_alone", "us", (6, 12, 18, 24, 30, 30, 30, 30, 30, 30, 30)),
    ("spaces_and_slips", "us", (16, 24, 24, 36, 36)),
    ("uk_shells", "uk", (16, 32, 48, 48)),
    ("v_mesh", "us", (12, 36, 60, 36)),
    ("said_in_sentences", "us", (8, 16, 24, 32, 32, 32, 32, 32, 32, 32)),
    ("loops", "us", (6, 12, 18, 24, 24, 24, 24, 24, 24, 18)),
    (
        "a_round_not_for_all_sizes",
        "us",
        (6, 6, 7, 8, 12, 12, 14, 16, 18, 18, 21, 24, 28, 32, 18, 18, 28, 32),
    ),
    ("table", "us", (6, 12, 18, 24, 24, 24, 24)),
    ("bare_numbers", "us", (6, 12, 18, 24, 24)),
    ("uk_words_in_full", "uk", (12, 24, 24)),
    ("cowl_with_arches", "us", (96, 96, 144, 144, 96)),
    ("own_words", "us", (6, 12, 18, 24, 24, 18)),
    ("times_after_star", "us", (12, 24, 36, 48, 60)),
    ("short_words", "us", (8, 16, 24, 32, 32)),
    ("uk_ordinals", "uk", (12, 24, 36, 36, 36, 36)),
    ("rows", "us", (6, 12, 18, 24, 24, 18)),
    ("colours", "us", (10, 20, 30, 30, 40)),
    ("equals", "us", (6, 12, 18, 24, 24)),
    ("times_more_in_words", "us", (9, 18, 27, 36, 45, 45, 45, 45, 45, 45, 40)),
    ("worked_even", "us", (7, 14, 21, 28, 28, 28, 28, 28, 24)),
    ("eyelets_on_a_chain", "us", (60, 60, 60)),
    ("uk_sizes_in_brackets", "uk", (72, 76, 80, 72, 76, 80, 68, 72, 76)),
    ("picots", "us", (6, 12, 12, 12)),
    ("spiral_in_short_words", "us", (6, 12, 18, 24, 30, 30, 30)),
    ("count_before", "us", (6, 12, 18, 24)),
    ("square_in_spaces", "us", (20, 36)),
    ("sentences_in_inches", "us", (7, 14, 21, 28, 35, 42, 49, 49, 49, 49, 49, 49, 56, 56)),
    ("miss_and_us_terms", "us", (14, 28, 42, 70, 70)),
    ("no_spaces", "us", (9, 18, 27, 36, 45, 45, 45, 45, 45, 45, 36)),
    ("uk_mesh", "uk", (12, 24, 36, 36, 36, 36, 42)),
    ("dash_counts", "us", (10, 20, 30, 40, 40, 40, 40, 40, 40, 36, 36, 36, 36)),
    ("uk_rounds_number_first", "uk", (8, 16, 24, 32, 32, 32, 32, 32)),
)
"""Name, vocabulary, and the places after every round, size after size."""


def text_of(name: str) -> str:
    return (STYLES / f"{name}.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize(("name", "terms", "places"), PLACES)
def test_every_round_is_read_and_counted(name: str, terms: str, places: tuple[int, ...]) -> None:
    pattern = read_pattern(text_of(name))
    audit = audit_pattern(pattern)
    assert pattern.unread == ()
    assert audit.terms == terms
    assert tuple(r.places for r in audit.rounds) == places
    assert audit.faults == ()


def test_every_style_is_tried() -> None:
    assert sorted(path.stem for path in STYLES.iterdir()) == sorted(name for name, _, _ in PLACES)


_COUNT = re.compile(r"(\d+)(?=(?: ?[a-z]+)?[ )\]}>.|]*$)")
# no count stands last in a line of its own
QUIET = {
    "no_counts",
    "sizes_by_strokes",
    "v_mesh",
    "count_before",
    "square_in_spaces",
    "uk_sizes_in_brackets",
}
COUNTED = [name for name, _, _ in PLACES if name not in QUIET]


@pytest.mark.parametrize("name", COUNTED)
def test_a_wrong_count_is_the_first_fault(name: str) -> None:
    lines = text_of(name).splitlines()
    at = next(i for i, line in enumerate(lines) if i > 1 and _COUNT.search(line))
    lines[at] = _COUNT.sub(lambda found: str(int(found[1]) + 1), lines[at])
    audit = audit_pattern(read_pattern("\n".join(lines)))
    assert audit.first_fault is not None
    assert audit.first_fault.line == at + 1
