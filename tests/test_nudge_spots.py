"""A nudge may stand on either side of even rounds; what used to be called impossible is found."""

from __future__ import annotations

from dataclasses import replace

import pytest

from evenround.solver import (
    Band,
    Brim,
    Crown,
    Edging,
    Even,
    Figure,
    Fit,
    Gauge,
    Limits,
    Piece,
    fit,
)

WOOL = Gauge(10 / 16, 10 / 12)


def plain(repeat: int) -> Figure:
    return Figure((repeat, repeat), (0, 0))


def nudges(answer: Fit) -> list[tuple[str, int]]:
    return [(n.before, n.change) for n in answer.candidates[0].measures.nudges]


def test_before_the_edging_where_the_sides_fit_the_head_exactly() -> None:
    edging = Edging(WOOL, plain(10))
    piece = Piece(
        (Crown(WOOL, start_range=(7, 10)), Even(WOOL), edging), around_cm=55.0, depth_cm=20.0
    )
    best = fit(piece).candidates[0]
    assert best.measures.side_count == 88
    assert [(n.before, n.change) for n in best.measures.nudges] == [("edging", 2)]
    assert best.measures.score_parts["circumference"] == 0


def test_before_a_tighter_lace_that_wants_more_stitches_than_the_sides() -> None:
    lace = Band(WOOL, plain(8), measured_repeat_cm=4.6, rounds=(1, 1))
    piece = Piece(
        (Crown(WOOL, start_range=(7, 10)), Even(WOOL), lace), around_cm=56.0, depth_cm=20.0
    )
    answer = fit(piece)
    assert answer.status == "proven"
    assert nudges(answer) == [("band", 4)]


def test_between_even_sections_with_circumferences_of_their_own() -> None:
    lower, upper = (
        Even(WOOL, name=name, rounds=(4, 4), around_cm=around)
        for name, around in (("lower", 60.0), ("upper", 66.0))
    )
    limits = Limits(nudge_stitches=10, nudge_share=0.12)
    piece = Piece((lower, upper), start="chain", limits=limits, nudges_shape=True)
    assert nudges(fit(piece)) == [("upper", 10)]  # 96 = 60.0 cm, 106 = 66.25 cm


def test_before_a_brim_whose_sectors_the_sides_do_not_suit() -> None:
    cotton = Gauge(10 / 18, 10 / 13.5)
    brim = Brim(cotton, 6.0, 30.0, sector_range=(8, 8))
    sections = (Crown(cotton, start_range=(7, 10)), Even(cotton), brim)
    limits = Limits(around_cm=2.0)
    best = fit(Piece(sections, around_cm=56.0, depth_cm=19.0, limits=limits)).candidates[0]
    assert best.measures.side_count == 100
    assert [(n.before, n.change) for n in best.measures.nudges] == [("brim", 4)]


def test_on_a_tube_the_first_section_decides_and_is_what_is_shown() -> None:
    sections = (Band(WOOL, plain(6), remainder=1, rounds=(3, 3)), Even(WOOL, rounds=(3, 3)))
    piece = Piece(sections, start="chain", around_cm=60.0)
    for candidate in fit(piece).candidates:
        measures = candidate.measures
        assert measures.around_miss_cm is not None
        shown = abs(measures.around_miss_cm) * 10
        assert measures.score_parts["circumference"] == pytest.approx(shown, abs=1e-3)


def test_time_is_kept_where_there_are_very_many_bodies() -> None:
    """Not a time, a count: the search of three bands with give opens few of 300,000 bodies."""
    fine = Gauge(10 / 24, 10 / 28)
    give = Figure((3, 3), (1, 1))
    bands = tuple(
        Band(fine, give, name=f"b{i}", rounds=(2, 2), give_range=(0, 12)) for i in range(3)
    )
    piece = Piece(
        (Crown(fine, start_range=(5, 8)), Even(fine), *bands), around_cm=57.0, depth_cm=20.0
    )
    from evenround.solver.search import search
    from evenround.solver.ways import Ways

    ways = Ways(piece)
    assert len(search(ways, 10).designs) == 10
    assert len(ways.bodies._seen) < 5_000


def test_near_misses_reach_the_next_repeat_where_nothing_fits() -> None:
    stiff = Gauge(10 / 14, 10 / 11)
    band = Band(stiff, plain(14), rounds=(1, 1))
    piece = Piece(
        (Crown(stiff, start_range=(7, 10)), Even(stiff), band),
        around_cm=55.0,
        depth_cm=20.0,
        limits=Limits(nudge_stitches=0),
    )
    answer = fit(piece)
    assert answer.status == "impossible"
    assert {"circumference", "repeat"} <= set(answer.mends)
    assert [m.side_count for m in answer.near_misses] == [70, 84]
    again = fit(replace(piece, limits=replace(piece.limits, around_cm=5.5)))
    assert {c.measures.side_count for c in again.candidates} == {70, 84}


def test_every_stretch_of_even_rounds_with_its_own_size_may_have_a_nudge() -> None:
    """A band of 3 at 20 cm, even rounds at 21, a band of 2 + 1 at 23 cm, 1.25 cm a stitch: the
    model's rows must reach as far as two nudges do."""
    body = Gauge(1.25, 1.0)
    band = Band(body, Figure((3, 3), (0, 0)), "one", wish_width_cm=1.25, around_cm=20.0)
    other = Figure((2, 2), (0, 0))
    piece = Piece(
        (
            band,
            Even(body, rounds=(0, 2), around_cm=21.0),
            replace(band, figure=other, name="two", remainder=1, around_cm=23.0),
        ),
        start="chain",
        limits=Limits(around_cm=2.4, nudge_stitches=3, nudge_share=0.2, nudge_apart=2),
    )
    answer = fit(piece, best=3)
    assert answer.status == "proven" and len(answer.candidates) == 3
