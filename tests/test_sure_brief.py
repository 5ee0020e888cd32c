"""What a brief may say of its gauge's spread and its fabric's stretch, and what follows."""

from __future__ import annotations

from math import sqrt

import pytest

from evenround.solver.sure import Slip
from evenround.tables.brief import BriefError, brief_from_flags, plan, read_brief, with_flags
from evenround.tables.brief_flags import Flags
from evenround.tables.plan import Plan

SECTIONS = '[[sections]]\nkind = "crown"\n[[sections]]\nkind = "even"\n'
BRIM = '[[sections]]\nkind = "brim"\nstitch = "sc"\nwidth = 6\nflare = 30\n'
COUNTED = 'hdc = { stitches = [18.5, 19, 19, 18.5], rounds = [15, 15.5, 15], over = "10cm" }'


def planned(gauge: str, top: str = "", more: str = "") -> Plan:
    text = f"head = 56\n{top}\n[gauge]\n{gauge}\n{more}\n{SECTIONS}{BRIM}"
    return plan(read_brief(text.encode(), "x"))


def test_repeated_counts_give_mean_and_spread() -> None:
    made = planned(COUNTED)
    gauge = made.piece.sections[0].gauge
    assert gauge.width_cm == pytest.approx(10 / 18.75)
    assert gauge.height_cm == pytest.approx(30 / 45.5)
    deviation = sqrt(4 * 0.25**2 / 3)
    assert made.slips[0].share == pytest.approx(deviation / 18.75)
    # the brim's sc is estimated from the same swatch, so it slips with it
    of_rounds = made.slips[0].rounds_share
    assert of_rounds == pytest.approx(sqrt(1 / 12) / (45.5 / 3))
    assert made.slips == (Slip(0, made.slips[0].share, of_rounds),) * 3
    assert made.spread_words == ("0.29 sts and 0.29 rounds in 10 cm for hdc (from its own counts)",)


def test_counts_over_four_inches_and_without_rounds() -> None:
    made = planned('hdc = { stitches = [16, 16.5], over = "4in" }')
    assert made.piece.sections[0].gauge.width_cm == pytest.approx(10.16 / 16.25)
    assert made.gauge_stitches == pytest.approx(16.25)
    assert any("rounds were not counted" in each for each in made.assumptions)


def test_half_a_stitch_in_ten_cm_where_nothing_is_said() -> None:
    # half a stitch and half a round in 10 cm: common practice, no source
    made = planned('hdc = "16 x 12 / 4in"\nsc = "19 x 22 / 10cm"')
    assert made.slips[0].share == pytest.approx(0.5 / (16 * 10 / 10.16))
    assert made.slips[0].rounds_share == pytest.approx(0.5 / (12 * 10 / 10.16))
    assert made.slips[2] == Slip(1, 0.5 / 19, 0.5 / 22)
    assert made.spread_words == (
        "0.5 sts and 0.5 rounds in 10 cm for hdc and sc (common practice)",
    )
    assert made.stretch is None


def test_a_spread_said_outright_serves_what_was_not_counted() -> None:
    spread = '[gauge_spread]\nstitches = 1\nover = "4in"'
    made = planned(f'{COUNTED}\nsc = "19 x 22 / 10cm"', more=spread)
    assert made.slips[2].share == pytest.approx(1 * 10 / 10.16 / 19)
    assert made.slips[0].share < 0.02
    assert "as the brief says" in made.spread_words[1]


def test_a_spread_of_rounds_is_one_of_their_own() -> None:
    made = planned('hdc = "19 x 15 / 10cm"', more='[gauge_spread]\nrounds = 1\nover = "4in"')
    assert made.slips[0] == Slip(0, 0.5 / 19, 10 / 10.16 / 15)
    assert made.spread_words == (
        "0.5 sts in 10 cm for hdc (common practice)",
        "0.98 rounds in 10 cm for hdc (as the brief says)",
    )


def test_rounds_that_were_not_counted_are_known_no_better_than_the_stitches() -> None:
    made = planned('hdc = { stitches = [16, 20], over = "10cm" }')
    assert made.slips[0].rounds_share == made.slips[0].share == pytest.approx(sqrt(8) / 18)


def test_a_yarn_class_is_hardly_known_at_all() -> None:
    text = f"head = 56\nyarn_class = 4\nstitch = 'sc'\n{SECTIONS}"
    made = plan(read_brief(text.encode(), "x"))
    # class 4: 11 to 14 sc over 4 in (yarn_weights.csv, Craft Yarn Council)
    assert made.slips[0].share == pytest.approx(3 / 4 / 12.5)


def test_a_stretch_is_a_share() -> None:
    assert planned(COUNTED, top='stretch = "5%"').stretch == pytest.approx(0.05)


def test_a_gauge_from_a_flag_takes_the_counts_place() -> None:
    text = f"head = 56\n[gauge]\n{COUNTED}\n{SECTIONS}"
    found, notes = with_flags(read_brief(text.encode(), "x"), Flags(gauge="20 x 15 / 10cm"))
    assert plan(found).slips[0].share == pytest.approx(0.5 / 20)
    assert notes
    flags = brief_from_flags(Flags(head="56", gauge="20 x 15 / 10cm"))
    assert plan(flags).slips == (Slip(0, 0.025, 0.5 / 15),) * 2


@pytest.mark.parametrize(
    ("gauge", "more", "said"),
    [
        ('hdc = { stitches = [18, "x"], over = "10cm" }', "", "gauge.hdc.stitches: found"),
        ('hdc = { stitches = [], over = "10cm" }', "", "gauge.hdc.stitches: found"),
        ('hdc = { stitches = [19, true], over = "10cm" }', "", "gauge.hdc.stitches: found"),
        ("hdc = { stitches = [19, 18] }", "", "gauge.hdc.over: missing"),
        ('hdc = { stitches = [19], rounds = 15, over = "10cm" }', "", "gauge.hdc.rounds: found 15"),
        ('hdc = { stitches = [19], over = "10cm", hole = 1 }', "", "gauge.hdc.hole: unknown key"),
        (COUNTED, "[gauge_spread]\nstitches = -1", "gauge_spread.stitches: found -1"),
        (COUNTED, "[gauge_spread]\nstitch = 1", "gauge_spread.stitch: unknown key"),
        ('hdc = "16 x 12 / 10cm"', "[gauge_spread]\nstitches = 5", "at most a quarter"),
        (
            'hdc = "19 x 15 / 10cm"',
            "[gauge_spread]\nrounds = 4",
            "gauge_spread.rounds: found 4.0; at most a quarter of the gauge, 15 rounds in 10 cm",
        ),
    ],
)
def test_what_is_wrong_is_named(gauge: str, more: str, said: str) -> None:
    with pytest.raises(BriefError) as caught:
        planned(gauge, more=more)
    assert said in str(caught.value)


def test_a_stretch_over_everything_is_refused() -> None:
    with pytest.raises(BriefError, match="stretch: found '150%'; a stretch is a share"):
        planned(COUNTED, top='stretch = "150%"')
