"""Conflicts of requirements: against every subset, on pieces made by hypothesis, and by hand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from test_search_exhaustive import cowls, hats

from evenround.solver import Band, Brim, Crown, Even, Figure, Gauge, Limits, Piece
from evenround.solver.candidate import Requirement
from evenround.solver.exists import can_be_made
from evenround.solver.requirements import asked_for, without
from evenround.solver.search import search
from evenround.solver.textbook import second_opinion
from evenround.solver.ways import Ways
from evenround.solver.why import why
from evenround.tables.brief import example_brief, plan

FEW = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))


@FEW
@given(st.one_of(hats(), cowls()))
def test_what_can_be_made_is_what_the_search_finds(piece: Piece) -> None:
    assert can_be_made(piece) == bool(search(Ways(piece), 1).designs)


def minimal_conflicts(piece: Piece, names: tuple[Requirement, ...]) -> Iterator[set[Requirement]]:
    """Every smallest set that cannot hold with the rest of ``names`` given up, by trying all."""
    found: list[set[Requirement]] = []
    for size in range(1, len(names) + 1):
        for kept in map(set, combinations(names, size)):
            if any(smaller <= kept for smaller in found):
                continue
            if not search(Ways(without(piece, set(names) - kept)), 1).designs:
                found.append(kept)
    yield from found


@settings(FEW, max_examples=25)
@given(st.one_of(hats(), cowls()))
def test_a_conflict_is_one_of_those_that_trying_every_subset_finds(piece: Piece) -> None:
    """Up to 8 requirements: the others are given up on both sides."""
    names = asked_for(piece)
    rest = names[8:]
    bare = without(piece, rest)
    assume(not can_be_made(bare))
    answer = why(bare)
    assert answer.confirmed_by == "second opinion"
    found = [set(c.requirements) for c in answer.conflicts]
    assert len(asked_for(bare)) <= 8
    every = list(minimal_conflicts(bare, asked_for(bare)))
    assert len({name for each in found for name in each}) == sum(map(len, found))
    for conflict in found:
        assert conflict in every
        left = set(asked_for(bare)) - conflict
        assert not can_be_made(without(bare, left))
        assert all(can_be_made(without(bare, {*left, name})) for name in conflict)


def test_a_swatched_repeat_with_give_is_blamed_for_nothing_it_lets_through() -> None:
    """Without its repeat this band lies as wide as the swatch's stitches, with give it is wider:
    here giving up the repeat as well as all else leaves nothing, and giving up all else a hat. So
    each conflict is held to every set of others that may be given up."""
    gauge = Gauge(10 / 13, 10 / 12)
    crown = Crown(gauge, start_range=(8, 8), sector_range=(8, 8), rates=1, part_round=False)
    figure = Figure((7, 7, 7), (1, 1, 1))
    band = Band(gauge, figure, rounds=(2, 2), give_range=(0, 1), measured_repeat_cm=3.9)
    limits = Limits(around_cm=0.5, nudge_stitches=1)
    piece = Piece((crown, band, Even(gauge)), around_cm=48, depth_cm=18, limits=limits)
    names, answer = asked_for(piece), why(piece)
    assert answer.confirmed_by == "second opinion" and answer.conflicts
    every = {name for name in names if name != "repeat"}
    assert can_be_made(without(piece, every - {"circumference"}))
    assert not can_be_made(without(piece, {*names} - {"circumference"}))
    for conflict in answer.conflicts:
        others = [name for name in names if name not in conflict.requirements]
        for many in range(len(others) + 1):
            for given_up in combinations(others, many):
                assert not can_be_made(without(piece, given_up))


def test_eight_sectors_no_nudge_and_no_part_round_cannot_give_21_inches() -> None:
    """worked_examples 1 (mamas2hands.com, 2017-03-04): 4 sts per inch, 8 a round: 80 sts are 20 in,
    88 are 22 in; with 8 sectors, no nudge, no part round and a quarter inch nothing is left."""
    gauge = Gauge(2.54 / 4, 2.54 / 5)
    crown = Crown(gauge, start_range=(8, 8), sector_range=(8, 8), rates=1, part_round=False)
    limits = Limits(around_cm=0.25 * 2.54, nudge_stitches=0)
    answer = why(Piece((crown, Even(gauge)), around_cm=21 * 2.54, limits=limits))
    assert not answer.possible and answer.confirmed_by == "second opinion"
    (conflict,) = answer.conflicts
    assert {"circumference", "part round", "nudge"} <= set(conflict.requirements)


def test_a_repeat_of_seven_and_56_cm_cannot_both_hold() -> None:
    """Plain division: at 16 sts / 10 cm 84 and 91 sts are 52.5 and 56.9 cm."""
    gauge = Gauge(10 / 16, 10 / 16)
    band = Band(gauge, Figure((7, 7), (0, 0)))
    limits = Limits(around_cm=0.5, nudge_stitches=0)
    answer = why(Piece((Crown(gauge), Even(gauge), band), around_cm=56, limits=limits))
    assert [set(c.requirements) for c in answer.conflicts] == [{"circumference", "repeat"}]


@pytest.mark.parametrize("wish_cm", [0.2, 2.0, 55.0])
def test_a_slip_in_a_wished_width_is_what_conflicts(wish_cm: float) -> None:
    """Plain division: at 17 sts / 10 cm 98 sts are 57.6 cm, 14 repeats of 7; a repeat is 4.1 cm."""
    gauge = Gauge(10 / 17, 10 / 13)
    band = Band(gauge, Figure((7, 7), (0, 0)), repeat_wish_cm=wish_cm)
    piece = Piece((Crown(gauge), Even(gauge), band), around_cm=58)
    answer = why(piece)
    assert answer.confirmed_by == "second opinion"
    assert [set(c.requirements) for c in answer.conflicts] == [{"repeat", "repeat width"}]
    assert can_be_made(without(piece, ["repeat width"]))


def eight_everywhere(size: str) -> Piece:
    piece = plan(example_brief("bucket"), size).piece
    sections = (
        replace(s, sector_range=(8, 8)) if isinstance(s, Brim) else s for s in piece.sections
    )
    return replace(piece, sections=tuple(sections))


@pytest.mark.parametrize("size", ["6-12 months", "adult L"])
def test_the_bucket_with_eight_brim_sectors_everywhere(size: str) -> None:
    """demos.md: 84 and 108 have no 8 in them, and 80, 88, 104, 112 are too far off."""
    answer = why(eight_everywhere(size))
    assert not answer.possible
    assert {"circumference", "brim sectors"} <= set(answer.conflicts[0].requirements)


def test_a_false_impossible_is_caught() -> None:
    """An oracle that lies: the second opinion finds a hat, and says which."""
    piece = plan(example_brief("bucket"), "adult L").piece
    answer = why(piece, possible=lambda _: False)
    assert answer.confirmed_by == "contradicted" and not answer.conflicts
    assert answer.opinion.verdict == "possible" and answer.opinion.sections


def test_a_piece_that_can_be_made_has_no_conflict() -> None:
    piece = plan(example_brief("garden")).piece
    answer = why(piece)
    assert answer.possible and not answer.conflicts and answer.confirmed_by == "second opinion"
    assert second_opinion(piece).verdict == "possible"
