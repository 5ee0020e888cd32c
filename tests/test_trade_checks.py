"""The trade's own numbers: flat rates by stitch, discs, yarn classes."""

from __future__ import annotations

import pytest
from helpers import (
    CALM,
    FOUR_INCHES,
    disc,
    flat_gauge,
    plain_hat,
)
from hypothesis import given
from hypothesis import strategies as st

from evenround.solver import (
    Crown,
    Gauge,
    Limits,
    Piece,
    Prices,
    fit,
    measure,
    recount,
)
from evenround.tables.brief import (
    BriefError,
    plan,
    read_brief,
)

# --- flat rates ------------------------------------------------------------------------------

FLAT = [
    # stitch, increases a round, start counts: flat_rates.csv (craftymaria.blogspot.com 2009,
    # mamas2hands.com 2017; tr common practice); start counts are common practice, no source
    (6, (5, 8)),
    (8, (7, 10)),
    (12, (10, 16)),
    (16, (14, 16)),
]


@pytest.mark.parametrize(("rate", "starts"), FLAT)
@pytest.mark.parametrize("stitches", [12, 16, 20])
def test_sectors_are_the_flat_rate_where_full_rounds_reach_the_head(
    rate: int, starts: tuple[int, int], stitches: int
) -> None:
    gauge = flat_gauge(rate, stitches)
    heads = [k * rate * gauge.width_cm for k in range(3, 16)]
    usual = [head for head in heads if 33 <= head <= 62]
    assert usual
    for head in usual:
        best = fit(Piece(plain_hat(gauge, starts), around_cm=head), best=1, near=False)
        crown = best.candidates[0].tally.crown
        assert crown is not None
        assert crown.sectors == rate
        assert set(crown.changes) == {rate}


@pytest.mark.parametrize(("rate", "starts"), FLAT)
@pytest.mark.parametrize("head", [40.0, 48.0, 53.0, 56.0, 59.0])
def test_sectors_are_the_flat_rate_where_the_head_gives_way(
    rate: int, starts: tuple[int, int], head: float
) -> None:
    """Circumference and nudges cost nothing here, so lying flat is all that decides."""
    gauge = flat_gauge(rate, 18)
    limits = Limits(around_cm=rate * gauge.width_cm / 2 + 0.01)
    free = Prices(circumference=0, nudge=0, nudge_stitch=0)
    piece = Piece(plain_hat(gauge, starts), around_cm=head, limits=limits, prices=free)
    best = fit(piece, best=1, near=False).candidates[0]
    assert best.tally.crown is not None
    assert best.tally.crown.sectors == rate
    assert best.measures.cost_nm == 0


@CALM
@given(st.integers(4, 24), st.integers(2, 15))
def test_a_disc_that_adds_its_start_count(start: int, rounds: int) -> None:
    # common practice, no source: k times the start after round k
    assert recount(disc(start, rounds)) == tuple(start * k for k in range(1, rounds + 1))


@pytest.mark.parametrize(("sc_rate", "hdc_rate"), [(6, 8), (6.75, 9)])
def test_hdc_discs_lie_flat_at_eight_or_nine(sc_rate: float, hdc_rate: int) -> None:
    # common practice, no source: eight or nine; heights sc 6 : hdc 8, same width. Whether it is
    # eight or nine is whether sc lies flat at six or a little more.
    sc = flat_gauge(sc_rate, 16)
    hdc = Gauge(sc.width_cm, sc.height_cm * 8 / 6)
    flat = set()
    for sectors in range(6, 12):
        piece = Piece((Crown(hdc),), around_cm=8 * sectors * hdc.width_cm)
        found = measure(piece, disc(sectors, 8))
        assert found.fullness is not None
        if 0.95 <= found.fullness <= 1.05:
            assert found.notices == ()
            flat.add(sectors)
        else:
            assert "fullness" in {n.what for n in found.notices}
    assert flat == {hdc_rate}


# --- yarn classes ----------------------------------------------------------------------------

CLASS = (
    'yarn_class = {number}\nstitch = "{stitch}"\nhead = 56\ntolerances = {{ circumference = 3 }}\n'
)
PLAIN = '[[sections]]\nkind = "crown"\n[[sections]]\nkind = "even"\n'


@pytest.mark.parametrize("stitch", ["sc", "hdc"])
@pytest.mark.parametrize(
    # sc in 4 in by class: Craft Yarn Council, Standard Yarn Weight System (yarn_weights.csv)
    ("number", "low", "high"),
    [(1, 21, 32), (2, 16, 20), (3, 12, 17), (4, 11, 14), (5, 8, 11), (6, 6, 9)],
)
def test_a_yarn_class_alone_stays_in_its_published_range(
    number: int, low: int, high: int, stitch: str
) -> None:
    made = plan(read_brief((CLASS.format(number=number, stitch=stitch) + PLAIN).encode(), "t"))
    gauge = made.piece.sections[0].gauge
    assert low <= FOUR_INCHES / gauge.width_cm <= high
    assert made.gauge_assumed
    assert gauge.flat_rate == pytest.approx({"sc": 6, "hdc": 8}[stitch])  # sc taken as 6
    assert any(f"class {number}" in sentence for sentence in made.assumptions)
    best = fit(made.piece, best=1, near=False).candidates[0].measures
    assert best.around_cm is not None
    assert low <= best.side_count * FOUR_INCHES / best.around_cm <= high


@pytest.mark.parametrize(
    # Craft Yarn Council: class 0 is counted in double crochet on steel hooks; 7 has no lower end
    ("number", "reason"),
    [(0, "counted in double crochet"), (7, "without a lower end")],
)
def test_yarn_classes_that_have_no_range_of_sc(number: int, reason: str) -> None:
    with pytest.raises(BriefError, match=rf"yarn_class(.|\n)*{reason}"):
        read_brief((CLASS.format(number=number, stitch="sc") + PLAIN).encode(), "t")
