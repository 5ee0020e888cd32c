"""Side counts that cannot rise are seen before any search across sizes: against plain loops.

Our own pieces; no outside numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise, product

import pytest
from exhaustive_family import all_families
from hypothesis import given
from hypothesis import strategies as st
from test_family_exhaustive import HIGHEST, SOME, check, families, rules
from test_grade_search import bucket

from evenround.solver import Piece, Rules, grade
from evenround.solver import family_sizes as family_sizes_module
from evenround.solver.family_chain import can_rise
from evenround.solver.family_rows import ANY
from evenround.solver.family_search import FamilySearch
from evenround.solver.family_sizes import Sizes
from evenround.solver.ways import Ways

SIDES = st.sets(st.integers(1, 6), max_size=4)


@given(st.lists(SIDES, max_size=5))
def test_counts_can_rise_where_some_choice_of_them_rises(sizes: list[set[int]]) -> None:
    rises = any(all(a < b for a, b in pairwise(chosen)) for chosen in product(*sizes))
    assert can_rise(sizes) == rises


def test_what_is_not_known_stands_between_any_counts() -> None:
    assert can_rise([{8}, {ANY}, {4}])
    assert not can_rise([{ANY}, {8}, {8}])


def falling(pieces: Sequence[Piece], step: float) -> list[Piece]:
    """The pieces with circumferences that fall by so much from size to size."""
    return [replace(piece, around_cm=13.5 - step * i) for i, piece in enumerate(pieces)]


# A stitch is 1 cm wide and 1.5 cm off are allowed: by 3 cm the counts cannot rise at all, by less
# they can unless a repeat is in the way.
@SOME
@given(families(), rules(), st.sampled_from([1.0, 2.0, 3.0]))
def test_sizes_that_fall_are_answered_like_every_family_tried(
    pieces: list[Piece], asked: Rules, step: float
) -> None:
    pieces, asked = falling(pieces, step), replace(asked, rising=True)
    check(pieces, asked)
    for conflict in grade(pieces, asked).conflicts:
        assert not all_families([pieces[i] for i in conflict.sizes], asked, HIGHEST)


def test_counts_that_cannot_rise_take_no_search(monkeypatch: pytest.MonkeyPatch) -> None:
    sizes = Sizes([Ways(piece) for piece in reversed(bucket())], Rules(rising=True))
    with monkeypatch.context() as patch:
        patch.delattr(FamilySearch, "families")
        assert sizes.families(5, deadline=float("inf")) == []


def test_the_search_finds_the_same_where_there_is_too_much_to_look_at(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    pieces = list(reversed(bucket()))
    seen = grade(pieces, Rules(rising=True))
    monkeypatch.setattr(family_sizes_module, "MOST_BODIES", 0)
    assert seen.status == "impossible"
    assert grade(pieces, Rules(rising=True)) == seen
