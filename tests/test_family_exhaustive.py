"""The k best families, their order and the joint optimum, against every family by plain loops."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby

from exhaustive_family import all_families, family_identity
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from test_search_exhaustive import figure

from evenround.solver import (
    Band,
    Brim,
    Crown,
    Edging,
    Even,
    Gauge,
    Limits,
    Piece,
    Prices,
    Rhythm,
    Swatch,
    fit,
)
from evenround.solver.family import KEPT, FamilyPrices, Rules
from evenround.solver.family_model import FamilyModel
from evenround.solver.family_rows import UNLIMITED
from evenround.solver.family_sizes import Sizes
from evenround.solver.grade import grade
from evenround.solver.piece import Section
from evenround.solver.ways import Ways

SOME = settings(
    max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True
)
MORE = settings(SOME, max_examples=20)  # where plain loops are quick, or none are needed
ALL = 10_000
HIGHEST = 20
TIME = 60.0
BODY = Gauge(1.0, 0.8)
WEIGHED = Swatch(5.0, 50.0)


@st.composite
def rules(draw: st.DrawFn) -> Rules:
    """What is kept, asked and paid, each now and then."""
    return Rules(
        kept=frozenset(draw(st.sets(st.sampled_from(KEPT)))),
        rising=draw(st.booleans()),
        sides=draw(st.sampled_from([None, None, "odd", "even", "alike"])),
        prices=FamilyPrices(
            odd_crown=draw(st.sampled_from([0.0, 2.0])),
            odd_nudge=draw(st.sampled_from([0.0, 2.0])),
            further_sectors=draw(st.sampled_from([0.0, 1.0, 3.0])),
        ),
    )


@st.composite
def sections(draw: st.DrawFn) -> tuple[Section, ...]:
    """One pattern's sections, small enough for plain loops."""
    low = draw(st.integers(4, 6))
    crown = Crown(
        BODY,
        start_range=(low, low + draw(st.integers(0, 3))),
        sector_range=(3, 7),
        rates=draw(st.sampled_from([1, 2])),
        part_round=draw(st.booleans()),
        double_rounds=draw(st.sampled_from([0, 0, 0, 1])),
        swatch=WEIGHED,
    )
    even = Even(BODY, rounds=(0, draw(st.sampled_from([3, None]))), swatch=WEIGHED)
    kind = draw(st.sampled_from(["plain", "band", "band and even", "brim", "brim and edging"]))
    rounds = draw(st.sampled_from([(1, 1), (1, 2)]))
    band = Band(BODY, figure(draw(st.integers(2, 4))), rounds=rounds, swatch=WEIGHED)
    rhythms = draw(st.sampled_from([(Rhythm(1, 1),), (Rhythm(1, 2), Rhythm(1, 3))]))
    brim = Brim(
        BODY,
        width_cm=2.4,
        flare_deg=40.0,
        sector_range=(3, 7),
        rhythms=rhythms,
        firm_rounds=draw(st.integers(0, 1)),
        swatch=WEIGHED,
    )
    edging = Edging(BODY, figure(draw(st.integers(2, 4))), swatch=WEIGHED)
    return {
        "plain": (crown, even),
        "band": (crown, even, band),
        "band and even": (crown, replace(even, rounds=(0, 3)), band, replace(even, rounds=(0, 2))),
        "brim": (crown, replace(even, rounds=(0, 2)), brim),
        "brim and edging": (crown, brim, edging),
    }[kind]


@st.composite
def families(draw: st.DrawFn) -> list[Piece]:
    """Two or three sizes of one pattern."""
    parts = draw(sections())
    depth = draw(st.sampled_from([None, 6.0, 6.0]))
    edged = isinstance(parts[-1], Edging)
    around = draw(st.floats(9.5, 11.5))
    step = draw(st.sampled_from([0.0, 1.0]))
    return [
        Piece(
            parts,
            around_cm=around + step * i,
            depth_cm=None if depth is None else depth + i,
            limits=Limits(
                around_cm=1.5,
                depth_cm=1.7,
                nudge_stitches=0 if edged else 1,
                nudge_share=0.12,
                flare_deg=25.0,
            ),
            prices=Prices(nudge=1.0, depth=0.5),
        )
        for i in range(draw(st.integers(2, 3)))
    ]


