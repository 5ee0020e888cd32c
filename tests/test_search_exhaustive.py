"""The k best, their order and the feasible set, against every tally tried by plain loops."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby

import pytest
from exhaustive import all_designs, identity
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
from evenround.solver.model import PieceModel, all_rows
from evenround.solver.search import search
from evenround.solver.ways import Ways

SLOW = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True
)
ALL = 100_000


def figure(repeat: int, rounds: int = 1) -> Figure:
    return Figure((repeat,) * (rounds + 1), (0,) * (rounds + 1))


@st.composite
def gauges(draw: st.DrawFn) -> Gauge:
    width = draw(st.sampled_from([1.0, 1.25, 1.6]))
    return Gauge(width, width * draw(st.sampled_from([0.8, 1.0, 1.3])))


@st.composite
def bands(draw: st.DrawFn, body: Gauge, around: float | None = None) -> Band:
    repeat = draw(st.integers(2, 4))
    give = draw(st.booleans())
    wish = draw(st.sampled_from([None, None, 3.5 * body.width_cm]))
    measured = draw(st.one_of(st.none(), st.just(repeat * body.width_cm * 1.05)))
    rounds = draw(st.sampled_from([1, 2]))
    grows = draw(st.integers(0, 1)) if rounds == 2 else 0
    counts = (repeat, repeat) if rounds == 1 else (repeat, repeat + grows, repeat)
    return Band(
        body,
        Figure(counts, tuple(int(give) for _ in counts)),
        rounds=(rounds, rounds * draw(st.integers(1, 2))),
        remainder=draw(st.sampled_from([0, 0, 1])),
        even_repeats=draw(st.sampled_from([False, False, True])),
        give_range=(0, 3) if give else (0, 0),
        repeat_wish_cm=wish,
        wish_width_cm=body.width_cm,
        measured_repeat_cm=measured,
        around_cm=around,
    )


@st.composite
def prices(draw: st.DrawFn) -> Prices:
    return Prices(
        nudge=draw(st.sampled_from([0.0, 1.0, 3.0])),
        second_rate=draw(st.sampled_from([0.0, 2.0])),
        depth=draw(st.sampled_from([0.0, 0.5])),
    )


@st.composite
def crowns(draw: st.DrawFn) -> Crown:
    low = draw(st.integers(4, 6))
    return Crown(
        draw(gauges()),
        shape=draw(st.sampled_from(["flat", "domed", "half sphere"])),
        start_range=(low, low + draw(st.integers(0, 4))),
        sector_range=(3, draw(st.integers(4, 8))),
        sectors_wished=draw(st.sampled_from([None, 5])),
        rates=draw(st.sampled_from([1, 2])),
        part_round=draw(st.booleans()),
        double_rounds=draw(st.sampled_from([0, 0, 1])),
        hole_cm=draw(st.sampled_from([0.0, 1.0])),
    )


@st.composite
def brims(draw: st.DrawFn) -> Brim:
    rhythms = draw(
        st.lists(
            st.sampled_from([Rhythm(1, 1), Rhythm(1, 2), Rhythm(1, 3), Rhythm(2, 3)]),
            min_size=1,
            max_size=3,
            unique=True,
        )
    )
    flare = draw(st.sampled_from([20.0, 40.0, 60.0, 70.0, None]))
    return Brim(
        draw(gauges()),
        width_cm=draw(st.sampled_from([3.0, 4.5])),
        flare_deg=flare,
        fullness=1.1 if flare is None else None,
        sector_range=(3, draw(st.integers(5, 9))),
        sectors_wished=draw(st.sampled_from([None, 4])),
        rhythms=tuple(rhythms),
        firm_rounds=draw(st.integers(0, 1)),
    )


@st.composite
def hats(draw: st.DrawFn) -> Piece:
    crown = draw(crowns())
    body = crown.gauge
    kind = draw(
        st.sampled_from(["plain", "band", "brim", "brim and edging", "crown only", "two evens"])
    )
    brimmed = kind.startswith("brim")
    even = Even(body, rounds=(0, 2 if brimmed else None))
    sections: list[object] = [crown, even]
    if kind == "crown only":
        sections = [crown]
    elif kind == "two evens":
        other = replace(body, height_cm=draw(st.sampled_from([body.height_cm, 0.9, 1.1])))
        first, second = (
            draw(st.sampled_from([(0, 1), (1, 3), (2, 2)])),
            draw(st.sampled_from([(0, 2), (2, 4), (0, None)])),
        )
        sections = [crown, Even(body, "one", first), Even(other, "two", second)]
        if draw(st.booleans()):
            sections.insert(2, draw(bands(body)))
    elif kind == "band":
        sections.append(draw(bands(body)))
    elif kind != "plain":
        sections = [crown, even] if draw(st.booleans()) else [crown]
        sections.append(draw(brims()))
        if kind == "brim and edging":
            required = draw(st.booleans())
            sections.append(Edging(body, figure(draw(st.integers(2, 4))), required=required))
    nudge = 1 if kind == "brim and edging" else 2
    return Piece(
        tuple(sections),  # type: ignore[arg-type]
        around_cm=draw(st.floats(14.0, 24.0)),
        depth_cm=draw(st.sampled_from([None, 9.0, 13.0])),
        limits=Limits(
            around_cm=2.0,
            depth_cm=draw(st.sampled_from([None, 3.0])),
            nudge_stitches=nudge,
            nudge_share=0.12,
            repeat_share=0.3,
            edge_cm=draw(st.sampled_from([3.0, 9.0])),
            flare_deg=draw(st.sampled_from([10.0, 25.0])),
        ),
        prices=draw(prices()),
    )


@st.composite
def cowls(draw: st.DrawFn) -> Piece:
    body = draw(gauges())
    first, second = (draw(bands(body, around)) for around in (20.0, draw(st.floats(20.0, 24.0))))
    sections: tuple[Band | Even, ...] = (replace(first, name="one"), replace(second, name="two"))
    if draw(st.booleans()):
        plain = Even(body, rounds=(0, 2), around_cm=draw(st.sampled_from([None, 21.0])))
        sections = (sections[0], plain, sections[1])
    return Piece(
        sections,
        start="chain",
        around_cm=draw(st.sampled_from([None, 21.0])),
        depth_cm=draw(st.sampled_from([None, 6.0])),
        limits=Limits(
            around_cm=2.4,
            depth_cm=6.0,
            nudge_stitches=3,
            nudge_share=0.2,
            nudge_apart=draw(st.sampled_from([2, 3])),
            repeat_share=0.4,
        ),
        prices=draw(prices()),
        nudges_shape=draw(st.booleans()),
    )


def unfiltered_optimum(piece: Piece) -> int | None:
    """The optimum of the whole integer model; None where it is infeasible."""
    ways = Ways(piece)
    rows = all_rows(ways)
    if not rows.ends or not all(rows.bands) or (ways.plan.crown and not rows.crowns):
        return None
    answer = PieceModel(ways.plan, rows).solve(60)
    assert answer.status in ("optimal", "infeasible")
    return answer.cost


def check(piece: Piece) -> None:
    """fit's whole list is the exhaustive list: same designs, same costs, same order; and the
    whole model, no row left out, has the same optimum."""
    wanted = all_designs(piece, highest=36)
    assert unfiltered_optimum(piece) == (wanted[0].cost if wanted else None)
    answer = fit(piece, best=ALL, near=False)
    assert answer.status == ("proven" if wanted else "impossible")
    got = [(c.measures.cost_nm, identity(piece, c.tally)) for c in answer.candidates]
    assert [cost for cost, _ in got] == [s.cost for s in wanted]
    assert {i for _, i in got} == {s.identity for s in wanted}
    place = 0
    for _, tied in groupby(wanted, key=lambda s: (s.cost, s.special)):
        group = {s.identity for s in tied}
        assert {i for _, i in got[place : place + len(group)]} == group
        place += len(group)


@SLOW
@given(hats())
def test_hats_are_listed_like_every_tally_tried(piece: Piece) -> None:
    check(piece)


@SLOW
@given(cowls())
def test_pieces_without_a_crown_are_listed_like_every_tally_tried(piece: Piece) -> None:
    check(piece)


@SLOW
@given(hats(), st.integers(1, 7))
def test_a_short_list_is_the_head_of_the_long_one(piece: Piece, best: int) -> None:
    long, short = (fit(piece, best=k, near=False).candidates for k in (ALL, best))
    assert [c.tally for c in short] == [c.tally for c in long[:best]]


def test_an_impossible_piece_is_confirmed_impossible() -> None:
    body = Gauge(1.0, 1.0)
    piece = Piece(
        (Crown(body, start_range=(6, 6), sector_range=(6, 6)), Even(body), Band(body, figure(7))),
        around_cm=24.0,
        depth_cm=10.0,
        limits=Limits(around_cm=1.0, nudge_stitches=0),
    )
    answer = fit(piece)
    assert answer.status == "impossible"
    assert all_designs(piece, highest=36) == []
    assert answer.mends == ("circumference", "repeat")  # 21 and 28 stitches


@pytest.mark.parametrize("best", [0, -3])
def test_best_must_be_positive(best: int) -> None:
    piece = Piece((Even(Gauge(1.0, 1.0)),), start="chain", around_cm=20.0)
    with pytest.raises(ValueError, match=f"best: found {best}"):
        fit(piece, best=best)


@SLOW
@given(hats(), st.sampled_from(["part_round", "sectors", "depth", "fullness", "circumference"]))
def test_tables_of_a_similar_piece_are_borrowed_only_where_they_are_the_same(
    piece: Piece, price: str
) -> None:
    """A piece that differs in one price, or in the head, searched beside the other and alone."""
    like = Ways(piece)
    search(like, 5)
    head = None if piece.around_cm is None else piece.around_cm + 0.4
    dearer = replace(piece.prices, **{price: 3 * getattr(piece.prices, price) + 0.7})
    for other in (replace(piece, prices=dearer), replace(piece, around_cm=head)):
        beside, alone = search(Ways(other, like=like), 5), search(Ways(other), 5)
        assert [d.cost for d in beside.designs] == [d.cost for d in alone.designs]
