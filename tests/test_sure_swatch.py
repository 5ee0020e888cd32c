"""Repeated measurements and discs: spread, mixed measures, and published discs."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest
from helpers import CALM
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from evenround.solver.gauge import circumference_error
from evenround.solver.sure_swatch import (
    flat_disc,
    largest,
    looks_mixed,
    reading_spread,
    repeated,
    spread_share,
    width_spread,
)
from evenround.tables.facts import table
from evenround.tables.gauges import parse_gauge
from evenround.tables.sure.measured import of_discs, of_swatches, slip_words, t_quantile
from evenround.tables.sure.read import read_disc, read_measure

INCH = 2.54


@CALM
@given(st.lists(st.floats(5, 40), min_size=2, max_size=20))
def test_mean_and_spread_are_those_of_another_library(counts: list[float]) -> None:
    found = repeated(counts)
    deviation = np.std(counts, ddof=1)
    assert found.mean == pytest.approx(np.mean(counts))
    assert found.deviation == pytest.approx(deviation, abs=1e-9)
    assert found.error == pytest.approx(deviation / sqrt(len(counts)), abs=1e-9)


def test_the_t_table_is_the_t_distribution() -> None:
    rows = table("student_t")
    assert [int(row["df"]) for row in rows] == list(range(1, 60))
    for row in rows:
        assert float(row["t_975"]) == pytest.approx(stats.t.ppf(0.975, int(row["df"])), abs=6e-4)
    assert t_quantile(500) == pytest.approx(stats.t.ppf(0.975, 500), rel=0.02)


def test_the_interval_is_scipys() -> None:
    counts = (18.5, 19.0, 19.0, 18.5, 19.5)
    answer = of_swatches([parse_gauge(f"{c} x 15 / 10cm") for c in counts], 10)
    low, high = stats.t.interval(0.95, 4, loc=stats.tmean(counts), scale=stats.sem(counts))
    assert answer.spreads[0].low == pytest.approx(low, abs=1e-3)
    assert answer.spreads[0].high == pytest.approx(high, abs=1e-3)


def test_counts_are_never_better_known_than_read() -> None:
    assert spread_share([19, 19, 19]) == pytest.approx(0.5 / sqrt(12) / 19)
    assert spread_share([18, 20]) == pytest.approx(sqrt(2) / 19)
    assert spread_share([19]) is None
    assert spread_share([]) is None
    with pytest.raises(ValueError, match="found none"):
        repeated([])


def test_four_inches_among_ten_centimetres_are_noticed() -> None:
    true = [24.0, 24.1, 24.05]
    mixed = looks_mixed([*true, *(each * 1.016 for each in true)])  # 4 in is 10.16 cm
    assert mixed is not None
    assert mixed[0] == pytest.approx(sorted(true))
    answer = of_swatches(
        [parse_gauge(f"{each:.3f} / 10cm") for each in [*true, *(t * 1.016 for t in true)]], 10
    )
    assert any("two bunches" in warning for warning in answer.warnings)


@pytest.mark.parametrize(
    "counts", [[19, 19, 19, 19], [18, 18.2, 20, 20.1], [18.0, 18.3, 18.6, 18.9], [19, 19.3]]
)
def test_other_scatter_is_not_called_mixed(counts: list[float]) -> None:
    assert looks_mixed(counts) is None


# trade.md: half a stitch in 10 cm on 56 cm; reading 4 in as 10 cm costs 0.9 cm on 56
@pytest.mark.parametrize(("stitches", "off"), [(10, "2.80"), (16, "1.75"), (20, "1.40")])
def test_slips_are_told_in_the_trades_numbers(stitches: int, off: str) -> None:
    answer = of_swatches([parse_gauge(f"{stitches} x 15 / 10cm")], 10)
    half, over = slip_words(answer, "cm")
    assert f"moves 56.0 cm by {off} cm" in half
    assert "0.9 cm off on 56.0 cm" in over
    assert circumference_error(56, stitches) == pytest.approx(float(off))


def test_a_published_disc_gives_its_gauge() -> None:
    # warmdetroit.org hat sheet c3: 40 sts after round 4, 5 in across
    answer = of_discs([read_disc("4 rounds, 40 sts, 5in", "in")], 10.16, "in")
    assert answer.stitches == pytest.approx(10.19, abs=0.005)
    assert answer.rounds == pytest.approx(6.4)
    assert any("4 rounds is too small" in warning for warning in answer.warnings)


# "Free Crochet Sun Hat for Boys", crochetdreamz.com, hook H: rounds, stitches, inches across,
# hat in inches; 40 sts after round 5 is stated, 8 a round after that is our reading
SUN_HAT = [(5, 40, 4.5, 14), (6, 48, 5.0, 16), (7, 56, 6.0, 19), (8, 64, 6.5, 21)]


def test_published_discs_do_not_agree_on_a_stitch() -> None:
    discs = [flat_disc(r, s, across * INCH) for r, s, across, _ in SUN_HAT]
    for disc, (_, _, across, hat) in zip(discs, SUN_HAT, strict=True):
        assert disc.stitches * disc.gauge.width_cm == pytest.approx(pi * across * INCH)
        assert pi * across == pytest.approx(hat, abs=0.6)
    first, last = discs[0].gauge, discs[-1].gauge
    assert first.width_cm / INCH == pytest.approx(0.353, abs=0.0005)
    assert last.width_cm / INCH == pytest.approx(0.319, abs=0.0005)
    assert first.height_cm / INCH == pytest.approx(0.45)
    assert last.height_cm / INCH == pytest.approx(0.41, abs=0.005)
    carried = [s * first.width_cm / INCH for _, s, _, _ in SUN_HAT[1:]]
    assert carried == pytest.approx([17.0, 19.8, 22.6], abs=0.06)
    assert largest(discs) is discs[-1]
    spread = width_spread(discs)
    assert spread == pytest.approx(0.10, abs=0.01)
    assert reading_spread(discs, 0.25 * INCH) <= spread / 2


def test_a_five_round_disc_is_never_carried_to_a_hat_in_silence() -> None:
    texts = [f"{r} rounds, {s} sts, {across}in" for r, s, across, _ in SUN_HAT]
    one = of_discs([read_disc(texts[0], "in")], 10.16, "in")
    assert any("5 rounds is too small to plan a hat by" in each for each in one.warnings)
    every = of_discs([read_disc(text, "in") for text in texts], 10.16, "in")
    assert every.stitches == pytest.approx(4 / 0.319, abs=0.01)
    assert not any("too small" in each for each in every.warnings)
    assert any("11 % wider" in each and "5 of that" in each for each in every.warnings)


def test_a_disc_is_asked_whether_it_lies_flat() -> None:
    unsaid = of_discs([read_disc("8 rounds, 64 sts, 6.5in", "in")], 10.16, "in")
    assert any("does it lie flat?" in note for note in unsaid.notes)
    said = of_discs([read_disc("8 rounds, 64 sts, 6.5in, lies flat", "in")], 10.16, "in")
    assert said.notes == ()


def test_a_cupped_disc_is_measured_on_the_fabric() -> None:
    disc = read_disc("8 rounds, 64 sts, along 16cm, edge 45cm, cups", "cm")
    assert disc.gauge.width_cm == pytest.approx(45 / 64)
    assert disc.gauge.height_cm == pytest.approx(1.0)
    assert disc.lies_flat is False
    with_hole = read_disc("8 rnds, 64 stitches, 16 across, hole 2", "cm")
    assert with_hole.gauge.height_cm == pytest.approx(14 / 16)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "8 rounds",
        "8 rounds, 64 sts",
        "8 rounds, 64 sts, 6.5in, 7in",
        "8 rounds, 64 sts, cups, 16cm",
        "8 rounds, 64 sts, along 16cm",
        "0 rounds, 64 sts, 16cm",
        "8 rounds, 2 sts, 16cm",
        "8 rounds, 64 sts, -3cm",
        "8 rounds, 64 sts, 5cm, hole 6cm",
        "8 rounds, 8 rounds, 64 sts, 5cm",
        "8 rounds, 64 sts, 1e999cm",
    ],
)
def test_what_is_no_disc_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"disc|length"):
        read_disc(text, "cm")


def test_a_measurement_takes_the_length_it_is_given() -> None:
    assert read_measure("19 x 15", "4in").over_cm == pytest.approx(10.16)
    assert read_measure("19 x 15 / 10cm", "4in").over_cm == 10
    with pytest.raises(ValueError, match="say what it is over"):
        read_measure("19 x 15", None)
    with pytest.raises(ValueError, match="stitches x rounds"):
        read_measure("wide", "10cm")