def check(pieces: list[Piece], asked: Rules) -> None:
    wanted = all_families(pieces, asked, HIGHEST)
    answer = grade(pieces, asked, best=ALL, time_limit=TIME)
    got = [
        (
            f.cost_nm,
            family_identity(asked, [m.tally for m in f.members], [m.measures for m in f.members]),
        )
        for f in answer.families
    ]
    assert answer.status == ("proven" if wanted else "impossible")
    assert [cost for cost, _ in got] == [f.cost for f in wanted]
    assert {i for _, i in got} == {f.identity for f in wanted}
    place = 0
    for _, tied in groupby(wanted, key=lambda f: (f.cost, f.special)):
        group = {f.identity for f in tied}
        assert {i for _, i in got[place : place + len(group)]} == group
        place += len(group)


@MORE
@given(families(), rules())
def test_families_are_listed_like_every_family_tried(pieces: list[Piece], asked: Rules) -> None:
    check(pieces, asked)


@SOME
@given(families(), rules(), st.integers(0, 2), st.integers(0, 8))
def test_a_count_that_is_kept(pieces: list[Piece], asked: Rules, size: int, off: int) -> None:
    size = min(size, len(pieces) - 1)
    wish = pieces[size].around_cm
    assert wish is not None
    check(pieces, replace(asked, counts={size: round(wish) - 1 + off % 3}))


@SOME
@given(families(), rules(), st.floats(0.9, 1.1))
def test_yarn_at_hand(pieces: list[Piece], asked: Rules, share: float) -> None:
    best = grade(pieces, asked, best=1, time_limit=TIME).families
    if not best:
        return
    yarns = [m.measures.yarn for m in best[0].members]
    grams = sum((y.grams or 0) * (1 + y.margin) for y in yarns)
    check(pieces, replace(asked, yarn_grams=grams * share))


@MORE
@given(families(), rules(), st.integers(1, 4))
def test_a_short_list_is_the_head_of_the_long_one(
    pieces: list[Piece], asked: Rules, best: int
) -> None:
    long, short = (grade(pieces, asked, best=k, time_limit=TIME).families for k in (ALL, best))
    assert [[m.tally for m in f.members] for f in short] == [
        [m.tally for m in f.members] for f in long[:best]
    ]


@MORE
@given(families())
def test_with_nothing_kept_every_size_has_its_own_best(pieces: list[Piece]) -> None:
    free = Rules(kept=frozenset(), prices=FamilyPrices(0.0, 0.0, 0.0))
    answer = grade(pieces, free, best=1, time_limit=TIME)
    alone = [fit(piece, best=1, near=False).candidates for piece in pieces]
    if not all(alone):
        assert answer.status == "impossible"
        return
    (family,) = answer.families
    assert [m.tally for m in family.members] == [found[0].tally for found in alone]
    assert family.coherence_nm == 0


@MORE
@given(families(), rules())
def test_the_row_model_over_all_rows_agrees(pieces: list[Piece], asked: Rules) -> None:
    sizes = Sizes([Ways(piece) for piece in pieces], asked)
    rows = [table.up_to(UNLIMITED, float("inf")) for table in sizes.tables]
    best = grade(pieces, asked, best=1, time_limit=TIME).families
    if not all(rows):
        assert not best
        return
    model = FamilyModel(rows, asked)
    model.minimise()
    answer = model.solve(TIME)
    assert answer.cost == (best[0].cost_nm if best else None)
    assert answer.status == ("optimal" if best else "infeasible")
