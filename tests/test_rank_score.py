"""Scores of many yarns at once equal the exact search's, piece by piece."""

from __future__ import annotations

from dataclasses import replace
from time import monotonic
from unittest.mock import patch

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from evenround.solver import (
    Band,
    Brim,
    Crown,
    Edging,
    Even,
    Figure,
    Gauge,
    Limits,
    Piece,
    Prices,
    Rhythm,
    fit,
)
from evenround.solver import rank_score as rank_score_module
from evenround.solver.rank import solved
from evenround.solver.rank_score import Scores, can_score, searched
from evenround.solver.recount import InternalCheckError

SLOW = settings(
    max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True
)
RHYTHMS = (Rhythm(1, 1), Rhythm(1, 2), Rhythm(1, 3), Rhythm(2, 3))


@st.composite
def crowns(draw: st.DrawFn) -> Crown:
    least = draw(st.integers(5, 9))
    return Crown(
        Gauge(0.6, 0.7),
        shape=draw(st.sampled_from(["flat", "flat", "domed"])),
        start_range=(least, least + draw(st.integers(0, 3))),
        sectors_wished=draw(st.sampled_from([None, 8])),
        rates=draw(st.sampled_from([1, 2])),
        part_round=draw(st.booleans()),
        double_rounds=draw(st.sampled_from([0, 0, 1])),
        hole_cm=draw(st.sampled_from([0.0, 0.8])),
    )


@st.composite
def evens(draw: st.DrawFn, most: int) -> list[Even]:
    many = draw(st.integers(0, most))
    ranges = st.sampled_from([(0, None), (0, None), (1, 4), (2, 2)])
    return [Even(Gauge(0.6, 0.7), f"even {i}", rounds=draw(ranges)) for i in range(many)]


@st.composite
def bands(draw: st.DrawFn) -> Band:
    takes = draw(st.integers(3, 8))
    give = draw(st.booleans())
    counts = draw(st.sampled_from([(takes, takes), (takes, takes + 1, takes), (takes, takes + 1)]))
    each, least, more = len(counts) - 1, draw(st.integers(1, 4)), draw(st.integers(0, 2))
    return Band(
        Gauge(0.6, 0.7),
        Figure(counts, tuple(int(give) for _ in counts)),
        rounds=(least * each, (least + more) * each),
        remainder=draw(st.sampled_from([0, 0, 0, 1])),
        even_repeats=draw(st.sampled_from([False, False, True])),
        give_range=(0, 6) if give else (0, 0),
        repeat_wish_cm=draw(st.sampled_from([None, 4.0, 4.0])),
        measured_repeat_cm=draw(st.sampled_from([None, None, 3.9])),
        measured_height_cm=draw(st.sampled_from([None, 1.3])),
    )


@st.composite
def brims(draw: st.DrawFn) -> Brim:
    wish = draw(st.sampled_from([(20.0, None), (35.0, None), (70.0, None), (None, 1.15)]))
    return Brim(
        Gauge(0.6, 0.5),
        draw(st.sampled_from([3.0, 5.5, 8.0])),
        *wish,
        sectors_wished=draw(st.sampled_from([None, 8])),
        rhythms=draw(st.sampled_from([RHYTHMS, RHYTHMS[1:2], RHYTHMS[:3]])),
        firm_rounds=draw(st.integers(0, 2)),
    )


@st.composite
def hats(draw: st.DrawFn) -> Piece:
    """A hat of the lattice's kind, at a gauge of about 17 stitches in 10 cm."""
    sections = [draw(crowns()), *draw(evens(2))]
    if draw(st.booleans()) or len(sections) == 1:
        sections += [draw(bands()), *draw(evens(1))]
    if draw(st.booleans()):
        sections.append(draw(brims()))
    if draw(st.booleans()):
        figure = Figure((draw(st.integers(2, 6)),) * 2, (0, 0))
        sections.append(Edging(Gauge(0.6, 0.5), figure, required=draw(st.booleans())))
    limits = Limits(
        around_cm=draw(st.sampled_from([0.8, 1.5])),
        depth_cm=draw(st.sampled_from([None, 1.5])),
        nudge_stitches=draw(st.integers(0, 6)),
        nudge_apart=draw(st.sampled_from([1, 3, 5])),
    )
    nudge = draw(st.sampled_from([3.0, 0.5]))
    return Piece(
        tuple(sections),
        around_cm=draw(st.sampled_from([46.0, 56.5])),
        depth_cm=draw(st.sampled_from([None, 18.0, 20.0])),
        limits=limits,
        prices=Prices(nudge=nudge, nudge_stitch=nudge / 3),
    )


def in_yarn(piece: Piece, wider: float, taller: float, odd: float) -> Piece:
    """The piece in another yarn; the brim's stitch is ``odd`` times as wide as it was."""

    def changed(section: object) -> object:
        gauge = section.gauge  # type: ignore[attr-defined]
        far = odd if isinstance(section, Brim | Edging) else 1.0
        new = Gauge(gauge.width_cm * wider * far, gauge.height_cm * taller)
        more = {"wish_width_cm": 0.6 * wider} if isinstance(section, Band) else {}
        return replace(section, gauge=new, **more)  # type: ignore[type-var]

    return replace(piece, sections=tuple(changed(s) for s in piece.sections))


