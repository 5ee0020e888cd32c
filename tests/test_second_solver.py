"""One family of briefs: the same optimum by fit() and by HiGHS (second_model.py)."""

from __future__ import annotations

from dataclasses import replace

import pytest
from second_model import Hat

from evenround.solver import (
    Band,
    Brim,
    Crown,
    Even,
    Figure,
    Gauge,
    Limits,
    Piece,
    Prices,
    Rhythm,
    fit,
)

UNIT = 3e-6  # mm: each part of the score is rounded to 1e-6, and a few are paid at once

BODY = Gauge(0.6, 0.7)  # flat at 7.33
BRIM = Gauge(0.624, 0.5)  # 4 % wider: a width step that costs 2 mm
EYELETS = Band(BODY, Figure((3, 3, 3), (0, 0, 0)), rounds=(2, 2))
FAN = Band(
    BODY,
    Figure((4, 6, 4), (1, 1, 1)),
    rounds=(2, 2),
    give_range=(0, 4),
    repeat_wish_cm=3.4,
    wish_width_cm=0.6,
    measured_repeat_cm=3.15,
    measured_give=1,
    measured_height_cm=1.6,
)
SUN = Brim(
    BRIM,
    width_cm=5.0,
    flare_deg=45,
    sectors_wished=9,
    rhythms=(Rhythm(1, 1), Rhythm(1, 2), Rhythm(1, 3)),
)
CROWN = Crown(BODY, start_range=(6, 9), sector_range=(5, 9), sectors_wished=7, rates=1)
HAT = Piece(
    (CROWN, Even(BODY), EYELETS, SUN),
    around_cm=46.3,
    depth_cm=15.2,
    limits=Limits(around_cm=1.3, nudge_stitches=3, repeat_share=0.25),
)


def with_sections(*sections: Crown | Even | Band | Brim) -> Piece:
    """The hat with some of its sections replaced."""
    by_kind = {type(s): s for s in (*HAT.sections, *sections)}
    limits = HAT.limits
    if FAN in sections:  # it is wider than the body, so that both need room
        limits = replace(limits, around_cm=1.7)
    in_order = tuple(by_kind[kind] for kind in (Crown, Even, Band, Brim))
    return replace(HAT, sections=in_order, limits=limits)


CASES = {
    "eyelets": HAT,
    "eyelets of seven": with_sections(replace(EYELETS, figure=Figure((7, 7, 7), (0, 0, 0)))),
    "fan with give": with_sections(FAN),
    "a hole and no wish": with_sections(
        replace(CROWN, hole_cm=1.0, start_range=(8, 14), sectors_wished=None)
    ),
    "no part round": replace(
        with_sections(replace(CROWN, part_round=False), FAN), around_cm=52.3, depth_cm=16.1
    ),
    "no nudge": replace(HAT, limits=replace(HAT.limits, nudge_stitches=0)),
    "cheap nudges": replace(HAT, prices=Prices(nudge=0.2, nudge_stitch=0.1), around_cm=45.9),
    # 72 + 3 = 75: three divide 72, so they are a part round and may not pass for a nudge
    "a dear part round": replace(
        with_sections(replace(CROWN, start_range=(8, 8), sector_range=(8, 8))),
        prices=Prices(part_round=9, nudge=0.2, nudge_stitch=0.1),
        around_cm=45.0,
    ),
    "few sectors": with_sections(replace(CROWN, sector_range=(5, 6), sectors_wished=6)),
    "a wide brim": with_sections(replace(SUN, flare_deg=70, width_cm=6.0), FAN),
    "few even rounds": replace(
        with_sections(Even(BODY, rounds=(1, 6)), EYELETS), depth_cm=14.4, around_cm=47.0
    ),
    "a steep brim": with_sections(replace(SUN, flare_deg=60, sector_range=(6, 14))),
    "four of a shape": replace(
        with_sections(replace(CROWN, sectors_wished=8), FAN),
        prices=Prices(sectors=0.5, fullness=1.0, depth=2.0),
        around_cm=47.7,
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_both_solvers_find_the_same_optimum(name: str) -> None:
    piece = CASES[name]
    other = Hat(piece).best()
    answer = fit(piece, best=1, near=False)
    assert answer.status == "proven"
    assert other is not None
    mine = answer.candidates[0].measures
    assert mine.score_mm > 0
    assert other == pytest.approx(mine.score_mm, abs=UNIT)


def test_both_solvers_find_that_nothing_is_possible() -> None:
    # 50 sts and one either way: a repeat of 13 wants 39 or 52
    piece = replace(
        with_sections(replace(EYELETS, figure=Figure((13, 13, 13), (0, 0, 0)))),
        around_cm=29.0,
        limits=replace(HAT.limits, around_cm=0.5),
    )
    assert fit(piece, near=False).status == "impossible"
    assert Hat(piece).best() is None


def test_a_dearer_part_moves_both_by_as_much() -> None:
    """The comparison notices a price: raising one that the optimum pays raises the other's."""
    piece = CASES["fan with give"]
    paid = fit(piece, best=1, near=False).candidates[0].measures.score_parts["width_step"]
    assert paid > 0
    dear = replace(piece, prices=replace(piece.prices, width_step=4.0))
    cheaper, dearer = Hat(piece).best(), Hat(dear).best()
    assert cheaper is not None and dearer is not None
    assert dearer > cheaper + 1e-3
    assert dearer == pytest.approx(
        fit(dear, best=1, near=False).candidates[0].measures.score_mm, abs=UNIT
    )
