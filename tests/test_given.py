"""Any hat given by its counts is measured like one that the search found."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from test_search_exhaustive import cowls, hats

from evenround.solver import (
    Band,
    Brim,
    Crown,
    Edging,
    Even,
    Figure,
    Gauge,
    Piece,
    Tally,
    fit,
    measure,
    recount,
    tally_of,
)

BODY = Gauge(0.5, 0.6)
HAT = Piece((Crown(BODY), Even(BODY)), around_cm=42.0, depth_cm=15.0)


def counts_of(piece: Piece, candidate: object) -> tuple[list[tuple[int, ...]], dict[int, int]]:
    counts: list[tuple[int, ...]] = []
    nudges = {}
    for section in candidate.tally.sections:  # type: ignore[attr-defined]
        if section.section == "nudge":
            nudges[len(counts)] = section.changes[0]
        else:
            counts.append(section.counts)
    return counts, nudges


def told(tally: Tally) -> list[tuple[int | None, int | None]]:
    """What the counts of a section may not tell: its give and its sectors."""
    return [(section.give, section.sectors) for section in tally.sections]


@settings(max_examples=25, deadline=None, derandomize=True)
@given(hats() | cowls())
def test_what_fit_lists_measures_the_same_when_given_by_its_counts(piece: Piece) -> None:
    for candidate in fit(piece, near=False).candidates:
        counts, nudges = counts_of(piece, candidate)
        chain = None if isinstance(piece.sections[0], Crown) else candidate.tally.start
        tally = tally_of(piece, counts, chain=chain, nudges=nudges)
        assert recount(tally) == candidate.tally.round_counts
        if told(tally) != told(candidate.tally):
            continue  # counts alone may be of another give, or of another first rate
        measures = measure(piece, tally)
        assert measures.breaches == ()
        assert measures.cost_nm == candidate.measures.cost_nm


def test_a_hat_the_search_would_not_make_is_measured() -> None:
    # fast, then every second round: 8 16 24 30 36 36 42 42 (the shape of worked_examples 11)
    tally = tally_of(HAT, [[8, 16, 24, 30, 36, 36, 42, 42], [42] * 4])
    assert recount(tally) == (8, 16, 24, 30, 36, 36, 42, 42, 42, 42, 42, 42)
    measures = measure(HAT, tally)
    assert {b.requirement for b in measures.breaches} == {"circumference", "depth"}
    assert measures.side_count == 42


def test_an_uneven_increase_is_named() -> None:
    tally = tally_of(HAT, [[8, 16, 24, 31], [31] * 4])
    breaches = measure(HAT, tally).breaches
    assert [b.found for b in breaches if b.requirement == "even increases"] == [7]


def test_a_band_that_does_not_close_is_named() -> None:
    band = Band(BODY, Figure((5, 5), (0, 0)), rounds=(2, 2), repeat_wish_cm=2.5)
    piece = replace(HAT, sections=(*HAT.sections, band))
    measures = measure(piece, tally_of(piece, [[8, 16, 24, 32], [32], [32, 32]]))
    (breach,) = (b for b in measures.breaches if b.requirement == "repeat")
    assert (breach.section, breach.found, breach.low) == ("band", 32, 5)


@pytest.mark.parametrize(
    ("counts", "chain", "said"),
    [
        ([[8, 16]], None, "found 1 sections; 2 are asked"),
        ([[8, 16], [16]], 8, "a crown starts in a ring"),
        ([[], [16]], None, "at least the round in the ring"),
    ],
)
def test_counts_that_do_not_suit_the_piece(
    counts: list[list[int]], chain: int | None, said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        tally_of(HAT, counts, chain=chain)


def test_a_nudge_before_the_brim_must_be_near_but_does_not_decide_the_fit() -> None:
    brim = Brim(BODY, width_cm=3.0, flare_deg=0.0)
    piece = replace(HAT, sections=(*HAT.sections, brim), around_cm=40.0, depth_cm=None)
    crown = [8, *range(16, 88, 8)]
    sides = [[*crown], [80] * 3, [78] * 5]
    measures = measure(piece, tally_of(piece, sides, nudges={2: -2}))
    assert (measures.side_count, measures.around_miss_cm) == (80, 0.0)
    assert measures.breaches == ()
    far = [[*crown], [80] * 3, [76] * 5]
    (breach,) = measure(piece, tally_of(piece, far, nudges={2: -4})).breaches
    assert (breach.requirement, breach.found) == ("circumference", 38.0)


def test_a_nudge_before_the_edging_is_as_far_from_the_turn_of_the_brim_as_from_a_nudge() -> None:
    brim = Brim(BODY, width_cm=1.2, flare_deg=0.0)
    edging = Edging(BODY, Figure((5, 5), (0, 0)))
    sections = (*HAT.sections, brim, edging)
    piece = replace(HAT, sections=sections, around_cm=40.0, depth_cm=None)
    crown = [8, *range(16, 88, 8)]
    for rounds, broken in ((1, {"nudge"}), (2, set())):
        counts = [crown, [80] * 3, [80] * rounds, [78]]
        tally = tally_of(piece, counts, nudges={3: -2})
        assert {b.requirement for b in measure(piece, tally).breaches} - {"edging repeat"} == broken