@pytest.fixture(autouse=True)
def lattices_for_a_few():
    """Make lattices also where a search would be sooner."""
    with patch.object(rank_score_module, "MANY", 1):
        yield


GAUGES = st.lists(
    st.tuples(st.floats(0.7, 1.5), st.floats(0.7, 1.5), st.sampled_from([1.0, 1.0, 0.94])),
    min_size=2,
    max_size=4,
)


@SLOW
@given(hats(), GAUGES)
def test_scores_are_those_of_the_search(piece: Piece, yarns: list[tuple[float, float, float]]):
    pieces = [in_yarn(piece, *yarn) for yarn in yarns]
    assert can_score(piece)
    assert Scores(pieces).costs == [searched(each) for each in pieces]


def in_size(piece: Piece, bigger: float, flare: float, firm: int) -> Piece:
    """The piece in another size: head, depth and the brim's width, flare and firm rounds."""

    def changed(section: object) -> object:
        if not isinstance(section, Brim):
            return section
        wish = section.flare_deg if section.flare_deg is None else flare
        width = section.width_cm * bigger
        return replace(section, width_cm=width, flare_deg=wish, firm_rounds=firm)

    deep = None if piece.depth_cm is None else piece.depth_cm * bigger
    sections = tuple(changed(s) for s in piece.sections)
    around = (piece.around_cm or 50.0) * bigger
    return replace(piece, sections=sections, around_cm=around, depth_cm=deep)


SIZES = st.lists(
    st.tuples(st.floats(0.9, 1.2), st.sampled_from([15.0, 30.0, 65.0]), st.integers(0, 3)),
    min_size=2,
    max_size=4,
)


@settings(SLOW, max_examples=40)
@given(hats(), GAUGES, SIZES)
def test_sizes_are_scored_together_too(
    piece: Piece,
    yarns: list[tuple[float, float, float]],
    sizes: list[tuple[float, float, int]],
):
    pieces = [in_yarn(in_size(piece, *size), *yarns[0]) for size in sizes]
    assert Scores(pieces).costs == [searched(each) for each in pieces]


@settings(SLOW, max_examples=25)
@given(hats(), GAUGES)
def test_no_end_of_a_best_design_is_left_out(piece: Piece, yarns: list[tuple[float, float, float]]):
    """Solved with the useful ends alone: the design, its proof and its cost are fit's."""
    pieces = [in_yarn(piece, *yarn) for yarn in yarns[:2]]
    scores = Scores(pieces)
    for i, each in enumerate(pieces):
        if scores.costs[i] is None:  # then there is nothing to prune, and fit takes its time
            continue
        alone = fit(each, best=1, near=False)
        made = solved(each, scores.costs[i], monotonic() + 60, scores.useful_ends(i))
        assert [c.tally for c in made.candidates] == [c.tally for c in alone.candidates]
        assert made.status == alone.status


def test_a_score_that_the_search_does_not_reach_is_an_internal_fault():
    hat = Piece((Crown(Gauge(0.6, 0.6)), Even(Gauge(0.6, 0.6))), around_cm=56.0)
    cost = searched(hat)
    assert cost is not None
    for wrong in (cost - 1, cost + 1, None):
        with pytest.raises(InternalCheckError, match="many yarns at once scored"):
            solved(hat, wrong, monotonic() + 60)


@settings(SLOW, max_examples=15)
@given(hats(), GAUGES)
def test_scores_are_those_that_fit_proves(piece: Piece, yarns: list[tuple[float, float, float]]):
    pieces = [in_yarn(piece, *yarn) for yarn in yarns[:2]]
    found = [fit(each, best=1, near=False).candidates for each in pieces]
    assert Scores(pieces).costs == [each[0].measures.cost_nm if each else None for each in found]


def cowl() -> Piece:
    band = Band(Gauge(0.6, 0.7), Figure((6, 6), (0, 0)), around_cm=60.0)
    return Piece((band,), start="chain", limits=Limits(around_cm=2.0))


def test_pieces_of_another_kind_are_searched():
    pieces = [in_yarn(cowl(), 1 + i / 10, 1.0, 1.0) for i in range(3)]
    assert not can_score(pieces[0])
    with patch.object(rank_score_module, "searched", side_effect=searched) as asked:
        assert Scores(pieces).costs == [searched(piece) for piece in pieces]
    assert asked.call_count == 3


def test_mixed_pieces_keep_their_order():
    hat = Piece((Crown(Gauge(0.6, 0.6)), Even(Gauge(0.6, 0.6))), around_cm=56.0, depth_cm=19.0)
    pieces = [hat, cowl(), in_yarn(hat, 1.1, 1.1, 1.0), replace(hat, around_cm=48.0), cowl()]
    counted = []
    assert Scores(pieces, counted.append).costs == [searched(piece) for piece in pieces]
    assert sum(counted) == len(pieces)


@pytest.mark.parametrize("shape", ["half sphere"])
def test_a_half_sphere_is_left_to_the_search(shape: str):
    crown = Crown(Gauge(0.6, 0.6), shape=shape)
    piece = Piece((crown, Even(Gauge(0.6, 0.6))), around_cm=56.0)
    assert not can_score(piece)
    assert Scores([piece]).costs == [searched(piece)]
