"""Gauges: the plain geometry, what people write, and what is assumed where nobody measured."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenround.solver.gauge import (
    circumference_error,
    cupped_disc_gauge,
    disc_gauge,
    swatch_gauge,
)
from evenround.tables.facts import flat_rates, table
from evenround.tables.gauges import (
    GaugeBook,
    StatedGauge,
    cupped_disc,
    disc,
    parse_gauge,
    swatched,
    too_small,
    yarn_class_gauge,
)

COUNT = st.floats(4, 60)


def test_a_disc_of_ten_more_each_round() -> None:
    # worked_examples 6: warmdetroit.org hat sheet c3: 40 sts after round 4, 5 in across
    gauge = disc_gauge(4, 40, 5 * 2.54)
    assert gauge.width_cm / 2.54 == pytest.approx(0.3927, abs=5e-5)
    assert 10.16 / gauge.width_cm == pytest.approx(10.19, abs=0.005)
    assert gauge.height_cm / 2.54 == pytest.approx(0.625)
    assert 10.16 / gauge.height_cm == pytest.approx(6.4)
    assert 20 * 2.54 / gauge.width_cm == pytest.approx(50.9, abs=0.05)
    assert 50 * gauge.width_cm / 2.54 == pytest.approx(19.6, abs=0.05)


@given(st.integers(1, 30), st.integers(4, 200), st.floats(1, 80))
def test_a_disc_calls_itself_flat(rounds: int, stitches: int, across: float) -> None:
    assert disc_gauge(rounds, stitches, across).flat_rate == pytest.approx(stitches / rounds)


@given(st.floats(1, 3), st.integers(2, 12), st.integers(3, 12))
def test_a_disc_with_a_hole_is_measured_from_its_rim(hole: float, rounds: int, adds: int) -> None:
    made = swatch_gauge(16, 12, 10)
    across = hole + 2 * rounds * made.height_cm
    stitches = round(pi * across / made.width_cm) + adds
    gauge = disc_gauge(rounds, stitches, across, hole)
    assert gauge.height_cm == pytest.approx(made.height_cm)
    assert gauge.width_cm * stitches == pytest.approx(pi * across)


@given(COUNT, COUNT, st.integers(2, 12), st.integers(10, 100))
def test_a_cupped_disc_gives_back_the_fabric(
    sts: float, rounds_per_10: float, rounds: int, stitches: int
) -> None:
    fabric = swatch_gauge(sts, rounds_per_10, 10)
    along, edge = 2 * rounds * fabric.height_cm, stitches * fabric.width_cm
    found = cupped_disc_gauge(rounds, stitches, along, edge)
    assert (found.width_cm, found.height_cm) == pytest.approx((fabric.width_cm, fabric.height_cm))


def test_half_a_stitch_of_error() -> None:
    # trade.md, Gauge: on 56 cm 2.8 cm at 10 sts, 1.75 at 16, 1.4 at 20
    found = [circumference_error(56, g) for g in (10, 16, 20)]
    assert found == pytest.approx([2.8, 1.75, 1.4])


def test_reading_four_inches_as_ten_cm() -> None:
    # trade.md, Gauge: reading 4 in as 10 cm costs 0.9 cm on 56
    right, wrong = swatch_gauge(16, 12, 10.16), swatch_gauge(16, 12, 10)
    assert 56 * (right.width_cm / wrong.width_cm - 1) == pytest.approx(0.9, abs=0.005)


@pytest.mark.parametrize("bad", [0, -1, float("nan"), float("inf")])
def test_nonsense_is_refused_by_name(bad: float) -> None:
    with pytest.raises(ValueError, match="stitches"):
        swatch_gauge(bad, 12, 10)
    with pytest.raises(ValueError, match="rounds"):
        swatch_gauge(16, bad, 10)
    with pytest.raises(ValueError, match="across_cm"):
        disc_gauge(4, 40, bad)
    with pytest.raises(ValueError, match="edge_cm"):
        cupped_disc_gauge(4, 40, 12, bad)
    with pytest.raises(ValueError, match="around_cm"):
        circumference_error(bad, 16)
    with pytest.raises(ValueError, match="gauge"):
        circumference_error(56, bad)


def test_a_hole_is_narrower_than_its_disc() -> None:
    with pytest.raises(ValueError, match="hole_cm"):
        disc_gauge(4, 40, 5, 5)
    with pytest.raises(ValueError, match="hole_cm"):
        cupped_disc_gauge(4, 40, 5, 20, -1)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("16 x 12 / 10cm", StatedGauge(16, 12, 10)),
        ("16x12/10cm", StatedGauge(16, 12, 10)),
        ("16 \u00d7 12 / 100 mm", StatedGauge(16, 12, 10)),
        ("16 sts x 12 rounds / 10 cm", StatedGauge(16, 12, 10)),
        ("16 sts by 12 rnds over 4in", StatedGauge(16, 12, 10.16)),
        ('16.5 x 12,5 / 4"', StatedGauge(16.5, 12.5, 10.16)),
        ("16 x 12 per 4 \u2033", StatedGauge(16, 12, 10.16)),
        ("16 hdc x 12 rnds / 10cm", StatedGauge(16, 12, 10, "hdc")),
        ("16 / 4 in", StatedGauge(16, None, 10.16)),
        ("4 / 1in", StatedGauge(4, None, 2.54)),
    ],
)
def test_gauges_as_written(text: str, expected: StatedGauge) -> None:
    found = parse_gauge(text)
    assert found.over_cm == pytest.approx(expected.over_cm)
    assert (found.stitches, found.rounds) == (expected.stitches, expected.rounds)
    assert found.word == expected.word


@pytest.mark.parametrize("text", ["16 x 12", "16", "16 sts x 12 rounds", "16 x 12 / 10"])
def test_a_gauge_over_nothing_asks_which(text: str) -> None:
    with pytest.raises(ValueError, match=r"10cm or / 4in: yarn labels mix the two up"):
        parse_gauge(text)


@pytest.mark.parametrize("text", ["0 x 12 / 10cm", "16 x 0 / 10cm", "999 x 2 / 10cm"])
def test_a_gauge_of_nothing_or_too_much(text: str) -> None:
    with pytest.raises(ValueError, match="more than 0 and at most 150"):
        parse_gauge(text)


@pytest.mark.parametrize("text", ["", "x", "nan x 3 / 4in", "16 x 12 / wide", "16 x 12 x 3 / 4in"])
def test_a_gauge_of_nonsense(text: str) -> None:
    with pytest.raises(ValueError, match="a gauge is written"):
        parse_gauge(text)


@given(st.text(max_size=30))
def test_any_text_is_a_gauge_or_a_value_error(text: str) -> None:
    try:
        found = parse_gauge(text)
    except ValueError as error:
        assert str(error)
    else:
        assert found.stitches > 0
        assert found.over_cm >= 1


@pytest.mark.parametrize("stitch", ["sc", "hdc", "dc", "tr"])
def test_rounds_not_counted_lie_flat_at_the_common_rate(stitch: str) -> None:
    made = swatched(stitch, StatedGauge(16, None, 10))
    # flat_rates.csv: common practice (craftymaria.blogspot.com 2009; mamas2hands.com 2017)
    assert made.gauge.flat_rate == pytest.approx({"sc": 6, "hdc": 8, "dc": 12, "tr": 16}[stitch])
    assert made.gauge.width_cm == 0.625
    assert made.gauge.assumed
    assert "rounds were not counted" in made.assumptions[0]


def test_a_counted_gauge_assumes_nothing() -> None:
    made = swatched("hdc", StatedGauge(16, 12, 10.16))
    assert made.gauge == swatch_gauge(16, 12, 10.16)
    assert not made.gauge.assumed
    assert made.assumptions == ()


@pytest.mark.parametrize(("number", "low", "high"), [(1, 21, 32), (4, 11, 14), (6, 6, 9)])
def test_a_yarn_class_stays_in_its_published_range(number: int, low: float, high: float) -> None:
    # yarn_weights.csv: Craft Yarn Council, Standard Yarn Weight System
    made = yarn_class_gauge(number)
    assert low < 10.16 / made.gauge.width_cm < high
    assert made.stitches == (low + high) / 2
    assert made.gauge.flat_rate == pytest.approx(6)
    assert made.gauge.assumed


@pytest.mark.parametrize(
    ("over", "said"), [("10 in", "10 in"), ("25.4cm", "10 in"), ("4 cm", "4 cm")]
)
def test_a_length_that_may_be_a_slip_is_asked_about(over: str, said: str) -> None:
    made = swatched("hdc", parse_gauge(f"17 x 13 / {over}"))
    assert made.assumptions == (f"hdc: counted over {said}, as written; 10 cm and 4 in are usual",)
    for usual in ("10 cm", "4 in", "5cm", "2in", "20 cm"):
        assert swatched("hdc", parse_gauge(f"17 x 13 / {usual}")).assumptions == ()


def test_stitches_never_swatched_have_the_proportions_of_the_rule() -> None:
    # trade.md, Gauge: sc 6 : hdc 8 : dc 12 : tr 14 to 16 at the same width (common practice)
    book = GaugeBook({"hdc": swatched("hdc", StatedGauge(16, 12, 10))}, "hdc")
    base = book.measured("hdc").gauge
    for stitch, height in (("sc", 6), ("dc", 12), ("tr", 15)):
        made = book.measured(stitch)
        assert made.gauge.width_cm == base.width_cm
        assert made.gauge.height_cm / base.height_cm == pytest.approx(height / 8)
        assert made.gauge.assumed
        assert f"{stitch}: not swatched" in made.assumptions[0]


def test_estimates_start_from_the_body_else_from_what_was_counted() -> None:
    stated = {
        "sc": swatched("sc", StatedGauge(20, None, 10)),
        "dc": swatched("dc", StatedGauge(18, 9, 10)),
        "hdc": swatched("hdc", StatedGauge(16, 12, 10)),
    }
    assert GaugeBook(stated, "hdc").measured("tr").gauge.width_cm == 10 / 16
    assert GaugeBook(stated, "tr").measured("tr").gauge.width_cm == 10 / 18
    only_sc = {"sc": stated["sc"]}
    estimated = GaugeBook(only_sc, "hdc").measured("hdc")
    assert len(estimated.assumptions) == 2  # sc's height, then hdc's


def test_a_disc_that_does_not_say_it_lies_flat_is_asked() -> None:
    silent = disc("hdc", 8, 80, 25.4, 0, said_flat=False)
    assert "say lies_flat" in silent.assumptions[0]
    assert disc("hdc", 8, 80, 25.4, 0, said_flat=True).assumptions == ()


def test_a_small_disc_never_goes_into_a_hat_without_a_warning() -> None:
    """crochetdreamz.com, sun hat for boys: 5 rounds, 40 sts, 4.5 in; stitches are 10 % narrower
    after 8 rounds."""
    for small in (
        disc("hdc", 5, 40, 11.43, 0, said_flat=True),
        cupped_disc("hdc", 5, 40, 11.43, 35.0, 0),
    ):
        assert small.assumptions[-1].startswith("hdc: a disc of 5 rounds is too small to plan a")
    assert too_small(8) is None and "a disc of 1 round is" in (too_small(1) or "")


def test_the_proportions_agree_with_the_flat_rates_up_to_dc() -> None:
    heights = {row["stitch_us"]: float(row["height"]) for row in table("proportions")}
    assert heights.keys() == flat_rates().keys()
    assert all(heights[stitch] == flat_rates()[stitch] for stitch in ("sc", "hdc", "dc"))
